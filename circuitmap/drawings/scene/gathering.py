"""Chooses the links that a drawing shows: ways from supply to ground that join the parts asked for, the most telling
ones first, until the limit of parts is reached. Nothing is left out silently: what was refused is counted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import chain, islice, zip_longest

from circuitmap.circuit.feeding import Feeding, Taking, into
from circuitmap.circuit.link import BODY, Link
from circuitmap.circuit.parked import opened_by
from circuitmap.circuit.path import Path, Paths, Step
from circuitmap.drawings.scene.beside import to_the_next_part
from circuitmap.drawings.scene.scene import Mark
from circuitmap.drawings.scene.sketch import box_key
from circuitmap.drawings.scene.wanted import A_WAY_BESIDE, MOST_FOLLOWED, MOST_PARTS_OF_ALL, MOST_WIRES, Wanted
from circuitmap.effort import Effort
from circuitmap.wiring.parts import Battery, Ground, Joint, Load, OpenEnd, Relay, Switch, Terminal
from circuitmap.wiring.platform import Network

_LOADS_OF_A_FUSE = 4
"""How many loads are drawn below each part in focus before the rest is folded, when several are in focus; judgement."""
_LOADS_IN_ALL = 16
_OTHER_WAYS = 2
"""How many other ways of feeding a pin are drawn to their supply, besides the first; judgement: more hide it."""


@dataclass(slots=True)
class Taken:
    """A link that is drawn, in the direction of the current, and how its wire is marked."""

    link: Link
    forward: bool
    mark: Mark = Mark.NONE
    named: bool = False

    @property
    def step(self) -> Step:
        return Step(self.link, self.forward)


@dataclass(frozen=True, slots=True)
class Gathered:
    """`taken` are the links in the order they were chosen; `rails` the terminals that stand for a supply rail; `parts`
    everything that is drawn even without a wire. `refused` are the ends whose ways did not fit."""

    taken: tuple[Taken, ...]
    rails: tuple[Terminal, ...]
    parts: tuple[str, ...]
    networks: tuple[Network, ...]
    refused: tuple[str, ...]
    cut_off: bool


def gathered(feeding: Feeding, wanted: Wanted) -> Gathered:
    """The links of a drawing."""
    work = _Gathering(feeding, wanted, Effort(wanted.most_beside))
    work.gather()
    return Gathered(
        tuple(work.taken.values()),
        tuple(work.rails),
        tuple(work.parts),
        work.networks,
        tuple(work.refused),
        work.cut_off,
    )


@dataclass(slots=True)
class _Gathering:
    feeding: Feeding
    wanted: Wanted
    _effort: Effort
    _following: Effort = field(default_factory=lambda: Effort(MOST_FOLLOWED))
    taken: dict[int, Taken] = field(default_factory=dict)
    rails: dict[Terminal, None] = field(default_factory=dict)
    parts: dict[str, None] = field(default_factory=dict)
    networks: tuple[Network, ...] = ()
    refused: dict[str, None] = field(default_factory=dict)
    cut_off: bool = False
    focus: frozenset[str] = frozenset()
    passages: frozenset[str] = frozenset()
    _usable: frozenset[int] = frozenset()
    _looked_at: int = 0
    _counting: int = 0

    def gather(self) -> None:
        wanted, feeding = self.wanted, self.feeding
        self._usable = frozenset(id(feeding.circuit.links[i]) for i in (*feeding.supply.usable, *feeding.ground.usable))
        self.focus = frozenset(name for name in wanted.in_focus if name in self.feeding.circuit.platform.parts)
        asked_for = [name for name in (*wanted.named, *wanted.suspect, *wanted.also) if name in self.focus]
        self.passages = frozenset(name for name in asked_for if name not in feeding.circuit.loads)
        self.parts.update((name, None) for name in wanted.in_focus if name in self.focus)
        if len(self.parts) > MOST_PARTS_OF_ALL:
            self.refused.update(dict.fromkeys(list(self.parts)[MOST_PARTS_OF_ALL:]))
            self.parts = dict.fromkeys(list(self.parts)[:MOST_PARTS_OF_ALL])
            self.focus &= self.parts.keys()
            asked_for = [name for name in asked_for if name in self.parts]
            self.passages &= self.parts.keys()
            self.cut_off = True
        self.networks = self._shared_networks()
        for name in list(self.parts):
            self._add_supply(name, mark=Mark.DRAWING if name in wanted.drawing else Mark.NONE)
        for name in asked_for:
            self._add_ground(name)
        drawing = [name for name in wanted.drawing if name in self.focus]
        self._add_loads_below(drawing, Mark.DRAWING, behind_outputs=False)
        self._add_members()
        others = [name for name in asked_for if name not in wanted.drawing]
        # What a requested load turns on comes before what others on the drawing fuses turn on; what merely hangs on a
        # requested relay or bar comes after everything on the drawing fuses.
        loads = [name for name in others if name in self.feeding.circuit.loads]
        passages = [name for name in others if name not in loads]
        self._add_loads_below(loads, Mark.NONE, behind_outputs=True)
        if passages or len(drawing) == 1 or wanted.everything:
            self._add_loads_below(drawing, Mark.DRAWING, behind_outputs=True)
        self._add_loads_below(passages, Mark.NONE, behind_outputs=True)
        if wanted.everything:
            self._add_between_batteries()
        for name in loads:
            self._add_other_ways(name)
        self._add_coils()
        self._add_other_feeds()
        for name in asked_for:
            self._add_all_pins(name)
            self._add_neighbours(name)
        if wanted.everything:
            here = self.parts.keys()
            networks = feeding.circuit.platform.networks.values()
            self.networks = tuple(n for n in networks if n in self.networks or len(here & {*n.member_names}) > 1)

    def _add_supply(self, name: str, mark: Mark) -> None:
        """The way from a battery into a part, through each of its pins that is a supply."""
        if isinstance(self.feeding.circuit.platform.parts[name], Battery):
            return  # what another battery could feed into it is not its normal supply
        named = name in self.wanted.named or name in self.wanted.suspect
        for terminal in self._feed_pins(name):
            path = self._best(into(self.feeding.circuit, self.feeding.supply, terminal))
            if path:
                self._add(path, name, mark, named, needed=name in self.focus)

    def _feed_pins(self, name: str) -> Sequence[Terminal]:
        circuit = self.feeding.circuit
        load = circuit.loads.get(name)
        if load:
            return load.supplies
        part = circuit.platform.parts[name]
        ends = circuit.terminals_of.get(name, ())
        if isinstance(part, Joint) and part.kind != "connector":
            return ends[:1]
        if isinstance(part, Relay):
            return [end for end in ends if end.pin != part.coil[1]]
        return ends

    def _add_ground(self, name: str) -> None:
        feeding = self.feeding
        load = feeding.circuit.loads.get(name)
        part = feeding.circuit.platform.parts[name]
        named = name not in self.wanted.also
        ends = load.grounds if load else [Terminal(name, pin) for pin in part.coil] if isinstance(part, Relay) else []
        for end in ends:
            path = self._best(into(feeding.circuit, feeding.ground, end) if load is None else feeding.ground.to(end))
            if path:
                self._add(path, name, Mark.NONE, named, needed=True)

    def _add_loads_below(self, names: Sequence[str], mark: Mark, behind_outputs: bool) -> None:
        """Loads that hang on these parts, one of each in turn, those on a shared network first.

        What hangs on a module's outputs draws only when the module turns it on, and comes last if at all.
        """
        members = {member for network in self.networks for member in network.member_names}
        most = max(_LOADS_OF_A_FUSE, _LOADS_IN_ALL // max(1, len(names)))
        lists: list[list[tuple[Taking, Path]]] = []
        for name in names:
            if self._following.used_up:
                self.cut_off = True
                break
            passing = [taking for taking in self.feeding.passing.get(name, ()) if taking.through(name)]
            if not behind_outputs:
                passing = [taking for taking in passing if not _passes_an_output(self._way(taking, name), name)]
            passing.sort(key=lambda taking: (taking.part not in self.parts, taking.part not in members))
            if not self.wanted.everything and len(passing) > most:
                self.refused.update(dict.fromkeys(taking.part for taking in passing[most:]))
                passing = passing[:most]
            lists.append([(taking, self._way(taking, name)) for taking in passing])
        done: set[int] = set()  # with everything drawn, a way comes once for each part on it
        for entry in chain.from_iterable(zip_longest(*lists)):
            if entry is None or id(entry[1]) in done:
                continue
            taking, path = entry
            done.add(id(path))
            if self._add(path, taking.part, mark, False):
                self._ground_of(taking)

    def _way(self, taking: Taking, name: str) -> Path:
        way = min(taking.through(name), key=self._rank)
        self._following.spend(len(way.steps))
        return way

    def _ground_of(self, taking: Taking) -> None:
        load = self.feeding.circuit.loads.get(taking.part)
        for end in load.grounds if load else ():
            path = self._best(self.feeding.ground.to(end))
            if path:
                self._add(path, taking.part, Mark.NONE, False)

    def _shared_networks(self) -> tuple[Network, ...]:
        """Networks with loads of at least two drawing fuses on them, or with two of the parts asked for."""
        platform, feeding = self.feeding.circuit.platform, self.feeding
        on: dict[str, set[str]] = {}
        for fuse in self.wanted.drawing:
            for taking in feeding.on_fuse.get(fuse, ()):
                for network in platform.networks_of.get(taking.part, ()):
                    on.setdefault(network, set()).add(fuse)
        for name in (*self.wanted.named, *self.wanted.suspect):
            for network in platform.networks_of.get(name, ()):
                on.setdefault(network, set()).add(name)
        most = max((len(names) for names in on.values()), default=0)
        return tuple(
            network for name, network in platform.networks.items() if len(on.get(name, ())) >= max(2, min(most, 3))
        )

    def _add_members(self) -> None:
        """Members of the shared networks that are on no fuse asked about: the cause need not be on a drawing fuse."""
        for network in self.networks:
            for name in network.member_names:
                if name not in self.parts and name in self.feeding.circuit.platform.parts:
                    before = len(self.refused)
                    self._add_supply(name, Mark.NONE)
                    if len(self.refused) == before:
                        self.parts[name] = None
                        self._add_ground(name)

    def _add_between_batteries(self) -> None:
        """What lies between a drawn battery and another one: from either, as far as the first contact."""
        drawn = {end.part for end in self.rails} | self.parts.keys()
        for path in self.feeding.between_batteries:
            if path.start.part in drawn or path.end.part in drawn:
                gate = next((n for n, step in enumerate(path.steps) if step.link.contact), len(path.steps))
                if gate:
                    steps = path.steps[:gate]
                    self._add(Path(path.start, steps[-1].end, steps, True, {}), steps[-1].end.part, Mark.NONE, False)

    def _add_coils(self) -> None:
        """What pulls in the relays that are drawn."""
        platform = self.feeding.circuit.platform
        for name in list(self.parts):
            part = platform.parts.get(name)
            if isinstance(part, Relay):
                plus, minus = (Terminal(name, pin) for pin in part.coil)
                for end, ways in ((plus, self.feeding.supply), (minus, self.feeding.ground)):
                    path = self._best(into(self.feeding.circuit, ways, end))
                    if path:
                        self._add(path, name, Mark.NONE, False)

    def _add_other_feeds(self) -> None:
        """The other supply pins of the loads that are drawn, and the loads' grounds that are still missing."""
        for name in list(self.parts):
            if name in self.feeding.circuit.loads and name not in self.focus:
                self._add_supply(name, Mark.NONE)

    def _add_other_ways(self, name: str) -> None:
        """For a load asked for, how else it is fed: from other batteries, through other fuses or contacts."""
        for terminal in self._feed_pins(name):
            ways: dict[object, Path] = {}
            for path in sorted(self.feeding.supply.to(terminal).direct, key=self._rank):
                contacts = tuple(link.contact for link in path.contacts)
                ways.setdefault((path.start, path.fuses, contacts), path)
            for path in islice(ways.values(), 1, 1 + _OTHER_WAYS):
                if path.known and path.steps and not path.goes_back:
                    self._add(path, name, Mark.NONE, False)

    def _add_all_pins(self, name: str) -> None:
        """For a part asked for, also what its other pins are wired to."""
        circuit = self.feeding.circuit
        done = {end for taken in self.taken.values() for end in (taken.link.a, taken.link.b)}
        for end in circuit.terminals_of.get(name, ()):
            if end in done or not isinstance(circuit.platform.parts[name], Load):
                continue
            for ways in (self.feeding.supply, self.feeding.ground):
                path = self._best(into(circuit, ways, end))
                if path and path.known:
                    self._add(path, name, Mark.NONE, False)
                    break

    def _add_neighbours(self, name: str) -> None:
        """For a part asked for, all its wires, each as far as the next part."""
        circuit = self.feeding.circuit
        for end in circuit.terminals_of.get(name, ()):
            for steps in to_the_next_part(circuit, end, self._usable):
                if not self._effort.spend(A_WAY_BESIDE + len(steps)):
                    self.cut_off = True
                    return
                self._add(Path(end, steps[-1].end, steps, True, {}), steps[-1].end.part, Mark.NONE, False)

    def _best(self, paths: Paths) -> Path | None:
        self.cut_off = self.cut_off or paths.cut_off
        found = sorted((path for path in paths.direct if path.steps), key=self._rank)
        return found[0] if found else None

    def _rank(self, path: Path) -> tuple[bool, bool, bool, int]:
        """Of several ways, the one that passes what was asked for is drawn, else the one that conducts when parked."""
        asked_for = any(n in self.passages and n != path.end.part and path.passes(n) for n in path.parts)
        contacts = opened_by(self.feeding.circuit.platform, path) if path.contacts else ()
        return not path.known, path.second, not asked_for, len(contacts)

    def _add(self, path: Path, what: str, mark: Mark, named: bool, needed: bool = False) -> bool:
        """Take a way into the drawing, if there is room or it is `needed`; its wires are marked."""
        if not self._following.spend(len(path.steps)):
            self.refused[what], self.cut_off = None, True
            return False
        start, steps = self._from_rail(path)
        platform = self.feeding.circuit.platform
        if start is not None:
            self.rails[start] = None
        # Ways into one part after another mostly go where others went before.
        new_steps = [step for step in steps if id(step.link) not in self.taken]
        ends = (end for step in new_steps for end in (step.start, step.end) if end not in self.rails)
        most = MOST_PARTS_OF_ALL if needed else self.wanted.most_parts
        too_many_wires = len(self.taken) + len(new_steps) > MOST_WIRES
        if too_many_wires or not self._has_room_for(ends, most):
            self.refused[what] = None
            self.cut_off = self.cut_off or most == MOST_PARTS_OF_ALL or too_many_wires
            return False
        for step in steps if mark or named else new_steps:
            taken = self.taken.setdefault(id(step.link), Taken(step.link, step.forward))
            taken.mark = taken.mark or mark
            taken.named = taken.named or named
        for step in new_steps:
            for end in (step.start, step.end):
                if end in self.rails or end == BODY:
                    continue
                if not isinstance(platform.parts.get(end.part), (Ground, Battery)):
                    self.parts[box_key(platform, end)] = None
        return True

    def _has_room_for(self, ends: Iterable[Terminal], most: int) -> bool:
        """Whether the parts that these ends add fit in; told as soon as one does not."""
        room = most - self._size()
        new: set[str] = set()
        for end in ends:
            if self._counts(end):
                key = box_key(self.feeding.circuit.platform, end)
                if key not in self.parts:
                    new.add(key)
                    if len(new) > room:
                        return False
        return True

    def _size(self) -> int:
        """How many parts count towards the limit; each is looked at once, since none is ever removed."""
        if self._looked_at < len(self.parts):
            parts = self.feeding.circuit.platform.parts
            for key in islice(self.parts, self._looked_at, None):
                self._counting += not isinstance(parts.get(key), (Ground, OpenEnd, Battery))
            self._looked_at = len(self.parts)
        return self._counting

    def _counts(self, end: Terminal) -> bool:
        part = self.feeding.circuit.platform.parts.get(end.part)
        return part is not None and not isinstance(part, (Ground, OpenEnd, Battery))

    def _from_rail(self, path: Path) -> tuple[Terminal | None, tuple[Step, ...]]:
        """The way without what lies above its rail: a battery's post, or a contact of the key that nobody asked about,
        stands for everything before it."""
        parts = self.feeding.circuit.platform.parts
        cut = 0
        for number, step in enumerate(path.steps):
            if not step.link.contact:
                continue
            part = parts.get(step.link.part)
            if isinstance(part, Switch) and part.is_key and part.name not in self.focus:
                before = {end.part for earlier in path.steps[: number + 1] for end in (earlier.start, earlier.end)}
                if not before & self.focus:
                    cut = number + 1
        steps = path.steps[cut:]
        if cut:
            return path.steps[cut - 1].end, steps
        return (path.start if isinstance(parts.get(path.start.part), Battery) else None), steps


def _passes_an_output(path: Path, part: str) -> bool:
    """Whether the way goes through a module's output after it has passed `part`."""
    passed = False
    for step in path.steps:
        if passed and step.link.output is not None:
            return True
        passed = passed or part in (step.start.part, step.end.part)
    return False
