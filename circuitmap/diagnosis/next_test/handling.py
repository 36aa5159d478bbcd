"""What can be done by hand at this car, how many minutes it takes and what it touches: worked out once and kept with
the car. Minutes are judgement."""

from collections.abc import Container, Iterable, Iterator
from functools import cached_property
from typing import NamedTuple

from circuitmap.circuit.one_metal import metal_from
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.inputs import every_input
from circuitmap.diagnosis.next_test.doing import INVASIVE, MOST_TOLD, TAKES_OUT, WORK, Doing, Tells
from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.wiring.care import care_of
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import (
    FIRST,
    SECOND,
    UNFUSED_KINDS,
    Battery,
    Box,
    Fuse,
    Joint,
    Load,
    Part,
    Relay,
    Switch,
    Terminal,
)
from circuitmap.wiring.usual import sleep_of

EACH_MORE_FUSE = 0.5
REACH_OF_A_PART, REACH_OF_A_BOX, REACH_OF_A_SOCKET = 10.0, 2.0, 1.0
REACH_OF_A_LINE = 2.0
"""The lines of a network are got at as a fuse box is: at a plug under the dash."""
REACH_OF_WHAT_WAS_FOUND = 2.0
"""What is on no sheet was found on this very car: whoever wrote it down knows where it is."""
LOST_BY_A_SCAN = 10.0
"""Minutes that key on and a scan cost besides waking the car: what hung may let go, and then has to be made to come
back (judgement: one time in six, an hour)."""
GROUND_LEAD = 4.0
"""Minutes of hands to take the battery's ground lead off before an unfused cable is parted, and to put it on after
(judgement)."""
SURELY = 1.0
"""The chance of waking of what always wakes the vehicle."""
HEAVY = 30.0
"""Amperes of a fuse from which on nothing that hangs behind it is parted while live (judgement)."""


class Action(NamedTuple):
    """Something to do. `parts` are what is read, opened, unplugged or pulled; `about` the part it is meant to judge.

    `touches` are all parts that it touches or that lose their supply by it; `cut_first` is what has to come out before
    (fuses, or a battery whose ground lead goes off). `minutes` is everything it costs, including the chance of waking
    the car; `hands_and_reach` and `wait` are what it takes if the car does not wake, `sleeps_again` what comes on top
    where it surely does. `left_alone` are fuses of the same box that nobody may probe, `dead` those that are dead on a
    sound parked car and left out of the row for that.
    """

    doing: Doing
    parts: tuple[str, ...]
    minutes: float
    hands_and_reach: float
    wait: float
    touches: tuple[str, ...] = ()
    cut_first: tuple[str, ...] = ()
    about: str = ""
    sleeps_again: float = 0.0
    left_alone: tuple[str, ...] = ()
    dead: tuple[str, ...] = ()

    @property
    def sort(self) -> tuple[str, bool]:
        """What kind of test it is: one choice of each sort is enough. A battery post is of another sort than a box's
        feeder."""
        return self.doing, self.doing == "clamp" and self.parts[0].endswith((".-", ".mid"))

    @property
    def is_invasive(self) -> bool:
        return self.doing in INVASIVE

    @property
    def tells(self) -> Tells:
        return WORK[self.doing].tells

    @property
    def takes_out(self) -> bool:
        return self.doing in TAKES_OUT


class Handling:
    """What can be read, clamped, unplugged or pulled, and what it takes."""

    def __init__(self, parked: Parked, added: tuple[tuple[str, str], ...] = ()) -> None:
        """`added` is what is on no sheet, each with what it is fed from."""
        self.added = dict(added)
        self.parked, self.platform = parked, parked.platform
        self.hands_off = parked.circuit.hands_off
        sleep = sleep_of(self.platform)
        self.to_sleep, self.to_settle = sleep.middle, sleep.low
        self._actions: dict[tuple[Doing, tuple[str, ...], str], Action] = {}
        self._behind: dict[str, frozenset[str]] = {}
        self._feeds: dict[str, tuple[str, ...]] = {}
        self._readable: dict[str, tuple[str, ...]] = {}
        self._only_feeders: dict[str, str] = {}

    def action(self, doing: Doing, parts: tuple[str, ...], about: str = "") -> Action:
        """Something to do, with its minutes and what it touches."""
        known = self._actions.get((doing, parts, about))
        if known is None:
            known = self._actions[doing, parts, about] = self._planned(doing, parts, about)
        return known

    def reads(self, fuse: str) -> Doing:
        """How a fuse is read. Where the drop of its style gives no current, its cable is clamped instead; so is that of
        a link or a bolted fuse, whose drop at such a current no handheld meter shows."""
        part = self.platform.parts[fuse]
        assert isinstance(part, Fuse)
        if part.kind == "link" or part.style == "bolted":
            return "clamp"
        says = not part.style or cold_resistance(part.style, part.rating) is not None
        return "read-fuse" if says else "clamp"

    def rest_of_box(self, box: str, known: Container[str], fed: Container[str] = ()) -> tuple[str, ...]:
        """The fuses of a box that can be read with nothing pulled, are fitted, and were not read yet: those that are
        live on a sound parked car, and of the others only what something that is wrong may have `fed`; all, where none
        of them is live."""
        its = self._readable.get(box)
        if its is None:
            its = self._readable[box] = tuple(filter(self.may_read, self._probed_in(box)))
        rest = tuple(fuse for fuse in its if fuse not in known)
        live = tuple(fuse for fuse in rest if fuse in fed or not self._is_dead(fuse))
        return live or rest

    def _is_dead(self, fuse: str) -> bool:
        """Whether a fuse is known to be without supply on a sound parked car."""
        its = Terminal(fuse, FIRST)
        return self.parked.ways.to(its) is None and self.parked.live(its) == Answer.NO

    def _probed_in(self, box: str) -> Iterator[str]:
        """The fuses of a box that are fitted and would be read by probing them, whoever may do that."""
        for fuse in self.platform.fuses:
            is_there = not fuse.empty and fuse.name not in self.parked.absent
            fitted = is_there and holds(fuse.condition, self.parked.fitting) != Answer.NO
            if fitted and fuse.name.startswith(f"{box}.") and self.reads(fuse.name) == "read-fuse":
                yield fuse.name

    def only_feeder_of(self, box: str) -> str:
        """The fuse that carries all that a box is fed with, and nothing else: a clamp at either shows the same. Empty
        where there is none."""
        if box not in self._only_feeders:
            self._only_feeders[box] = self._only_feeder_of(box)
        return self._only_feeders[box]

    def _only_feeder_of(self, box: str) -> str:
        ways = self.parked.ways
        loads: set[str] = set()
        before: set[str] = set()
        for fuse in self.platform.fuses:
            way = ways.to(Terminal(fuse.name, FIRST)) if fuse.name.startswith(f"{box}.") else None
            if way is None or box not in way.places:
                continue
            before.add(next(iter(way.places[way.places.index(box) + 1 :]), ""))
            loads |= self.behind(fuse.name)
        feeder = next(iter(before), "")
        alone = len(before) == 1 and isinstance(self.platform.parts.get(feeder), Fuse)
        return feeder if alone and self.behind(feeder) <= loads else ""

    def feeders(self) -> list[str]:
        found: list[str] = []
        for part in self.platform.parts.values():
            if isinstance(part, Box):
                found.append(part.name)
            elif isinstance(part, Battery):
                found += [part.name, f"{part.name}.-"] if part.series else [part.name]
        return found

    def can_unplug(self, name: str) -> bool:
        part = self.platform.parts.get(name)
        if name in self.added:
            return self._may_touch_feed(name)
        if not self.hands_off.may_touch(name):
            return False
        if isinstance(part, Switch):
            return not part.is_key
        return isinstance(part, Load) and part.kind not in ("starter",)

    def _may_touch_feed(self, name: str) -> bool:
        """Whether what is on no sheet may be touched: it is judged by what feeds it."""
        return self.hands_off.why_not_behind(self.added[name]) is None

    def may_pull(self, fuse: str) -> bool:
        part = self.platform.parts.get(fuse)
        if not isinstance(part, Fuse) or part.style == "bolted" or part.kind == "link":
            return False
        return self.hands_off.may_touch(fuse)

    def is_connector(self, name: str) -> bool:
        part = self.platform.parts.get(name)
        return part is not None and part.kind == "connector" and self.hands_off.may_touch(name)

    def is_battery(self, name: str) -> bool:
        return isinstance(self.platform.parts.get(name), Battery)

    def is_unfused(self, name: str) -> bool:
        """Whether it has a cable that no fuse protects, and is a part of its own."""
        part = self.platform.parts.get(name)
        return part is not None and part.kind in UNFUSED_KINDS

    def is_cavity(self, name: str) -> bool:
        """Whether it is one cavity of a connector, or a pin of a load: its terminal can be lifted out of the plug, and
        all else stays joined."""
        owner = name.rpartition(".")[0]
        if name in self.platform.parts or not self.hands_off.may_touch(name):
            return False
        return self.is_connector(owner) or isinstance(self.platform.parts.get(owner), Load)

    def may_read(self, place: str) -> bool:
        """Whether a place may be read in its own way: by probing a fuse, or with a clamp round a cable."""
        if place in self.added:
            return self._may_touch_feed(place)
        if isinstance(self.platform.parts.get(place), Fuse) and self.reads(place) == "read-fuse":
            return self.hands_off.may_touch(place)
        return self.hands_off.may_clamp(place)

    def behind(self, name: str) -> frozenset[str]:
        """Parts whose supply hangs on a fuse or connector."""
        if not self._behind:
            found: dict[str, set[str]] = {}
            for load in self.platform.loads:
                for through in self.parked.supplies_of(load.name):
                    for part in through:
                        found.setdefault(part, set()).add(load.name)
            self._behind = {part: frozenset(loads) for part, loads in found.items()} or {"": frozenset()}
        return self._behind.get(name, frozenset())

    def stops_at_once(self, names: Iterable[str]) -> bool:
        """Whether all that goes with these out stops in that moment: loads that only take current, contacts and outputs
        that bring nothing but such loads and coils. A module may have kept others awake, which then have to fall
        asleep first."""
        return all(self._only_brings_loads(name) for name in names)

    def _only_brings_loads(self, name: str) -> bool:
        platform, contacts = self.platform, self.parked.circuit.contacts
        part = platform.parts.get(name)
        if name in self.added or self._only_takes(name) or (part is None and self._only_passes_to_loads(name)):
            return True
        if isinstance(part, Switch) and (part.is_key or name in self._watched):
            return False
        links = self.parked.circuit.links
        own = [name] if name in contacts else [its for its, at in contacts.items() if links[at[0]].part == name]
        if not own or not (part is None or isinstance(part, Relay | Switch)):
            return False
        brought = frozenset[str]().union(*(self.parked.owners_with_stuck(contact) for contact in own))
        return bool(brought) and all(
            self._only_takes(its) or isinstance(platform.parts.get(its), Relay) for its in brought
        )

    def _only_passes_to_loads(self, name: str) -> bool:
        """Whether a pin, or a cavity of a plug, leads from an output, a relay or a fuse to nothing but loads that
        only take current, and to relays that bring nothing else."""
        circuit, parts = self.parked.circuit, self.platform.parts
        at = (end for end in circuit.terminals_of.get(name.rpartition(".")[0], ()) if str(end) == name)
        start = next((circuit.number[end] for end in at), None)
        if start is None:
            return False
        outputs = {output.terminal for output in self.platform.outputs}
        for end in (circuit.nodes[node] for node in metal_from(circuit, start, self.parked.fitting).nodes):
            part = parts.get(end.part)
            if isinstance(part, Relay):
                if not self._only_brings_loads(end.part):
                    return False
            elif isinstance(part, Fuse):
                if end.pin != SECOND:
                    return False
            elif not isinstance(part, Joint) and end not in outputs and not self._only_takes(end.part):
                return False
        return True

    def _only_takes(self, name: str) -> bool:
        """Whether it is a load that keeps nobody awake, no module and on no network, and that does not run down for
        minutes as what burns fuel does (common practice, no source)."""
        part = self.platform.parts.get(name)
        if not isinstance(part, Load) or part.kind == "module" or name in self.platform.networks_of:
            return False
        return "burns-fuel" not in care_of(part)

    @cached_property
    def _watched(self) -> frozenset[str]:
        """The switches that modules read."""
        return frozenset(its.switch.name for its in every_input(self.parked))

    def feeds(self, part: str) -> tuple[str, ...]:
        """The fuses nearest to each supply pin of a part, all of them pullable."""
        known = self._feeds.get(part)
        if known is None:
            known = self._feeds[part] = self._nearest_fuses(part)
        return known

    def _nearest_fuses(self, part: str) -> tuple[str, ...]:
        feeds = []
        for _, _, way in self.parked.pins_of(part):
            fuse = next((place for place in way.places if isinstance(self.platform.parts.get(place), Fuse)), None)
            if fuse is None or not self.may_pull(fuse):
                return ()
            feeds.append(fuse)
        return tuple(dict.fromkeys(feeds))

    def _planned(self, doing: Doing, parts: tuple[str, ...], about: str) -> Action:
        hands, wakes, *_ = WORK[doing]
        wait = self.to_settle if doing in TAKES_OUT and not self.stops_at_once(parts) else 0.0
        at = parts[:1] if doing == "at-the-post" else parts  # each cable there is clamped where it begins
        reach = sum(sorted({self._owner(p): self._reach(p) for p in at}.values()))
        more = EACH_MORE_FUSE * max(len(parts) - 1, 0)
        minutes = hands + more + reach + wait + wakes * self.to_sleep
        if WORK[doing].by == "scan tool":
            minutes += LOST_BY_A_SCAN
        if WORK[doing].by == "parting" and any(self._has_a_cable(p) for p in parts):
            more += GROUND_LEAD
            anew = max(0.0, self.to_sleep - wait) if self.parked.plan.sleepers else 0.0
            minutes += GROUND_LEAD + anew
            wait += anew  # with the ground lead on again all modules start anew
        touches, first = self._touches(doing, parts, about), self._cut_first(doing, parts)
        again = self.to_sleep if wakes == SURELY else 0.0
        left: tuple[str, ...] = ()
        dead: tuple[str, ...] = ()
        if doing == "read-box" and (box := self.platform.box_of(parts[0])) is not None:
            left = tuple(fuse for fuse in self._probed_in(box.name) if not self.may_read(fuse))
            others = (fuse for fuse in self._probed_in(box.name) if fuse not in (*parts, *left))
            dead = tuple(filter(self._is_dead, others))
        return Action(doing, parts, minutes, hands + more + reach, wait, touches, first, about, again, left, dead)

    def _has_a_cable(self, name: str) -> bool:
        """Whether a part hangs on a cable of its own, which is touched with the ground lead off."""
        part = self._part(name)
        return part is not None and part.kind in UNFUSED_KINDS

    def _owner(self, name: str) -> str:
        """What has to be got at only once: the box of a fuse or relay, the part itself, its star."""
        part = self._part(name)
        if part is None:
            return name
        box = self.platform.box_of(part.name)
        return box.name if box is not None else part.name

    def _part(self, name: str) -> Part | None:
        if name in self.platform.parts:
            return self.platform.parts[name]
        return self.platform.parts.get(name.rpartition(".")[0])

    def _reach(self, name: str) -> float:
        star = self.platform.stars.get(name.rpartition(".")[0])
        if star is not None:
            return star.reach.middle if star.reach is not None else REACH_OF_A_PART
        part = self._part(name)
        if name in self.platform.networks:
            return REACH_OF_A_LINE
        if name in self.added:
            return REACH_OF_WHAT_WAS_FOUND
        if part is None:
            return 0.0
        box = self.platform.box_of(part.name)
        if part.reach is not None:
            return part.reach.middle
        if box is not None:
            return box.reach.middle if box.reach is not None else REACH_OF_A_BOX
        if part.kind == "socket":
            return REACH_OF_A_SOCKET
        return REACH_OF_A_BOX if isinstance(part, Fuse | Box | Battery) else REACH_OF_A_PART

    def _touches(self, doing: Doing, parts: tuple[str, ...], about: str) -> tuple[str, ...]:
        """Names of what a step touches or cuts off from its supply, if there are only a few."""
        if doing not in TAKES_OUT:
            return parts
        named = {*parts, about} - {""}
        behind = named.union(*(self.behind(part) for part in parts))
        return tuple(sorted(behind if len(behind) <= MOST_TOLD else named))

    def _cut_first(self, doing: Doing, parts: tuple[str, ...]) -> tuple[str, ...]:
        """What has to come out before something heavy is parted: the fuses before it, or the battery where a feed has
        no fuse that can be pulled. Empty where nothing heavy passes."""
        if doing not in ("connector", "plug", "unplug"):
            return ()
        found: dict[str, None] = {}
        for part in parts:
            for load in self.behind(part) | ({part} if isinstance(self._part(part), Load) else set()):
                for _, _, way in self.parked.pins_of(load):
                    fed_from_nowhere = not way.places  # no sheet yet says from where
                    if fed_from_nowhere or (part != load and part not in way.through):
                        continue
                    fuse = next((its for p in way.places if isinstance(its := self.platform.parts.get(p), Fuse)), None)
                    if fuse is None or fuse.rating is None or fuse.rating >= HEAVY:
                        pullable = fuse is not None and self.may_pull(fuse.name)
                        if fuse is None or fuse.rating is not None:
                            found[fuse.name if fuse is not None and pullable else way.places[-1]] = None
        return tuple(sorted(found))
