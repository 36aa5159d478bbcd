"""What is worth doing next at this car, given the explanations that are left."""

from collections.abc import Container, Iterable, Mapping, Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.input_wires import is_input_wire
from circuitmap.diagnosis.faults.under_load import fuses_first
from circuitmap.diagnosis.next_test.asking_pins import asking_pins
from circuitmap.diagnosis.next_test.at_the_post import posts_to_look_at
from circuitmap.diagnosis.next_test.doing import Doing
from circuitmap.diagnosis.next_test.done import Done
from circuitmap.diagnosis.next_test.handling import Action, Handling
from circuitmap.diagnosis.next_test.lamps import lamps_that_tell
from circuitmap.diagnosis.next_test.rows import FED_ENOUGH, rows_worth_reading
from circuitmap.diagnosis.seen.some_volts import partly_fed
from circuitmap.evidence.network_lines import MEASURED_KINDS
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.parts import FIRST, Fuse, Load, Relay, Switch, Terminal

WORTH_A_TEST = 0.002
"""Below this probability nothing is done for a fault's own sake (judgement)."""
WORTH_FOLLOWING = 0.3
"""Below this probability of something behind a fuse nobody follows its wire (judgement)."""
NEXT_TO_NOTHING = 0.1
"""Of what flows, what may hide in a feeder that was read as carrying nothing, for no fuse behind it to be pulled
(judgement)."""
WORTH_PROBING = 0.3
"""From this probability of the inputs at a pin on their volts are a step of its own (judgement)."""
WORTH_A_PROBE_AT_A_LOAD = 0.05
"""The same of an output that lets some through, at its load: nothing else shows that, short of unplugging."""
LEADS = 0.5
"""From this probability on a switch that a module reads is unplugged by itself."""
UNTIL_IT_COMES = 60.0
"""Minutes until what comes and goes is up again, while nobody knows its rhythm (judgement)."""
MOST_COMPARED = 300
"""How many steps that take something out, and how many that read a current, are compared with each other (judgement:
together one second)."""


class Actions:
    """Everything that may be worth doing, given the explanations that are left."""

    def __init__(
        self,
        handling: Handling,
        faults: Sequence[Fault],
        *,
        looked: bool = False,
        done: Done | None = None,
        readings: Mapping[str, Reading] = MappingProxyType({}),
        ends_by_itself: bool = False,
        up_for: float | None = None,
    ) -> None:
        """`looked`: somebody looked round already; `readings` are the currents read, by place; `ends_by_itself`: the
        draw comes and goes, and is up for `up_for` minutes at a time, if that is known."""
        self.ends_by_itself, self.up_for = ends_by_itself, up_for
        self.readings = readings
        self.hand, self.faults, self.looked = handling, faults, looked
        self.done = done if done is not None else Done()
        self.platform = handling.platform
        self._latest: tuple[Listed, NDArray[np.float64], list[tuple[int, float]]] | None = None

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
        actions += [hand.action("follow", (fuse,)) for fuse in self._fuses(self._to_follow(listed))]
        posts = posts_to_look_at(self._weights(listed).tolist(), self.faults, hand, known)
        actions += [hand.action("at-the-post", its) for its in posts]
        actions += [hand.action(hand.reads(f), (f,)) for f in fuses if f not in known and hand.may_read(f)]
        actions += rows_worth_reading(hand, fuses, known, self.fed_by_likely(listed))
        actions += [hand.action("read-again", (place,)) for place in doubtful if hand.may_read(place)]
        feeders = [p for p in hand.feeders() if p not in known and hand.only_feeder_of(p) not in known]
        actions += [hand.action("clamp", (p,)) for p in feeders if hand.may_read(p)]
        fused = {f.part for f in suspects if f.has("own-cable") and f.part in self.platform.parts}
        cables = sorted((fused | {f.part for f in suspects if f.part in hand.added}) - known)
        actions += [hand.action("clamp", (cable,)) for cable in cables if hand.may_read(cable)]
        networks = {n for fault in suspects for n in fault.wakes} - set(lines)
        lines_to_measure = [n for n in sorted(networks) if self._says_by_volts(n) and hand.hands_off.may_touch(n)]
        actions += [hand.action("network-line", (n,)) for n in lines_to_measure]
        if not self.done.wrong_input and self.inputs_left(listed):
            actions.append(hand.action("inputs", ()))
        actions += [hand.action("input-volts", (pin,)) for pin in self._pins_that_tell(listed)]
        actions += [hand.action("load-volts", (pin,), about=load) for load, pin in self._loads_that_tell(listed)]
        weights = self._weights(listed).tolist()
        asking = asking_pins(weights, self.faults, hand.parked, self.done.probed)
        actions += [hand.action("asked-volts", (pin,)) for pin in asking]
        if self.looked:
            lamps = lamps_that_tell(self._weights(listed), self.faults, self.platform, self.done)
            actions += [hand.action("look-at", (lamp,)) for lamp in lamps]
        relays = sorted({p for fault in suspects for p in self._relays(fault) if hand.hands_off.may_touch(p)})
        for relay in relays:
            actions += [hand.action("relay-volts", (relay,)), self._pulled(relay, suspects)]
        apart = {name for fault in suspects if is_input_wire(self.platform, fault) for name in fault.others}
        opening = sorted({fault.part for fault in suspects if fault.by_opening} - self.done.inputs)
        actions += [hand.action("bridge", (switch,), about=switch) for switch in opening if hand.can_unplug(switch)]
        out = {p for fault in suspects for p in self._unplugged_for(fault, apart)} | self._leading_switches(listed)
        parts = sorted(filter(hand.can_unplug, out - {""}))
        for part in parts:
            actions.append(hand.action("unplug", (part,), about=part))
            feeds = hand.feeds(part)
            if feeds:
                actions.append(hand.action("pull-fuses", feeds, about=part))
        actions += [hand.action("pull-fuses", (f,)) for f in fuses if hand.may_pull(f)]
        together = (its for joint, its in hand.parked.members.items() if joint in flows_through)
        actions += [hand.action("pull-fuses", its) for its in together if all(map(hand.may_pull, its))]
        actions += [hand.action("connector", (c,)) for c in sorted(flows_through) if hand.is_connector(c)]
        told_apart = (f for f in suspects if not isinstance(self.platform.parts.get(f.part), Switch))
        cavities = {name for fault in told_apart for name in fault.others if hand.is_cavity(name)}
        actions += [hand.action("connector", (cavity,)) for cavity in sorted(cavities | self._drivers(suspects))]
        actions += self._legs(networks | {n for fault in suspects for n in fault.wakes})
        actions += self._halves(listed)
        actions += self._tries_again()
        actions = [one for one in actions if self.done.owes(one) or not self._behind_nothing(one)]
        unique: dict[tuple[Doing, frozenset[str]], Action] = {}
        for action in actions:
            if not self.done.has(action):
                unique.setdefault((action.doing, frozenset(action.parts)), action)
        return [self._with_its_wait(action) for action in unique.values()]

    def _behind_nothing(self, action: Action) -> bool:
        """Whether all fuses to be pulled hang on feeders that were read as carrying nothing, or next to nothing of what
        flows: out, they would take away no more than that. A reading that is doubted is read again, and no fuse pulled
        for it."""
        if action.doing != "pull-fuses":
            return False
        most = max((its.amps or 0.0 for its in self.readings.values()), default=0.0)
        return most > 0.0 and all(self._fed_by_nothing(fuse, NEXT_TO_NOTHING * most) for fuse in action.parts)

    def _fed_by_nothing(self, fuse: str, little: float) -> bool:
        way = self.hand.parked.ways.to(Terminal(fuse, FIRST))
        read = [self.readings[place] for place in (way.places if way is not None else ()) if place in self.readings]
        return any(
            its.amps is not None and not its.shows_current and abs(its.amps) + its.half_step + 2.0 * its.zero < little
            for its in read
        )

    def _with_its_wait(self, action: Action) -> Action:
        """What is taken out of a draw that ends by itself has to stay out until that would have come again; what is
        read while it is up is read."""
        waits = self.ends_by_itself and action.takes_out
        return action._replace(minutes=action.minutes + UNTIL_IT_COMES) if waits else action

    def _tries_again(self) -> list[Action]:
        """The tries that are doubted, made again."""
        found = []
        for out in self.done.doubted:
            if all(map(self.hand.may_pull, out)):
                found.append(self.hand.action("pull-fuses", out))
            elif len(out) == 1 and self.hand.can_unplug(out[0]):
                found.append(self.hand.action("unplug", out, about=out[0]))
        return found

    def only_batteries(self, places: Iterable[str]) -> bool:
        """Whether none of these places is anywhere but at a battery."""
        return all(battery_read_at(self.platform, place) for place in places)

    def was_out(self, part: str) -> bool:
        """Whether a part was out by itself, or without any of its supplies."""
        return bool({frozenset((part,)), frozenset(self.hand.feeds(part))} & self.done.tried)

    def likeliest(self, actions: Sequence[Action], listed: Listed) -> list[Action]:
        """Of the steps that take something out, and of those that read a current, as many as can be compared: those at
        which most of the probability hangs. All others stay."""
        found = set(range(len(actions)))
        for tells in ("what is left", "what flows there"):
            its = [n for n, action in enumerate(actions) if action.tells == tells]
            if len(its) > MOST_COMPARED:
                hanging = self._hanging_at(listed)
                at = {n: max(hanging.get(p, 0.0) for p in (actions[n].about, *actions[n].parts)) for n in its}
                its.sort(key=lambda n: (-round(at[n], 12), n))
                found.difference_update(its[MOST_COMPARED:])
        return [action for n, action in enumerate(actions) if n in found]

    def inputs_left(self, listed: Listed) -> list[Fault]:
        """The faults that the live data would show and that nobody looked for: of a module that is out, or without
        supply, there are none."""
        numbers = np.flatnonzero(self._weights(listed) >= WORTH_A_TEST).tolist()
        its = (self.faults[n] for n in numbers if n not in self.done.ended and self.faults[n].has("inputs"))
        return [fault for fault in its if self.done.inputs.isdisjoint((fault.part, fault.module))]

    def switches_left(self, listed: Listed) -> set[str]:
        """The switches among them, those that are hands-off, too: live data touch nothing."""
        return {fault.part for fault in self.inputs_left(listed) if fault.part != fault.module}

    def _pins_that_tell(self, listed: Listed) -> list[str]:
        """The pins at which a likely wrong input comes in, and where no volts were read: they tell the switch and its
        wire from the module, with nothing out, and also where the switch itself is hands-off."""
        weight: dict[str, float] = {}
        for number, its in self._with_weight(listed):
            fault = self.faults[number]
            if fault.has("inputs") and number not in self.done.ended:
                for pin in self.pins_to_probe((fault,)):
                    weight[pin] = weight.get(pin, 0.0) + its
        return sorted(pin for pin, its in weight.items() if its >= WORTH_PROBING)

    def _loads_that_tell(self, listed: Listed) -> list[tuple[str, str]]:
        """The loads, each with its feed's pin, that may get a part of their current with nobody asking for it: volts
        there tell that from all else behind the same fuse, with nothing unplugged."""
        weight: dict[tuple[str, str], float] = {}
        for number, its in self._with_weight(listed):
            if number not in self.done.ended:
                for told in partly_fed(self.hand.parked, self.faults[number]):
                    weight[told] = weight.get(told, 0.0) + its
        likely = (told for told, its in weight.items() if its >= WORTH_A_PROBE_AT_A_LOAD)
        return sorted((n, p) for n, p in likely if p not in self.done.probed and self.hand.hands_off.may_touch(p))

    def _leading_switches(self, listed: Listed) -> set[str]:
        """The switches that are likelier than not what tells a module something wrong: unplugged by themselves, before
        anything that more hangs on. Not one that is open when it is out as when it fails."""
        weight: dict[str, float] = {}
        for number, its in self._with_weight(listed):
            fault = self.faults[number]
            is_switch = isinstance(self.platform.parts.get(fault.part), Switch)
            if is_switch and fault.has("inputs") and not fault.by_opening:
                weight[fault.part] = weight.get(fault.part, 0.0) + its
        return {part for part, its in weight.items() if its >= LEADS}

    def pins_to_probe(self, inputs: Iterable[Fault]) -> tuple[str, ...]:
        """The pins at which these inputs come in, and where no volts were read yet."""
        parts = self.platform.parts
        pins = {name: None for fault in inputs if not fault.pin for name in fault.others if name not in parts}
        of_a_load = (name for name in pins if isinstance(parts.get(name.rpartition(".")[0]), Load))
        return tuple(n for n in of_a_load if n not in self.done.probed and self.hand.hands_off.may_touch(n))

    def _to_follow(self, listed: Listed) -> list[str]:
        """The fuses behind which something hangs, or is chafed, that is likely enough to follow their wires."""
        weight: dict[str, float] = {}
        for number, its in self._with_weight(listed):
            fault = self.faults[number]
            if fault.has("its-place"):
                weight[fault.about] = weight.get(fault.about, 0.0) + its
        likely = sorted(place for place, its in weight.items() if its >= WORTH_FOLLOWING)
        return [place for place in likely if self.hand.hands_off.may_touch(place)]

    # ---- which faults, and where ----

    def _hanging_at(self, listed: Listed) -> dict[str, float]:
        """How much of the probability hangs at each part and place: of the faults of it, and of those whose current
        passes it."""
        found: dict[str, float] = {}
        passing: dict[int, float] = {}
        brings = {id(fault.brings): fault.brings for fault in self._suspects(listed)}
        for number, weight in self._with_weight(listed):
            fault = self.faults[number]
            if id(fault.brings) in brings:
                passing[id(fault.brings)] = passing.get(id(fault.brings), 0.0) + weight
                for name in {fault.part, fault.module}:
                    found[name] = found.get(name, 0.0) + weight
        for effect, weight in passing.items():
            for name in frozenset[str]().union(*({*its.way.through, *its.way.places} for its in brings[effect])):
                found[name] = found.get(name, 0.0) + weight
        return found

    def _suspects(self, listed: Listed) -> list[Fault]:
        """The faults that are worth a test of their own."""
        return [self.faults[n] for n in np.flatnonzero(self._weights(listed) >= WORTH_A_TEST).tolist()]

    def _weights(self, listed: Listed) -> NDArray[np.float64]:
        """How much of the probability each fault has, alone and in pairs."""
        return self._weighed(listed)[1]

    def _with_weight(self, listed: Listed) -> list[tuple[int, float]]:
        """The faults that have any, by number: few of thousands."""
        return self._weighed(listed)[2]

    def _weighed(self, listed: Listed) -> tuple[Listed, NDArray[np.float64], list[tuple[int, float]]]:
        """Both, worked out once for the list that was asked about last."""
        if self._latest is None or self._latest[0] is not listed:
            weight = np.bincount(listed.first, listed.weights, len(self.faults)).astype(float)
            both = listed.second >= 0
            weight += np.bincount(listed.second[both], listed.weights[both], len(self.faults))
            some = np.flatnonzero(weight > 0.0)
            self._latest = listed, weight, list(zip(some.tolist(), weight[some].tolist(), strict=True))
        return self._latest

    def _unplugged_for(self, fault: Fault, apart: Container[str]) -> tuple[str, str]:
        """A switch is unplugged for its own contact; a wrong input may be wrong because it is open already. One that
        was seen wrong is unplugged to tell it from its wire."""
        is_input = fault.has("inputs") and isinstance(self.platform.parts.get(fault.part), Switch)
        return fault.module, "" if is_input and fault.part not in apart else fault.part

    def _hangs_on(self, listed: Listed) -> frozenset[str]:
        """Everything that some suspect current passes through."""
        distinct = {id(fault.brings): fault.brings for fault in self._suspects(listed)}
        found: set[str] = set()
        for flows in distinct.values():
            for flow in flows:
                found |= flow.way.through
        for fault in self._suspects(listed):
            if is_input_wire(self.platform, fault):
                found |= set(fault.others)  # the plugs on the way of an input's wire
            if fault.ends:
                found = found.union(*fault.lives_by)  # the plugs before this stretch of wire
        return frozenset(found)

    def _says_by_volts(self, network: str) -> bool:
        its = self.platform.networks.get(network)
        return its is not None and its.kind in MEASURED_KINDS

    def _fuses(self, names: Iterable[str]) -> list[str]:
        return sorted(n for n in names if isinstance(self.platform.parts.get(n), Fuse))

    def fed_by_likely(self, listed: Listed) -> frozenset[str]:
        """The places that enough of the probability brings a current to: dead or not, they are worth reading."""
        return frozenset(name for name, its in self._hanging_at(listed).items() if its >= FED_ENOUGH)

    def _relays(self, fault: Fault) -> list[str]:
        names = {fault.part, fault.contact} | {flow.owner for flow in fault.brings if flow.holds_a_relay}
        names |= set(fault.others)
        return [name for name in names if isinstance(self.platform.parts.get(name), Relay)]

    def _drivers(self, suspects: Iterable[Fault]) -> set[str]:
        """The output pins that may hold a relay whose control wire is suspected, too: with the pin's terminal lifted
        out of its plug a wire that is rubbed through goes on, and the output does not."""
        wires = {fault.contact for fault in suspects if fault.has("coil-volts")}
        pins = {output.contact: str(output.terminal) for output in self.platform.outputs}
        holding = (
            pins[fault.contact]
            for fault in suspects
            if fault.contact in pins and any(f.holds_a_relay and f.owner in wires for f in fault.brings)
        )
        return {pin for pin in holding if self.hand.is_cavity(pin)}

    def _pulled(self, relay: str, suspects: Iterable[Fault]) -> Action:
        """A relay pulled; where its load would arc at the socket, with the load's fuse out first."""
        stuck = (fault for fault in suspects if fault.part == relay)
        first = {
            fuse for fault in stuck for fuse in fuses_first(self.platform, self.hand.hands_off, fault, self.readings)
        }
        return self.hand.action("pull-relay", (relay,), about=relay)._replace(cut_first=tuple(sorted(first)))

    def _legs(self, networks: Iterable[str]) -> list[Action]:
        wanted = set(networks)
        stars = (star for star in self.platform.stars.values() if star.network in wanted)
        legs = (f"{star.name}.{number}" for star in stars for number in range(1, len(star.legs) + 1))
        return [self.hand.action("leg", (leg,)) for leg in legs if self.hand.hands_off.may_touch(leg)]

    def _halves(self, listed: Listed) -> list[Action]:
        """Several fuses out at once: the feeds of the likeliest parts, a quarter, half or three quarters of them."""
        weight: dict[str, float] = {}
        for first, share in zip(listed.first.tolist(), listed.weights.tolist(), strict=True):
            fault = self.faults[first]
            name = fault.place if fault.has("its-place") and fault.place else fault.module or fault.part
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
