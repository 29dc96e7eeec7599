"""A section through a wall, a room or the space under the floor, drawn to scale in characters."""
