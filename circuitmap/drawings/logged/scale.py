"""Where on the paper? Time across; current upwards, stretched near zero, where the floor is."""

from math import asinh
from typing import NamedTuple

_NEAR = 0.02
"""Up to about this, A, the scale is even; above, each tenfold takes the same room."""
_AMPS = (-100.0, -30.0, -10.0, -3.0, -1.0, -0.3, -0.1, 0.0, 0.03, 0.1, 0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 300.0)
_TIMES = (0.1, 0.5, 1, 2, 5, 10, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400)
_MOST_TICKS = 14


class NightScale(NamedTuple):
    """The frame in points, and what lies in it."""

    left: float
    top: float
    width: float
    height: float
    seconds: float
    low: float
    high: float

    def x(self, seconds: float) -> float:
        return self.left + self.width * min(1.0, max(0.0, seconds / self.seconds))

    def y(self, amps: float) -> float:
        low, high = asinh(self.low / _NEAR), asinh(self.high / _NEAR)
        share = (asinh(amps / _NEAR) - low) / (high - low)
        return self.top + self.height * (1.0 - min(1.0, max(0.0, share)))

    def amps_marks(self) -> tuple[float, ...]:
        return tuple(amps for amps in _AMPS if self.low <= amps <= self.high)

    def time_marks(self, began: float) -> tuple[float, ...]:
        """Full hours (or what is apart enough) by the clock, in seconds from the first sample."""
        apart = next((one for one in _TIMES if self.seconds / one <= _MOST_TICKS), _TIMES[-1])
        apart = max(apart, self.seconds / _MOST_TICKS)
        first = -began % apart
        count = int((self.seconds - first) / apart) + 1
        return tuple(first + apart * number for number in range(count))
