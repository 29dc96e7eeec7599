"""How the photos of the sample job are drawn, a module for each subject.

From the bottom: `colours` and `shapes`, the `sheet` they are put on, `textures` for walls and
ground, `solid` and `floors` for rooms in depth; then the pictures by what they show. A picture
is a function that draws on a sheet, here always `c`; its name seeds its texture, so that another
name is another picture. Coordinates are pixels of the finished photo, in rooms feet.
"""
