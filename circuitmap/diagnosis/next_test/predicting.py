"""What each explanation expects of an action, before it is done: chances of its outcomes."""

from collections.abc import Mapping, Sequence
from math import hypot, inf
from types import MappingProxyType
from typing import NamedTuple, assert_never

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.car.places import nearest
from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import LINE_ASLEEP_SEEN_AWAKE, LINE_AWAKE_SEEN
from circuitmap.diagnosis.faults.looking import BRIDGED, BRIDGED_SLIP, INPUT_SEEN, INPUT_SLIP
from circuitmap.diagnosis.next_test.as_weighed import JointFaults, Reread
from circuitmap.diagnosis.next_test.asking_pins import seen_there
from circuitmap.diagnosis.next_test.expectations import Expectations
from circuitmap.diagnosis.next_test.falling import let_fall
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.sights import Sights, or_not
from circuitmap.diagnosis.next_test.whole_box import chances_in_a_box
from circuitmap.diagnosis.seen.pin_volts import SEEN as PIN_SEEN
from circuitmap.diagnosis.seen.pin_volts import PinSays, brought_to, pin_says
from circuitmap.diagnosis.weighing.bell_curve import cdf
from circuitmap.diagnosis.weighing.log_normal import log_shape
from circuitmap.diagnosis.weighing.outcomes import OUTCOMES, chances_of_outcomes
from circuitmap.diagnosis.weighing.sightings import Outcome
from circuitmap.diagnosis.weighing.try_chance import as_was_read
from circuitmap.evidence.fuse_drop import cold_resistance, hidden_below
from circuitmap.wiring.parts import Box, Fuse, Terminal

Array = NDArray[np.float64]

# Judgement.
SLIP = 0.04
"""The share of tests that show something other than they should."""
DOUBTFUL = 0.10
"""A reading is worth a second look if the chance that it is real after all is at least this (judgement)."""
SURELY_MISREAD = 0.02
"""A reading was rather a slip if the chance of so little above its place is below this (judgement)."""
NEARLY_ALL = 0.9
"""A fuse that was read to carry this share of all is where it is taken apart further (judgement)."""
MOSTLY = 0.5
"""A reading that less of the probability than this accounts for is not explained."""
LEAST_READ = 0.012
"""How much current, in A, a fuse reading may hide where nothing is known of the fuse."""
READ_OUTCOMES = ("quiet", "some", "most")


class Setting(NamedTuple):
    """What a try is measured by: the place that stays on the meter, its current in A, what counts as normal there, the
    display step, and the places measured so far. `shown` are the currents read at fuses; `missing` what of the
    current was not found yet; `room` how much more than was found behind it each measured place can carry, its
    meters' error included; `unsure` by how much what was found behind a place can be off; `at_most` how much more
    than that such a place can show, given what was read above and beside it; `out` is what is out already, and `was`
    then the current without it; `known` are parts that were out by themselves, or were
    found on the car, so that nobody has to look for them.
    `can_fall`: more is drawn than is normal and than the meter may be off, so that it shows if that goes.
    `ended` are faults, by number, that have ended with what is out now: no input of theirs is there to be looked at. At
    the places `no_figure` it is only known that they draw: nothing is taken off what feeds them."""

    place: str
    was: float
    normal_up_to: float
    step: float
    measured: frozenset[str]
    shown: Mapping[str, float] = MappingProxyType({})
    missing: float | None = None
    room: Mapping[str, float] = MappingProxyType({})
    unsure: Mapping[str, float] = MappingProxyType({})
    at_most: Mapping[str, float] = MappingProxyType({})
    out: tuple[str, ...] = ()
    known: frozenset[str] = frozenset()
    can_fall: bool = True
    ended: frozenset[int] = frozenset()
    no_figure: frozenset[str] = frozenset()


class Predictions:
    """Chances of the outcomes of actions under the explanations of a list."""

    def __init__(
        self,
        expectations: Expectations,
        faults: Sequence[Fault],
        listed: Listed,
        setting: Setting,
        readings: Mapping[str, Reread] = MappingProxyType({}),
        joint: JointFaults | None = None,
    ) -> None:
        """`joint` are pairs of faults that together bring more than each apart."""
        self.readings = readings
        self._again: dict[str, Array] = {}
        self.know, self.faults, self.listed, self.setting = expectations, faults, listed, setting
        self.sights = Sights(faults, listed, setting.known, setting.ended)
        self.numbers = self.sights.numbers
        self._rows = np.stack([listed.first, listed.second])
        # For currents, a pair that does more together counts as one fault: such pairs stand after all others, and last
        # of all stands "nothing".
        pairs = joint.pairs if joint is not None else {}
        bringing = (*faults, *(joint.expectations.faults if joint is not None else ()))
        self._sources = [(expectations, 0)] + ([(joint.expectations, len(faults))] if joint is not None else [])
        self._one, self._other = listed.first.copy(), np.where(listed.second < 0, len(bringing), listed.second)
        for n, its in enumerate(zip(listed.first.tolist(), listed.second.tolist(), strict=True)) if pairs else ():
            together = pairs.get(frozenset(its))
            if together is not None:
                self._one[n], self._other[n] = len(faults) + together, len(bringing)
                self._rows[:, n] = joint.rows[frozenset(its)] if joint is not None else -1, -1
        known_so_far = len(expectations.faults)
        if len(faults) > known_so_far:  # what is none of these, found at what was read
            rest = Expectations(expectations.parked, expectations.tree, tuple(faults[known_so_far:]))
            self._sources.append((rest, known_so_far))
        # Of thousands of faults a list names few: from here on only these are counted, by their place among them.
        needed = np.flatnonzero(np.bincount(np.concatenate([self._one, self._other])))
        self._place_of = np.full(len(bringing) + 1, -1)
        self._place_of[needed] = np.arange(len(needed))
        self._one, self._other = self._place_of[self._one], self._place_of[self._other]
        self._needed_of = {
            start: frozenset(n - start for n in needed.tolist() if start <= n < start + len(know.faults))
            for know, start in self._sources
        }
        brought = np.zeros((2, len(bringing) + 1))
        for know, start in self._sources:
            known = know.brought(setting.place)
            brought[:, start : start + known.shape[1]] = known
            if setting.out:
                numbers, left_of = know.left(setting.out, setting.place, self._needed_of[start])
                brought[:, start + numbers] = left_of
        self._brought = brought[:, needed]
        # By what they bring: the number of each fault's effect, and one explanation for each distinct two effects.
        effects: dict[int, int] = {}
        brings = [id(bringing[number].brings) if number < len(bringing) else 0 for number in needed.tolist()]
        self._effect = np.array([effects.setdefault(its, len(effects)) for its in brings])
        self._alike = np.bincount(self._effect)
        both = self._effect[self._one] * (len(effects) + 1) + self._effect[self._other]
        _, self._one_of_each, self._as = np.unique(both, return_index=True, return_inverse=True)

    def of_all(self, actions: Sequence[Action]) -> list[tuple[Action, tuple[str, ...], Array]]:
        """The same for many actions, those that read a current worked out together; without those that tell nothing
        apart."""
        found: list[tuple[Action, tuple[str, ...], Array]] = []
        out = [action for action in actions if action.tells == "what is left"]
        after = self._after_taking_out([action.parts for action in out])
        found += [(a, OUTCOMES, c) for a, c in zip(out, after, strict=True) if c is not None]
        read = [action for action in actions if action.tells == "what flows there"]
        shown = self._read_at([action.parts[0] for action in read])
        found += [(a, READ_OUTCOMES, c) for a, c in zip(read, shown, strict=True) if c is not None]
        quiet = {a.parts[0]: c[:, 0] for a, c in zip(read, shown, strict=True) if c is not None}
        for action in actions:
            match action.tells:
                case "a line awake":
                    seen = {n: LINE_AWAKE_SEEN for n in self.numbers if action.parts[0] in self.faults[n].wakes}
                    found.append((action, ("awake", "asleep"), self.sights.two_ways(seen, LINE_ASLEEP_SEEN_AWAKE)))
                case "a wrong input":
                    seen = {n: INPUT_SEEN for n in self.numbers if self.sights.has_an_input(n)}
                    found.append((action, ("a wrong input", "all right"), self.sights.two_ways(seen, INPUT_SLIP)))
                case "what an input hears":
                    if (says := self.says_at(action.parts[0])) is not None:
                        its = brought_to(self.know.parked, [self.faults[n] for n in self.numbers], says)
                        heard = self.sights.two_ways({self.numbers[n]: PIN_SEEN for n in its}, says.pulled)
                        found.append((action, ("in use", "at rest"), heard))
                case "a contact closed":
                    its = [n for n in self.numbers if self.faults[n].by_opening and self.faults[n].part == action.about]
                    goes = self.sights.two_ways(dict.fromkeys(its, BRIDGED), BRIDGED_SLIP)
                    found.append((action, ("goes", "stays with it"), goes))
                case "how a relay stands":
                    found.append((action, ("held", "stuck", "open"), self.sights.relay(action.parts[0])))
                case "the same again":
                    again = self.reads_again(action.parts[0])
                    found.append((action, ("the same", "something else"), or_not(again)))
                case "what a look finds":
                    found.append((action, ("found", "not found"), self.sights.found_by(action)))
                case "whether it burns":
                    found.append((action, ("burning", "dark"), self.sights.at_lamp(action.parts[0])))
                case "what asks there":
                    owner, _, pin = action.parts[0].rpartition(".")
                    its_faults = {n: self.faults[n] for n in self.numbers}
                    asks = self.sights.two_ways(*seen_there(self.know.parked, its_faults, Terminal(owner, pin)))
                    found.append((action, ("plus", "none"), asks))
                case "what a load gets":
                    found.append((action, ("volts", "none"), self.sights.at_load(self.know.parked, action.about)))
                case "which of them draws":
                    fuses = [fuse for fuse in action.parts if fuse in quiet]
                    if len(fuses) > 1:
                        # A slip is one of the whole row, not one of each fuse.
                        own = np.clip((np.stack([quiet[f] for f in fuses]) - SLIP / 3.0) / (1.0 - SLIP), 0.0, 1.0)
                        found.append((action, *chances_in_a_box(fuses, own, self.listed.weights, SLIP)))
                case "what is left" | "what flows there" | "nothing":
                    continue  # already worked out above; an action that tells nothing needs no working out
                case _:
                    assert_never(action.tells)
        return found

    def says_at(self, pin: str) -> PinSays | None:
        """What volts at a module's pin say of the switches that it watches."""
        owner, _, its = pin.rpartition(".")
        return pin_says(self.know.parked, Terminal(owner, its))

    def unexplained(self, undrawn: bool = False) -> list[str]:
        """The places read to carry more than is normal for the whole vehicle, to which most of the probability brings
        nothing; but for `undrawn` ones not a fuse of which no sheet says what is before or behind it: nothing could."""
        found, weights, platform = [], self.listed.weights, self.know.parked.platform
        drawn = {
            place
            for place in self.setting.shown
            if undrawn or place in platform.wires_at or place not in platform.parts
        }
        for place, amps in self.setting.shown.items():
            if amps <= self.setting.normal_up_to + self.know.sound(place).mean or place not in drawn:
                continue
            brought = np.zeros(len(self._place_of))
            for know, start in self._sources:
                its = know.brought(place)[0]
                brought[start : start + len(its)] = its
            at = np.zeros(len(self._effect))
            kept = self._place_of >= 0
            at[self._place_of[kept]] = brought[kept]
            explained = float(weights[(at[self._one] > 0.0) | (at[self._other] > 0.0)].sum())
            if explained < MOSTLY * float(weights.sum()):
                found.append(place)
        return found

    def doubtful(self) -> list[str]:
        """Places whose reading the likeliest explanation takes for a misreading and others do not."""
        found = []
        for place in self.readings:
            again = self.reads_again(place)
            if again[0] < 0.5 and float((self.listed.weights * again).sum()) > DOUBTFUL:
                found.append(place)
        return found

    def reads_again(self, place: str) -> Array:
        """For each explanation the chance that a second look shows the same: that the first was no misreading."""
        known = self._again.get(place)
        if known is None:
            table, misread = self.readings[place]
            first, second = np.append(table.columns, 0)[self._rows]
            chance = np.exp(table.log_chance[first, second])
            right = np.clip(1.0 - misread / chance, 0.0, 1.0)
            known = self._again[place] = np.asarray((1.0 - 2.0 * SLIP) * right + SLIP)
        return known

    def _read_at(self, places: Sequence[str]) -> list[Array | None]:
        """Chances of reading nothing, some or most of the total at places that were not read before; None where no
        explanation brings anything."""
        if not places:
            return []
        brought = np.zeros((len(places), 2, len(self._effect)))
        sound = np.empty((len(places), 2))
        read = self.setting.measured - self.setting.no_figure
        for n, name in enumerate(places):
            for know, start in self._sources:
                numbers, moments, sound[n] = know.new_at(name, read)
                places_of = self._place_of[start + numbers]
                brought[n][:, places_of[places_of >= 0]] = moments[:, places_of >= 0]
        # Explanations with the same effects expect the same.
        first, second = self._one[self._one_of_each], self._other[self._one_of_each]
        both = brought[:, :, first] + brought[:, :, second]
        touched = both[:, 0] > 0.0
        where, _ = np.nonzero(touched)
        # For each place first what a sound car shows there; all explanations that bring nothing show the same.
        place = np.concatenate([np.arange(len(places)), where])
        mean = np.concatenate([np.zeros(len(places)), both[:, 0][touched]]) + sound[place, 0]
        variance = np.concatenate([np.zeros(len(places)), both[:, 1][touched]]) + sound[place, 1]
        hidden, most_from = np.array([self._ends_at(name) for name in places]).T
        ends = (hidden, most_from, np.maximum([self._room_at(name) for name in places], hidden))
        log_median, sigma = log_shape(mean, variance)
        sigma = np.maximum(sigma, 0.1)
        with np.errstate(invalid="ignore", divide="ignore"):
            far = (np.nan_to_num((np.log(end)[place] - log_median) / sigma, nan=40.0) for end in ends)
            quiet, most, fits = (cdf(its) for its in far)
        # What flows here also passed the measured place above and showed no more there, unless that was misread.
        fits = np.where(fits > SURELY_MISREAD, fits, 1.0)
        quiet, most = np.minimum(quiet / fits, 1.0), np.maximum(1.0 - most / fits, 0.0)
        chances = np.stack([quiet, np.maximum(1.0 - quiet - most, 0.0), most], axis=1)
        chances = (1.0 - SLIP) * chances + SLIP / 3.0
        every = np.repeat(chances[: len(places), None], len(first), axis=1)
        every[touched] = chances[len(places) :]
        return _where(touched, every[:, self._as])

    def ends_at(self, action: Action) -> tuple[float, float]:
        """For a reading, the A below which it counts as nothing, and from which on as most; zeros for any other
        action."""
        return self._ends_at(action.parts[0]) if action.tells == "what flows there" else (0.0, 0.0)

    def would_count(self, action: Action) -> bool:
        """Whether a reading would be weighed: that of a box of which only some is fed by a place that was read is set
        aside."""
        tree, box = self.know.tree, action.parts[0] if action.tells == "what flows there" else ""
        is_box = isinstance(self.know.parked.platform.parts.get(box), Box)
        return not (is_box and any(tree.feeds_part_of(box, place) for place in self.setting.measured))

    def takes_down_more(self, action: Action) -> bool:
        """Whether it parts a feeder above a single fuse that was read to carry nearly all: what hangs on that fuse goes
        with it, and so does all else, without telling more."""
        if not action.takes_out or len(action.parts) != 1:
            return False
        fuses = (p for p in self.setting.shown if isinstance(self.know.parked.platform.parts.get(p), Fuse))
        carrying = [p for p in fuses if self.setting.shown[p] >= NEARLY_ALL * self.setting.was]
        return any(action.parts[0] in self.know.tree.above(place) for place in carrying)

    def is_swallowed(self, action: Action) -> bool:
        """Whether the meters' error swallows everything that a reading can show beyond what was found behind its place,
        or what a feeder before it still carries."""
        reads = action.tells in ("what flows there", "which of them draws")
        return reads and all(self._is_swallowed_at(place) for place in action.parts)

    def _is_swallowed_at(self, place: str) -> bool:
        return self.setting.at_most.get(place, self._room_by_ways(place)) <= self._ends_at(place)[0]

    def _ends_at(self, place: str) -> tuple[float, float]:
        missing = self.setting.was if self.setting.missing is None else self.setting.missing
        hidden = hypot(self._hidden_at(place), self.setting.unsure.get(place, 0.0))
        return hidden, max(0.5 * missing, 2.0 * hidden)

    def _room_at(self, place: str) -> float:
        above = nearest(self.know.tree.above(place), self.setting.room)
        return inf if above is None or self.know.tree.is_dead(place) else self.setting.room[above]

    def _room_by_ways(self, place: str) -> float:
        """How much more than was found the measured places before a place can carry: what a feeder does not carry flows
        nowhere behind it. The most of all ways there."""
        above = (nearest((p for p in way if p != place), self.setting.room) for way in self.know.ways_to(place))
        return max((inf if its is None else self.setting.room[its] for its in above), default=0.0)

    def _hidden_at(self, place: str) -> float:
        part = self.know.parked.platform.parts.get(place)
        resistance = cold_resistance(part.style, part.rating) if isinstance(part, Fuse) else None
        return max(LEAST_READ, 3.0 * self.setting.step) if resistance is None else hidden_below(resistance)

    def _after_taking_out(self, outs: Sequence[tuple[str, ...]]) -> list[Array | None]:
        """Chances of normal, down or no change with parts out; None where no explanation loses anything."""
        setting = self.setting
        if not outs or not setting.can_fall:
            return [None] * len(outs)
        left = np.repeat(self._brought[None], len(outs), axis=0)
        special = np.zeros((len(outs), len(self._effect)), dtype=bool)
        of_effect = np.zeros((len(outs), 2, int(self._effect.max()) + 1))
        of_effect[:, :, self._effect] = self._brought
        for n, out in enumerate(outs):
            for know, start in self._sources:
                numbers, left_of = know.left((*setting.out, *out), setting.place, self._needed_of[start])
                numbers = self._place_of[start + numbers]
                left[n][:, numbers] = left_of
                # What is left of most faults with the same effect; those that end, or stay on a leg, are each taken by
                # themselves. Where some of them lose nothing (the wire of a switch that is out), most lose nothing.
                all_lose = np.bincount(self._effect[numbers], minlength=len(self._alike)) == self._alike
                usual = all_lose[self._effect[numbers]]
                of_effect[n][:, self._effect[numbers[usual]]] = left_of[:, usual]
                special[n, numbers] = of_effect[n, 0, self._effect[numbers]] != left_of[0]
        first, second = self._one[self._one_of_each], self._other[self._one_of_each]
        usual = self._outcomes(
            of_effect[:, :, self._effect[first]], of_effect[:, :, self._effect[second]],
            self._brought[:, first], self._brought[:, second], self._effect[first] == self._effect[second],
        )  # fmt: skip
        every = usual[:, self._as]
        where, which = np.nonzero(special[:, self._one] | special[:, self._other])
        first, second = self._one[which], self._other[which]
        every[where, which] = self._outcomes(
            left[where, :, first].T, left[where, :, second].T,
            self._brought[:, first], self._brought[:, second], self._effect[first] == self._effect[second],
        )  # fmt: skip
        for out, its in zip(outs, every, strict=True):
            let_fall(its, self._shown_at(out), setting.was, setting.normal_up_to, setting.step, SLIP)
        changes = every[:, :, OUTCOMES.index("stays")] < 1.0 - SLIP
        return _where(changes, every)

    def _outcomes(self, one: Array, other: Array, first: Array, second: Array, alike: NDArray[np.bool_]) -> Array:
        """Chances of the outcomes, in the last axis. `one` and `other` are what is left of two faults, `first` and
        `second` what they brought, means and variances in the last axis but one; `alike` faults bring the same current
        only once. What is known to stay takes what it takes, and all else was the rest of what was read."""
        rest = np.where(alike, np.maximum(one, other), one + other)
        whole = np.broadcast_to(first + np.where(alike, 0.0, second), rest.shape)
        falls = whole[..., 0, :] - rest[..., 0, :] >= 1e-9
        setting, sound = self.setting, self.know.sound(self.setting.place)
        with_all, left = ((its[..., 0, :][falls], its[..., 1, :][falls]) for its in (whole, rest))
        stays, going = as_was_read(setting.was - sound.mean, with_all, left)
        staying = (stays[0] + sound.mean, stays[1] + sound.variance)
        outcome = Outcome("", setting.was, setting.normal_up_to, setting.step, SLIP)
        found = np.full((*falls.shape, len(OUTCOMES)), SLIP / 3.0)
        found[..., OUTCOMES.index("stays")] = 1.0 - SLIP * 2.0 / 3.0
        found[falls] = np.stack(chances_of_outcomes(staying, going, outcome), axis=1)
        return found

    def _shown_at(self, out: Sequence[str]) -> float:
        """What was read at the fuses that are taken out, each current once."""
        places = self.know.parked.with_joint(frozenset(out))
        read = [place for place in places if place in self.setting.shown and place not in self.setting.out]
        above = {place: self.know.tree.above(place) for place in read}
        return sum(self.setting.shown[place] for place in read if not set(above[place]) & set(read))


def _where(changes: NDArray[np.bool_], every: Array) -> list[Array | None]:
    """Each action's chances, and None for those that change nothing under any explanation."""
    return [its if its_changes.any() else None for its_changes, its in zip(changes, every, strict=True)]
