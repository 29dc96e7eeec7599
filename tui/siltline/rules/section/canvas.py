"""A grid of characters, each one column wide."""

from __future__ import annotations


class Canvas:
    """Takes characters at rows and columns; what falls outside is not drawn."""

    def __init__(self, rows: int, columns: int) -> None:
        self.rows = rows
        self.columns = columns
        self._grid = [[" "] * columns for _ in range(rows)]

    def put(self, row: int, column: int, text: str) -> None:
        """Write text of single columns from a cell to the right."""
        for at, char in enumerate(text, column):
            if 0 <= row < self.rows and 0 <= at < self.columns:
                self._grid[row][at] = char

    def lines(self) -> list[str]:
        """Return the rows, each as wide as the canvas."""
        return ["".join(row) for row in self._grid]
