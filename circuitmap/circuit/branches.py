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
    through = (at for at, step in enumerate(path.steps, 1) if step.link.part == part)
    last = max([*(at for at, terminal in enumerate(path.terminals) if terminal.part == part), *through])
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
    return tuple(_grown(root) for root in roots.values())


class _Grown(NamedTuple):
    """A branch with its steps from its end `back`, and how many steps away the nearest taking is."""

    start: Terminal
    back: list[Step]
    takings: tuple[Taking, ...]
    branches: tuple[Branch, ...]
    nearest: int

    @property
    def branch(self) -> Branch:
        return Branch(self.start, tuple(reversed(self.back)), self.takings, self.branches)


def _grown(root: _Stem) -> Branch:
    """The branch of a stem, without recursion: a long chain must not be too deep."""
    order: list[_Stem] = []
    todo = [root]
    while todo:
        stem = todo.pop()
        order.append(stem)
        todo += stem.next.values()
    done: dict[int, _Grown] = {}
    for stem in reversed(order):
        grown = sorted((done.pop(id(after)) for after in stem.next.values()), key=lambda entry: entry.nearest)
        takings = tuple(stem.takings.values())
        nearest = 0 if takings else 1 + min((its.nearest for its in grown), default=0)
        if len(grown) == 1 and not takings:
            its = grown[0]._replace(start=stem.start, nearest=nearest)
        else:
            its = _Grown(stem.start, [], takings, tuple(after.branch for after in grown), nearest)
        if stem.step is not None:
            its.back.append(stem.step)
        done[id(stem)] = its
    return done[id(root)].branch
