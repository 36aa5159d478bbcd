"""A platform that is read again and again while somebody types: a file that did not change is not read anew.

What comes out is the same as if everything had been read from scratch; `tests/transcribing/test_reread.py` holds that.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from circuitmap.flows.questions import Bench
from circuitmap.flows.transcribing import Folder
from circuitmap.notation.bounds import RoomLeft
from circuitmap.notation.folder import read_folder
from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import Notation
from circuitmap.problems import Problem, in_order
from circuitmap.source import SourceFile
from circuitmap.transcribing.pieces import TypedPiece, pieces_of

_Read = tuple[Notation, tuple[Problem, ...], RoomLeft]


@dataclass(frozen=True)
class JustRead:
    """A platform in one state of its text."""

    folder: Folder

    @cached_property
    def pieces(self) -> tuple[TypedPiece, ...]:
        """What can be typed in by itself: each sheet, and what stands before the first of each file."""
        return tuple(pieces_of(self.folder.sources, self.folder.notations))

    @cached_property
    def bench(self) -> Bench:
        return Bench(self.folder.platform, {})

    @cached_property
    def problems(self) -> tuple[Problem, ...]:
        """All of them, also those that only show once it is a circuit."""
        from circuitmap.power.checks import problems_of

        return in_order([*self.folder.platform.problems, *problems_of(self.bench.circuit)])


@dataclass
class Rereading:
    """Keeps what the files of one folder said when they were read last."""

    path: Path
    _known: dict[SourceFile, _Read] = field(default_factory=dict)

    def on_disk(self) -> JustRead:
        """The platform as it stands in its folder. Raises CannotRead, LimitReached."""
        return self.read(*read_folder(self.path))

    def read(self, sources: tuple[SourceFile, ...], problems: Iterable[Problem] = ()) -> JustRead:
        """The platform in these texts; `problems` are those of the files themselves. Raises LimitReached."""
        from circuitmap.wiring.declare import platform_of

        bounds = RoomLeft()
        known: dict[SourceFile, _Read] = {}
        for source in sources:
            its = self._known.get(source) or _read(source)
            bounds.add(its[2])
            known[source] = its
        if bounds.mending.used_up:  # which slips are looked at then depends on those of the files before
            bounds = RoomLeft()
            known = {source: (*read_text(source, bounds), RoomLeft()) for source in sources}
        else:
            self._known = known
        notations = tuple(notation for notation, _, _ in known.values())
        unread = [*problems, *(problem for _, its, _ in known.values() for problem in its)]
        return JustRead(Folder(self.path, sources, notations, platform_of(notations, sources, unread)))


def _read(source: SourceFile) -> _Read:
    bounds = RoomLeft()
    return (*read_text(source, bounds), bounds)
