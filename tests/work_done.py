"""How much work a call does, counted and not timed: the same on a busy machine and on an idle one."""

import sys
from collections.abc import Callable, Sequence
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
    return calls_of_each((function,), work)[0]


def calls_of_each(functions: Sequence[Callable[..., object]], work: Callable[[], object]) -> tuple[int, ...]:
    """The same for several functions, while `work()` is done once."""
    calls = {id(function.__code__): 0 for function in functions}  # type: ignore[attr-defined]

    def count(frame: FrameType, event: str, _argument: object) -> None:
        if event == "call" and id(frame.f_code) in calls:
            calls[id(frame.f_code)] += 1

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        work()
    finally:
        sys.setprofile(before)
    return tuple(calls.values())
