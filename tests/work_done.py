"""How much work a call does, counted and not timed: the same on a busy machine and on an idle one."""

import sys
from collections.abc import Callable
from types import FrameType


def steps_of(work: Callable[[], object]) -> int:
    """How many lines of Python `work()` runs through (a turn of a loop counts again), and nothing of what runs inside C.

    Time is measured in `tests/benchmarks`; here only how the work grows with what it is given.
    """
    steps = 0

    def count(_frame: FrameType, event: str, _argument: object) -> object:
        nonlocal steps
        steps += event == "line"
        return count

    before = sys.gettrace()
    sys.settrace(count)  # type: ignore[arg-type]
    try:
        work()
    finally:
        sys.settrace(before)
    return steps


def calls_of(function: Callable[..., object], work: Callable[[], object]) -> int:
    """How often `work()` calls a function, by whatever name it was imported and from wherever."""
    code, calls = function.__code__, 0  # type: ignore[attr-defined]

    def count(frame: FrameType, event: str, _argument: object) -> None:
        nonlocal calls
        calls += event == "call" and frame.f_code is code

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(before)
    return calls
