"""Ways out of one part, folded together where they run together: a tree for people to read."""

from collections.abc import Iterable
from typing import NamedTuple

from circuitmap.circuit.feeding import Taking
from circuitmap.circuit.path import Path, Step
from circuitmap.wiring.parts import Terminal


class Branch(NamedTuple):
    """A stretch that everything beyond it shares: its `steps`, what takes current at its end, and how it parts.

    Where there are several ways to one load, the load stands at the end of each of them.
    """

    start: Terminal
    steps: tuple[Step, ...]
    takings: tuple[Taking, ...]
    branches: tuple["Branch", ...]

    @property
    def end(self) -> Terminal:
        return self.steps[-1].end if self.steps else self.start


class _Stem:
    """A branch while it grows."""

    __slots__ = ("next", "start", "step", "takings")

    def __init__(self, start: Terminal, step: Step | None) -> None:
        self.start = start
        self.step = step
        self.takings: dict[Terminal, Taking] = {}
        self.next: dict[tuple[int, bool], _Stem] = {}


def beyond(path: Path, part: str) -> tuple[Terminal, tuple[Step, ...]]:
    """The stretch of a path after it has left `part` for the last time, and the terminal where it leaves."""
    last = max(at for at, terminal in enumerate(path.terminals) if terminal.part == part)
    return path.terminals[last], path.steps[last:]


def branches_from(part: str, takings: Iterable[tuple[Taking, Iterable[Path]]]) -> tuple[Branch, ...]:
    """One tree for each terminal by which current leaves `part`, what is nearest first. Each taking comes with its ways
    through the part."""
    roots: dict[Terminal, _Stem] = {}
    for taking, paths in takings:
        for path in paths:
            start, steps = beyond(path, part)
            here = roots.setdefault(start, _Stem(start, None))
            for step in steps:
                key = (id(step.link), step.forward)
                if key not in here.next:
                    here.next[key] = _Stem(step.start, step)
                here = here.next[key]
            here.takings[taking.terminal] = taking
    return tuple(_grown(root)[0] for root in roots.values())


def _grown(root: _Stem) -> tuple[Branch, int]:
    """The branch of a stem, and how many steps away its nearest taking is. Without recursion: a long chain would be too
    deep."""
    order: list[_Stem] = []
    todo = [root]
    while todo:
        stem = todo.pop()
        order.append(stem)
        todo += stem.next.values()
    done: dict[int, tuple[Branch, int]] = {}
    for stem in reversed(order):
        grown = sorted((done.pop(id(after)) for after in stem.next.values()), key=lambda entry: entry[1])
        nearest = 0 if stem.takings else 1 + min((away for _, away in grown), default=0)
        branches = tuple(branch for branch, _ in grown)
        takings = tuple(stem.takings.values())
        steps = () if stem.step is None else (stem.step,)
        if len(branches) == 1 and not takings:
            only = branches[0]
            takings, branches, steps = only.takings, only.branches, (*steps, *only.steps)
        done[id(stem)] = Branch(stem.start, steps, takings, branches), nearest
    return done[id(root)]
