"""What can be done next at this car, and how many minutes it takes. Minutes and chances are judgement."""

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

import numpy as np

from circuitmap.diagnosis.faults import Fault
from circuitmap.diagnosis.hands_off import cautions_for, hands_off_parts
from circuitmap.diagnosis.listing import Listed
from circuitmap.diagnosis.parked import Parked
from circuitmap.diagnosis.places import PlaceTree
from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.wiring.parts import Battery, Box, Fuse, Load, Part, Relay

Doing = Literal[
    "look", "read-fuse", "read-again", "clamp", "network-line", "inputs", "relay-volts", "unplug", "plug", "connector",
    "leg", "pull-fuses", "pull-relay", "finish-sheet",
]  # fmt: skip


class Effort(NamedTuple):
    """Minutes of hands, and the chance of waking what sleeps."""

    hands: float
    wakes: float


EFFORT: dict[Doing, Effort] = {
    "look": Effort(5.0, 0.0),
    "read-fuse": Effort(1.0, 0.05),
    "read-again": Effort(1.0, 0.05),
    "clamp": Effort(2.0, 0.0),
    "network-line": Effort(4.0, 0.05),
    "inputs": Effort(3.0, 1.0),
    "relay-volts": Effort(5.0, 0.05),
    "unplug": Effort(2.0, 0.5),
    "plug": Effort(2.0, 0.5),
    "connector": Effort(2.0, 0.5),
    "leg": Effort(2.0, 0.5),
    "pull-fuses": Effort(1.0, 0.3),
    "pull-relay": Effort(1.0, 0.3),
    "finish-sheet": Effort(20.0, 0.0),
}
EACH_MORE_FUSE = 0.5
WORTH_A_TEST = 0.002
"""Probability below which nothing is done for a fault's own sake (judgement)."""
REACH_OF_A_PART, REACH_OF_A_BOX = 10.0, 2.0
TIME_TO_SLEEP, TIME_TO_SETTLE = 30.0, 10.0
NOT_INVASIVE: frozenset[Doing] = frozenset(
    ("look", "read-fuse", "read-again", "clamp", "network-line", "relay-volts", "finish-sheet")
)
TAKES_OUT: frozenset[Doing] = frozenset(("unplug", "plug", "connector", "leg", "pull-fuses", "pull-relay"))


class Action(NamedTuple):
    """Something to do. `parts` are what is read, opened, unplugged or pulled; `about` the part it is meant to judge.

    `minutes` is all that it costs, the chance of waking the car included; `hands_and_reach` and `wait` what it takes
    if it does not wake.
    """

    doing: Doing
    parts: tuple[str, ...]
    minutes: float
    hands_and_reach: float
    wait: float
    cautions: tuple[str, ...] = ()
    about: str = ""

    @property
    def sort(self) -> tuple[str, bool]:
        """What it is like: of one sort one choice is enough. A post of a battery is not like a box's feeder."""
        return self.doing, self.doing == "clamp" and self.parts[0].endswith((".-", ".mid"))

    @property
    def is_invasive(self) -> bool:
        return self.doing not in NOT_INVASIVE


class Actions:
    """Everything that may be worth doing, given the explanations that are left."""

    def __init__(self, parked: Parked, tree: PlaceTree, faults: Sequence[Fault]) -> None:
        self.parked, self.tree, self.faults = parked, tree, faults
        self.platform = parked.platform
        self.never = hands_off_parts(self.platform)
        sleep = self.platform.sleep
        self.to_sleep = sleep.middle if sleep is not None else TIME_TO_SLEEP
        self.to_settle = sleep.low if sleep is not None else TIME_TO_SETTLE
        self._behind: dict[str, frozenset[str]] = {}

    def all(
        self, listed: Listed, measured: Iterable[str], lines: Iterable[str], doubtful: Iterable[str] = ()
    ) -> list[Action]:
        """`measured` are the places, `lines` the networks that were read already; `doubtful` the places whose reading
        some likely explanation takes for a misreading."""
        suspects = self._suspects(listed)
        flows_through = self._hangs_on(listed)
        known = frozenset(measured)
        actions = [self.action("look", ())]
        actions += [self.action(self._reads(f), (f,)) for f in self._fuses(flows_through) if f not in known]
        actions += [self.action("read-again", (place,)) for place in doubtful]
        actions += [self.action("clamp", (p,)) for p in self._feeders() if p not in known]
        cables = sorted({f.part for f in suspects if f.kind == "unfused" and f.part in self.platform.parts} - known)
        actions += [self.action("clamp", (cable,)) for cable in cables if cable not in self.never]
        networks = {n for fault in suspects for n in fault.wakes} - set(lines)
        actions += [self.action("network-line", (n,)) for n in sorted(networks)]
        if any(fault.kind == "wrong-input" for fault in suspects):
            actions.append(self.action("inputs", ()))
        relays = sorted({p for fault in suspects for p in self._relays(fault)})
        for relay in relays:
            actions += [self.action("relay-volts", (relay,)), self.action("pull-relay", (relay,), about=relay)]
        parts = sorted({p for fault in suspects for p in (fault.part, fault.module) if self._can_unplug(p)})
        for part in parts:
            actions.append(self.action("unplug", (part,), about=part))
            feeds = self._feeds(part)
            if feeds:
                actions.append(self.action("pull-fuses", feeds, about=part))
        fuses = [f for f in self._fuses(flows_through) if self._may_pull(f)]
        actions += [self.action("pull-fuses", (f,)) for f in fuses]
        actions += [self.action("connector", (c,)) for c in sorted(flows_through) if self._is_connector(c)]
        actions += self._legs(networks | {n for fault in suspects for n in fault.wakes})
        actions += self._halves(listed)
        unique: dict[tuple[Doing, frozenset[str]], Action] = {}
        for action in actions:
            unique.setdefault((action.doing, frozenset(action.parts)), action)
        return list(unique.values())

    def action(self, doing: Doing, parts: tuple[str, ...], about: str = "") -> Action:
        hands, wakes = EFFORT[doing]
        wait = self.to_settle if doing in TAKES_OUT else 0.0
        reach = sum(sorted({self._owner(p): self._reach(p) for p in parts}.values()))
        more = EACH_MORE_FUSE * max(len(parts) - 1, 0)
        minutes = hands + more + reach + wait + wakes * self.to_sleep
        return Action(doing, parts, minutes, hands + more + reach, wait, self._cautions(doing, parts, about), about)

    # ---- who and where ----

    def _suspects(self, listed: Listed) -> list[Fault]:
        """The faults that are worth a test of their own."""
        weight = np.bincount(listed.first, listed.weights, len(self.faults))
        both = listed.second >= 0
        weight += np.bincount(listed.second[both], listed.weights[both], len(self.faults))
        return [self.faults[n] for n in np.flatnonzero(weight >= WORTH_A_TEST).tolist()]

    def _hangs_on(self, listed: Listed) -> frozenset[str]:
        """Everything that some current under suspicion passes through."""
        distinct = {id(fault.brings): fault.brings for fault in self._suspects(listed)}
        found: set[str] = set()
        for flows in distinct.values():
            for flow in flows:
                found |= flow.way.through
        return frozenset(found)

    def _fuses(self, names: Iterable[str]) -> list[str]:
        return sorted(n for n in names if isinstance(self.platform.parts.get(n), Fuse))

    def _reads(self, fuse: str) -> Doing:
        """How a fuse is read: of a style whose drop says no current its cable is clamped instead."""
        part = self.platform.parts[fuse]
        assert isinstance(part, Fuse)
        says = not part.style or cold_resistance(part.style, part.rating) is not None
        return "read-fuse" if says else "clamp"

    def _feeders(self) -> list[str]:
        found: list[str] = []
        for part in self.platform.parts.values():
            if isinstance(part, Box):
                found.append(part.name)
            elif isinstance(part, Battery):
                found += [part.name, f"{part.name}.-"] if part.series else [part.name]
        return found

    def _relays(self, fault: Fault) -> list[str]:
        names = {fault.part, fault.contact} | {flow.owner for flow in fault.brings if flow.key[1] == "coil"}
        names |= set(fault.others)
        return [name for name in names if isinstance(self.platform.parts.get(name), Relay)]

    def _can_unplug(self, name: str) -> bool:
        part = self.platform.parts.get(name)
        return isinstance(part, Load) and name not in self.never and part.kind not in ("starter",)

    def _is_connector(self, name: str) -> bool:
        part = self.platform.parts.get(name)
        return part is not None and part.kind == "connector" and not self.behind(name) & self.never

    def _may_pull(self, fuse: str) -> bool:
        part = self.platform.parts.get(fuse)
        if not isinstance(part, Fuse) or part.style == "bolted" or part.kind == "link":
            return False
        return not self.behind(fuse) & self.never

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

    def _feeds(self, part: str) -> tuple[str, ...]:
        """The fuses nearest to each supply pin of a part, all of them pullable."""
        feeds = []
        for _, _, way in self.parked.pins_of(part):
            fuse = next((place for place in way.places if isinstance(self.platform.parts.get(place), Fuse)), None)
            if fuse is None or not self._may_pull(fuse):
                return ()
            feeds.append(fuse)
        return tuple(dict.fromkeys(feeds))

    def _legs(self, networks: Iterable[str]) -> list[Action]:
        wanted = set(networks)
        found = []
        for star in self.platform.stars.values():
            if star.network in wanted and not set().union(*map(set, star.legs)) & self.never:
                for number in range(1, len(star.legs) + 1):
                    found.append(self.action("leg", (f"{star.name}.{number}",)))
        return found

    def _halves(self, listed: Listed) -> list[Action]:
        """Several fuses out at once: the feeds of the likeliest parts, a quarter, half or three quarters of them."""
        weight: dict[str, float] = {}
        for first, share in zip(listed.first.tolist(), listed.weights.tolist(), strict=True):
            fault = self.faults[first]
            name = fault.module or fault.part
            weight[name] = weight.get(name, 0.0) + share
        ranked = sorted(weight, key=lambda name: (-weight[name], name))
        found = []
        for goal in (0.25, 0.5, 0.75):
            fuses: dict[str, None] = {}
            held = 0.0
            for name in ranked:
                feeds = self._feeds(name) or ((name,) if self._may_pull(name) else ())
                if held >= goal or len(fuses) + len(feeds) > 8:
                    break
                if feeds:
                    fuses |= dict.fromkeys(feeds)
                    held += weight[name]
            if len(fuses) > 1:
                found.append(self.action("pull-fuses", tuple(fuses)))
        return found

    # ---- minutes and cautions ----

    def _owner(self, name: str) -> str:
        """What is reached once: the box of a fuse or relay, the part itself, its star."""
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
        if part is None:
            return 0.0
        box = self.platform.box_of(part.name)
        if part.reach is not None:
            return part.reach.middle
        if box is not None:
            return box.reach.middle if box.reach is not None else REACH_OF_A_BOX
        return REACH_OF_A_BOX if isinstance(part, Fuse | Box | Battery) else REACH_OF_A_PART

    def _cautions(self, doing: Doing, parts: tuple[str, ...], about: str) -> tuple[str, ...]:
        found: dict[str, None] = {}
        if doing in TAKES_OUT:
            found |= dict.fromkeys(("write-down-first", "codes-first"))
            names = {*parts, about} | set().union(*(self.behind(part) for part in parts))
            for name in sorted(names):
                part = self._part(name)
                if part is not None and (name in parts or name == about or len(names) <= 6):
                    found |= dict.fromkeys(cautions_for(part))
        elif doing in ("read-fuse", "read-again", "clamp"):
            found["zero-first"] = None
            if any((part := self._part(name)) is not None and part.kind == "battery" for name in parts):
                found["battery"] = None
        elif doing == "inputs":
            found["wakes"] = None
        elif doing == "relay-volts":
            found["probe-back"] = None
        if self.platform.supply_volts > 12.0 and doing in ("clamp", "read-fuse", "relay-volts"):
            found["higher-volts"] = None
        return tuple(found)
