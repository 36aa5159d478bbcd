"""Many rows at once, where each looks like the one before: the usual case, and several times as fast.

Whatever is not even, a missing value, a unit in a cell, a page header, makes `read` return None, and the rows are read
one by one. Both ways give the same; a test compares them.
"""

from typing import TYPE_CHECKING

import numpy as np

from circuitmap.recording.columns import Columns
from circuitmap.recording.stamps import DAY, StampReader

if TYPE_CHECKING:
    from circuitmap.recording.recorded import Floats

_CLOCK = (10 * 3600, 3600, 0, 600, 60, 0, 10, 1)
"""What a digit of `hh:mm:ss` is worth in seconds; 0 where a colon stands."""


class EvenRows:
    """Reads blocks of rows with this layout."""

    def __init__(
        self, width: int, delimiter: str, columns: Columns, places: tuple[int, ...], stamps: StampReader
    ) -> None:
        self._width, self._delimiter, self._columns = width, delimiter, columns
        self._places, self._stamps = places, stamps
        commas = {columns.decimals[at] == "," for at in places}
        self._comma = commas == {True}
        stamped = columns.time_kind in ("stamp", "time")
        self._possible = len(commas) == 1 and columns.unit_column < 0 and delimiter != " " and stamped

    def read(self, lines: list[str]) -> "tuple[Floats, list[Floats]] | None":
        """Times and values of all these lines, or None if one of them is not like the others."""
        if not self._possible or len(lines) < 2:
            return None
        delimiter = self._delimiter
        rows = [line.split(delimiter) for line in lines]
        if set(map(len, rows)) != {self._width}:
            return None
        values = []
        for at in self._places:
            column = self._values([row[at] for row in rows])
            if column is None:
                return None
            values.append(column)
        if len(self._columns.time) == 2:
            day, clock = self._columns.time
            times = self._times([f"{row[day]} {row[clock]}" for row in rows])
        else:
            (at,) = self._columns.time
            times = self._times([row[at] for row in rows])
        return None if times is None else (times, values)

    def _values(self, cells: list[str]) -> "Floats | None":
        joined = "\n".join(cells)
        if "_" in joined or '"' in joined:
            return None
        if self._comma:
            if "." in joined:
                return None
            cells = joined.replace(",", ".").split("\n")
        try:
            column = np.array(list(map(float, cells)))
        except ValueError:
            return None
        return column if np.isfinite(column).all() else None

    def _times(self, cells: list[str]) -> "Floats | None":
        """Seconds of `DATE hh:mm:ss` or `hh:mm:ss`, all of one width."""
        width = len(cells[0])
        dated = self._columns.time_kind == "stamp"
        if set(map(len, cells)) != {width} or width < 8 or (dated and width < 17):
            return None
        joined = "".join(cells)
        if not joined.isascii():
            return None
        letters = np.frombuffer(joined.encode("ascii"), dtype=np.uint8).reshape(-1, width)
        clock = letters[:, -8:]
        digits = clock.astype(np.int16) - ord("0")
        marks = clock[:, 2], clock[:, 5]
        if not (marks[0] == ord(":")).all() or not (marks[1] == ord(":")).all():
            return None
        of_digits = digits[:, [0, 1, 3, 4, 6, 7]]
        if (of_digits < 0).any() or (of_digits > 9).any() or (digits[:, 3] > 5).any() or (digits[:, 6] > 5).any():
            return None
        seconds: Floats = digits.astype(np.float64) @ np.array(_CLOCK, dtype=np.float64)
        if not dated:
            return seconds if width == 8 else None
        if not np.isin(letters[:, -9], (ord(" "), ord("T"))).all():
            return None
        date = letters[:, :-9]
        changes = np.nonzero((date[1:] != date[:-1]).any(axis=1))[0] + 1
        for start, end in zip([0, *changes.tolist()], [*changes.tolist(), len(cells)], strict=True):
            base = self._stamps.both(cells[start][:-9], "00:00:00")
            if base is None or base % (2 * DAY):
                return None
            seconds[start:end] += base
        return seconds
