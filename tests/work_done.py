"""How much work a call does, counted and not timed: the same on a busy machine and on an idle one."""

import sys
from collections.abc import Callable
from types import FrameType


def steps_of(work: Callable[[], object]) -> int:
    """How many lines of Python `work()` runs through (each turn of a loop counts again); nothing that runs inside C
    counts.

    Time is measured in `tests/benchmarks`; this only measures how the work grows with its input.
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
    """How often `work()` calls a function, by whatever name and from wherever it was imported."""
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
