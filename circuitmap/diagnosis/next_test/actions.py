"""What is worth doing next at this car, given the explanations that are left."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.handling import Action, Handling
from circuitmap.evidence.network_lines import MEASURED_KINDS
from circuitmap.wiring.parts import Fuse, Relay, Switch

WORTH_A_TEST = 0.002
"""Below this probability nothing is done for a fault's own sake (judgement)."""


class Done(NamedTuple):
    """What was done already: `tried` are parts that were out together, and what the total showed then is known;
    `out` is out now; `relays` and `inputs` were looked at; `wrong_input`: the live data, which show all inputs at once,
    showed a wrong one."""

    tried: frozenset[frozenset[str]] = frozenset()
    out: frozenset[str] = frozenset()
    relays: frozenset[str] = frozenset()
    inputs: frozenset[str] = frozenset()
    wrong_input: bool = False

    def has(self, action: Action) -> bool:
        """Whether an action would show what is known."""
        if action.doing == "relay-volts":
            return action.parts[0] in self.relays
        if action.tells != "what is left":
            return False
        tried = {action.about, *action.parts} if len(action.parts) == 1 else {action.about}
        known = frozenset(action.parts) in self.tried or any(frozenset((name,)) in self.tried for name in tried)
        return known or self.out.issuperset(action.parts)


class Actions:
    """Everything that may be worth doing, given the explanations that are left."""

    def __init__(
        self, handling: Handling, faults: Sequence[Fault], *, looked: bool = False, done: Done | None = None
    ) -> None:
        """`looked`: somebody looked round already."""
        self.hand, self.faults, self.looked = handling, faults, looked
        self.done = done if done is not None else Done()
        self.platform = handling.platform

    def all(
        self, listed: Listed, measured: Iterable[str], lines: Iterable[str], doubtful: Iterable[str] = ()
    ) -> list[Action]:
        """`measured` are the places, and `lines` the networks, that have already been read; `doubtful` are the places
        whose reading some likely explanation takes for a misreading."""
        hand, suspects = self.hand, self._suspects(listed)
        flows_through = self._hangs_on(listed)
        known = frozenset(measured)
        actions = [] if self.looked else [hand.action("look", ())]
        fuses = self._fuses(flows_through)
        actions += [hand.action(hand.reads(f), (f,)) for f in fuses if f not in known and hand.may_read(f)]
        actions += self._boxes(fuses, known)
        actions += [hand.action("read-again", (place,)) for place in doubtful if hand.may_read(place)]
        actions += [hand.action("clamp", (p,)) for p in hand.feeders() if p not in known and hand.may_read(p)]
        fused = {f.part for f in suspects if f.has("own-cable") and f.part in self.platform.parts}
        cables = sorted((fused | {f.part for f in suspects if f.part in hand.added}) - known)
        actions += [hand.action("clamp", (cable,)) for cable in cables if hand.may_read(cable)]
        networks = {n for fault in suspects for n in fault.wakes} - set(lines)
        lines_to_measure = [n for n in sorted(networks) if self._says_by_volts(n) and hand.hands_off.may_touch(n)]
        actions += [hand.action("network-line", (n,)) for n in lines_to_measure]
        inputs = {frozenset((fault.part, fault.module)) for fault in suspects if fault.has("inputs")}
        if not self.done.wrong_input and any(self.done.inputs.isdisjoint(its) for its in inputs):
            actions.append(hand.action("inputs", ()))
        relays = sorted({p for fault in suspects for p in self._relays(fault) if hand.hands_off.may_touch(p)})
        for relay in relays:
            actions += [hand.action("relay-volts", (relay,)), hand.action("pull-relay", (relay,), about=relay)]
        parts = sorted({p for fault in suspects for p in self._unplugged_for(fault) if hand.can_unplug(p)})
        for part in parts:
            actions.append(hand.action("unplug", (part,), about=part))
            feeds = hand.feeds(part)
            if feeds:
                actions.append(hand.action("pull-fuses", feeds, about=part))
        actions += [hand.action("pull-fuses", (f,)) for f in fuses if hand.may_pull(f)]
        actions += [hand.action("connector", (c,)) for c in sorted(flows_through) if hand.is_connector(c)]
        actions += self._legs(networks | {n for fault in suspects for n in fault.wakes})
        actions += self._halves(listed)
        unique: dict[tuple[Doing, frozenset[str]], Action] = {}
        for action in actions:
            if not self.done.has(action):
                unique.setdefault((action.doing, frozenset(action.parts)), action)
        return list(unique.values())

    # ---- which faults, and where ----

    def _suspects(self, listed: Listed) -> list[Fault]:
        """The faults that are worth a test of their own."""
        weight = np.bincount(listed.first, listed.weights, len(self.faults))
        both = listed.second >= 0
        weight += np.bincount(listed.second[both], listed.weights[both], len(self.faults))
        return [self.faults[n] for n in np.flatnonzero(weight >= WORTH_A_TEST).tolist()]

    def _unplugged_for(self, fault: Fault) -> tuple[str, str]:
        """A switch is unplugged for its own contact; a wrong input may be wrong because it is open already."""
        is_input = fault.has("inputs") and isinstance(self.platform.parts.get(fault.part), Switch)
        return fault.module, "" if is_input else fault.part

    def _hangs_on(self, listed: Listed) -> frozenset[str]:
        """Everything that some suspect current passes through."""
        distinct = {id(fault.brings): fault.brings for fault in self._suspects(listed)}
        found: set[str] = set()
        for flows in distinct.values():
            for flow in flows:
                found |= flow.way.through
        return frozenset(found)

    def _says_by_volts(self, network: str) -> bool:
        its = self.platform.networks.get(network)
        return its is not None and its.kind in MEASURED_KINDS

    def _fuses(self, names: Iterable[str]) -> list[str]:
        return sorted(n for n in names if isinstance(self.platform.parts.get(n), Fuse))

    def _boxes(self, fuses: Iterable[str], known: frozenset[str]) -> list[Action]:
        """The rest of each box in which several fuses are worth reading: one step, not one for each fuse."""
        worth: dict[str, int] = {}
        for fuse in fuses:
            box = self.platform.box_of(fuse)
            if box is not None and fuse not in known:
                worth[box.name] = worth.get(box.name, 0) + 1
        rests = (self.hand.rest_of_box(box, known) for box, count in worth.items() if count > 1)
        return [self.hand.action("read-box", rest) for rest in rests if len(rest) > 1]

    def _relays(self, fault: Fault) -> list[str]:
        names = {fault.part, fault.contact} | {flow.owner for flow in fault.brings if flow.holds_a_relay}
        names |= set(fault.others)
        return [name for name in names if isinstance(self.platform.parts.get(name), Relay)]

    def _legs(self, networks: Iterable[str]) -> list[Action]:
        wanted = set(networks)
        found = []
        for star in self.platform.stars.values():
            if star.network in wanted:
                legs = [f"{star.name}.{number}" for number in range(1, len(star.legs) + 1)]
                found += [self.hand.action("leg", (leg,)) for leg in legs if self.hand.hands_off.may_touch(leg)]
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
                feeds = self.hand.feeds(name) or ((name,) if self.hand.may_pull(name) else ())
                if held >= goal or len(fuses) + len(feeds) > 8:
                    break
                if feeds:
                    fuses |= dict.fromkeys(feeds)
                    held += weight[name]
            if len(fuses) > 1:
                found.append(self.hand.action("pull-fuses", tuple(fuses)))
        return found
