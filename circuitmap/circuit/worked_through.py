"""What stops with a fuse that does not feed it: what hangs on the contacts of relays whose coils it feeds, on outputs
of modules that it feeds or that wait for an input on it, or is told to run by a pin on it.

A relay is lost if every way to its coil, or back from it, is lost; where only some are, what it switches has one way
less. Found by the ways alone, in any state, like all that a trace tells.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from circuitmap.circuit.feeding import Feeding, Taking
from circuitmap.circuit.link import Link
from circuitmap.circuit.path import PROTECTIVE, Path
from circuitmap.wiring.parts import Load, Relay, Terminal, is_unnamed
from circuitmap.wiring.platform import Output

_UNTOUCHED, _FEWER, _LOST = 0, 1, 2
ByWhat = Mapping[str, tuple[str, ...]]
"""Loads, by the relay, module or pin through which they hang on it; each where it was met first."""


class WorkedThrough(NamedTuple):
    """`stops`: no way is left for these, of a load with several supply pins perhaps for one of them only (`T1.58`).
    `fewer`: one of several ways to switch or feed them is lost. `other_way`: fed, or grounded, over contacts that are
    closed while their relay rests, as it then does. `off` are outputs that nothing tells to be on any more."""

    stops: ByWhat
    fewer: ByWhat
    other_way: ByWhat
    off: tuple[str, ...] = ()

    @property
    def is_empty(self) -> bool:
        return not (self.stops or self.fewer or self.other_way or self.off)


NOTHING = WorkedThrough({}, {}, {})


def worked_through(feeding: Feeding, fuse: str, fed: Iterable[str]) -> WorkedThrough:
    """What stops without a fuse besides the loads `fed` by it."""
    its = _Without(feeding, fuse)
    return its.told(frozenset(fed)) if its.settled() else NOTHING


class _Without:
    """Grows until nothing more is lost; only what ways lead to from what is lost is looked at."""

    def __init__(self, feeding: Feeding, fuse: str) -> None:
        self.feeding, self.fuse = feeding, fuse
        self.parts = feeding.circuit.platform.parts
        self.relays: dict[str, int] = {}
        self.outputs: dict[Output, int] = {}
        self.seen: dict[str, None] = {}

    def settled(self) -> bool:
        """Whether anything but what it feeds hangs on it."""
        todo = deque([self.fuse])
        while todo:
            part = todo.popleft()
            names = dict.fromkeys(taking.part for taking in self.feeding.passing.get(part, ()))
            for name in (*names, *self.feeding.grounded_over.get(part, ())):
                self.seen[name] = None
                if self._moves(name):
                    todo.append(name)
        return bool(self.relays or self.outputs) or any(self._told_to_run(name) for name in self.seen)

    def _moves(self, name: str) -> bool:
        """Whether more of what a relay or module switches is lost than was known."""
        part = self.parts.get(name)
        if isinstance(part, Relay):
            level = self._relay(part)
            moved = level > self.relays.get(name, _UNTOUCHED)
            if moved:
                self.relays[name] = level
            return moved
        if not isinstance(part, Load):
            return False
        moved = False
        for output in self._outputs_of(name):
            level = self._output(part, output)
            if level > self.outputs.get(output, _UNTOUCHED):
                self.outputs[output], moved = level, True
        return moved

    def _outputs_of(self, name: str) -> Iterator[Output]:
        links = self.feeding.circuit.links
        found = (links[i].output for i in self.feeding.circuit.inside.get(name, ()))
        yield from dict.fromkeys(its for its in found if its is not None)

    def _relay(self, relay: Relay) -> int:
        coil = {Terminal(relay.name, pin) for pin in relay.coil}
        fed = [path for its in self._takings(relay.name, ("coil",)) for path in its.ways_ahead]
        back = [path for end, path in self.feeding.ways_back_of.get(relay.name, ()) if end in coil]
        return max(self._side(fed), self._side(back))

    def _output(self, module: Load, output: Output) -> int:
        """It is lost with its module's supply, or with the plus or ground that one of its inputs waits for; one that is
        on while its module is awake with all that wakes it, unless a network may."""
        level = _LOST if self._supply(module.name) == _LOST else _UNTOUCHED
        level = max([level, *(self._input(module, pin) for pin in output.inputs)])
        if output.when == "awake" and level < _LOST:
            woken = _together([self._input(module, pin) for pin in module.pins_with("wake")])
            by_network = bool(self.feeding.circuit.platform.networks_of.get(module.name))
            level = max(level, min(woken, _FEWER) if by_network else woken)
        return level

    def _input(self, module: Load, name: str) -> int:
        pin = Terminal(module.name, name)
        signals = self._takings(module.name, ("wake", "sense", "control"))
        fed = [path for its in signals if its.terminal == pin for path in its.ways_ahead]
        grounded = [path for end, path in self.feeding.ways_back_of.get(module.name, ()) if end == pin]
        return self._side(fed or grounded)

    def _supply(self, name: str) -> int:
        part = self.parts.get(name)
        levels = {its.terminal.pin: self._side(its.ways_ahead) for its in self._takings(name, ("load",))}
        needed = [levels.get(pin, _UNTOUCHED) for pin in part.needs] if isinstance(part, Load) else []
        if _LOST in needed:
            return _LOST
        return _together(levels.values())

    def _takings(self, name: str, kinds: Iterable[str]) -> list[Taking]:
        return [its for its in self.feeding.of_part.get(name, ()) if its.kind in kinds]

    def _side(self, paths: Iterable[Path]) -> int:
        return _together([self._way(path) for path in paths])

    def _way(self, path: Path) -> int:
        return max((self._link(link) for link in path.links), default=_UNTOUCHED)

    def _link(self, link: Link) -> int:
        if link.part == self.fuse and link.kind in PROTECTIVE:
            return _LOST
        if link.output is not None:
            return self.outputs.get(link.output, _UNTOUCHED)
        return self.relays.get(link.part, _UNTOUCHED) if link.energised else _UNTOUCHED

    def _told_to_run(self, name: str) -> Terminal | None:
        """The control pin by which a load no longer is."""
        controls = self._takings(name, ("control",))
        lost = self._side([path for its in controls for path in its.ways_ahead]) == _LOST
        return controls[0].terminal if lost else None

    def told(self, fed: frozenset[str]) -> WorkedThrough:
        """The loads that it does not feed, by what they hang on."""
        found: tuple[dict[str, list[str]], ...] = ({}, {}, {})
        for name in self.feeding.circuit.loads:
            if name not in self.seen or name in fed:
                continue
            supply = [path for its in self._takings(name, ("load", "reversed")) for path in its.ways_ahead]
            ground = [path for end, path in self.feeding.ways_back_of.get(name, ()) if end in self.feeding.ground_paths]
            pin = self._told_to_run(name)
            level = max(self._supply(name), self._side(ground), _LOST if pin else _UNTOUCHED)
            rests = next((its for path in (*supply, *ground) if (its := self._at_rest(path))), "")
            by = str(pin) if pin else self._by(path for path in (*supply, *ground) if self._way(path))
            if level == _LOST:
                found[0].setdefault(by, []).append(name)
            elif rests:
                found[2].setdefault(rests, []).append(name)
            elif level:
                pins = self._pins_lost(name)
                found[0 if pins else 1].setdefault(by, []).extend(pins or (name,))
        stops, fewer, other = ({by: tuple(names) for by, names in its.items()} for its in found)
        told = {*stops, *fewer, *other, *fed}
        drive = {link.output for name in self.relays for path in self._coil_ways(name) for link in path.contacts}
        lost = (its for its, level in self.outputs.items() if level == _LOST and its not in drive)
        lost = (its for its in lost if its.module not in told)
        return WorkedThrough(stops, fewer, other, tuple(dict.fromkeys(its.contact for its in lost)))

    def _coil_ways(self, relay: str) -> list[Path]:
        fed = [path for its in self._takings(relay, ("coil",)) for path in its.ways_ahead]
        return [*fed, *(path for _, path in self.feeding.ways_back_of.get(relay, ()))]

    def _pins_lost(self, name: str) -> tuple[str, ...]:
        """The supply pins of a load to which no way is left, where they have a name and there are others."""
        takings = self._takings(name, ("load",))
        lost = [its.terminal for its in takings if self._side(its.ways_ahead) == _LOST]
        return tuple(str(pin) for pin in lost if not is_unnamed(pin.pin)) if len(lost) < len(takings) else ()

    def _by(self, paths: Iterable[Path]) -> str:
        return next(
            (link.part for path in paths for link in path.links if link.part != self.fuse and self._link(link)), ""
        )

    def _at_rest(self, path: Path) -> str:
        """The relay that this way passes at rest and that is lost."""
        return next(
            (its.part for its in path.links if its.energised is False and self.relays.get(its.part) == _LOST), ""
        )


def _together(levels: Iterable[int]) -> int:
    """Of several ways, or pins: lost if all are, fewer if any is touched."""
    its = list(levels)
    return _LOST if its and min(its) == _LOST else _FEWER if any(its) else _UNTOUCHED
