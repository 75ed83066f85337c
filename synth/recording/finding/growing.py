"""A table that grows as a recording is read.

Room is taken ahead, which takes no memory until it is filled; parts kept and joined at the end would take it twice.
"""

from typing import Any

import numpy as np
import numpy.typing as npt

# Times as much room is taken whenever there is no more.
MORE = 4


class Growing:
    """Rows (n, columns) of a dtype; ``room`` is for as many as are expected."""

    def __init__(self, columns: int, dtype: npt.DTypeLike, room: int) -> None:
        self._whole = np.empty((room, columns), dtype)
        self._filled = 0

    def add(self, rows: npt.NDArray[np.floating]) -> None:
        """Append rows (m, columns), rounded to the dtype."""
        end = self._filled + len(rows)
        if end > len(self._whole):
            whole = np.empty((max(end, MORE * len(self._whole)), self._whole.shape[1]), self._whole.dtype)
            whole[: self._filled] = self.rows()
            self._whole = whole
        self._whole[self._filled : end] = rows
        self._filled = end

    def rows(self) -> npt.NDArray[Any]:
        """What was appended, (n, columns): a view."""
        return self._whole[: self._filled]
