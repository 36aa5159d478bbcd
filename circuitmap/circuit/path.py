"""One way that current can take, from a battery to a point or from a point to ground, as a value."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from circuitmap.circuit.demands import Demands
from circuitmap.circuit.link import Link
from circuitmap.wiring.parts import Condition, Terminal
from circuitmap.wiring.platform import Wire

PROTECTIVE = ("fuse", "link", "breaker")
ONE_PIECE = ("", "+", "-", "mid")
"""Pins of splices, bars and ground points, and battery posts."""


class Step(NamedTuple):
    """One link of a path, in the direction in which the current flows."""

    link: Link
    forward: bool

    @property
    def start(self) -> Terminal:
        return self.link.a if self.forward else self.link.b

    @property
    def end(self) -> Terminal:
        return self.link.b if self.forward else self.link.a


@dataclass(frozen=True)
class Path:
    """A way for current from `start` to `end`.

    `known` is false when the far end is not a battery, its minus or the body but a place that was not transcribed: an
    open end, a fuse whose feed has no wire. `demands` is what must hold for it to conduct. `roundabout`: it runs back
    through a contact, or a fuse from its outgoing side, into a point that is live without it; when that contact is
    closed some current may share this way, but nothing depends on it. `second`: it comes from a battery that does not
    normally drive the point: with all the contacts closed that this way needs, another battery makes the point live
    anyway, over fewer contacts that are open when parked.
    """

    start: Terminal
    end: Terminal
    steps: tuple[Step, ...]
    known: bool
    demands: Demands
    roundabout: bool = False
    second: bool = False

    @cached_property
    def links(self) -> tuple[Link, ...]:
        return tuple(step.link for step in self.steps)

    @cached_property
    def terminals(self) -> tuple[Terminal, ...]:
        return (self.start, *(step.end for step in self.steps))

    @property
    def wires(self) -> tuple[Wire, ...]:
        return tuple(link.wire for link in self.links if link.wire is not None)

    @property
    def fuses(self) -> tuple[str, ...]:
        """Fuses, fusible links and breakers in the order in which the current passes them."""
        return tuple(link.part for link in self.links if link.kind in PROTECTIVE)

    @property
    def contacts(self) -> tuple[Link, ...]:
        """Switch and relay contacts and outputs passed through."""
        return tuple(link for link in self.links if link.contact)

    @property
    def cavities(self) -> tuple[str, ...]:
        return tuple(str(link.a) for link in self.links if link.kind == "cavity")

    @cached_property
    def parts(self) -> tuple[str, ...]:
        """Every part it touches, in order: also splices, bars and ground points."""
        inside = (link.part for link in self.links if link.contact and link.part)
        return tuple(dict.fromkeys((*(terminal.part for terminal in self.terminals), *inside)))

    def passes(self, part: str) -> bool:
        """Whether it passes through `part`, or begins or ends there: inside it, or over a splice, bar, ground point,
        cavity or battery post. Two wires in one crimp at its pin do not make it pass.
        """
        if part not in self.parts:
            return False
        return any(link.part == part for link in self.links) or any(
            terminal.part == part
            and (terminal.pin in ONE_PIECE or terminal.half != "" or terminal in (self.start, self.end))
            for terminal in self.terminals
        )

    @property
    def goes_back(self) -> bool:
        """It passes a fuse from its outgoing side."""
        return any(step.link.kind in PROTECTIVE and not step.forward for step in self.steps)

    @property
    def sheets(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(sheet for wire in self.wires for sheet in wire.sheets))

    @property
    def charted(self) -> bool:
        """Some of it is known only from a fuse chart: its wires are not typed in."""
        return any(link.kind == "chart" for link in self.links)

    @property
    def assumed(self) -> tuple[Link, ...]:
        return tuple(link for link in self.links if link.assumed)

    @property
    def copied(self) -> tuple[str, ...]:
        """Sister platforms that some of it was copied from, not yet checked against the sheet."""
        return tuple(dict.fromkeys(wire.copied for wire in self.wires if wire.copied))

    @property
    def condition(self) -> Condition:
        return tuple(dict.fromkeys(need for link in self.links for need in link.condition))

    def points(self) -> Iterator[tuple[Terminal, Link | None]]:
        """Every terminal with the link that led to it."""
        yield self.start, None
        for step in self.steps:
            yield step.end, step.link


def ahead_of(paths: Sequence[Path]) -> tuple[Path, ...]:
    """The ways that do not run back through a fuse; all, where every one does."""
    return tuple(path for path in paths if not path.goes_back) or tuple(paths)


class Paths(NamedTuple):
    """Ways to one terminal, those with the fewest contacts first; `cut_off`: there are more than were looked for."""

    paths: tuple[Path, ...]
    cut_off: bool = False

    @property
    def direct(self) -> tuple[Path, ...]:
        """Without the roundabout ones."""
        return tuple(path for path in self.paths if not path.roundabout)

    @property
    def main(self) -> tuple[Path, ...]:
        """The direct ones from the batteries that normally drive the point."""
        return tuple(path for path in self.paths if not path.roundabout and not path.second)
