"""The test to do next: what it is expected to tell about the part to mend, for each minute it takes."""

from collections.abc import Collection, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from circuitmap.diagnosis.explaining.listing import Listed
from circuitmap.diagnosis.explaining.shares import Shares
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.actions import Actions
from circuitmap.diagnosis.next_test.added_first import (
    added_and_unread,
    added_first,
    fitted_to_it,
    only_crossing,
    what_crosses,
    with_what_crosses,
)
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.leading_part import (
    LEAVES_ONLY,
    LIKELY,
    TIED,
    goes_to,
    leading_fault,
    likeliest_fault,
    only_repeats,
    settles,
    with_one_more,
)
from circuitmap.diagnosis.next_test.next_tests import NextTests, NotWorth
from circuitmap.diagnosis.next_test.outcome_branches import outcome_branches
from circuitmap.diagnosis.next_test.owed_box import OwedBox
from circuitmap.diagnosis.next_test.planned import (
    DECIDES_CHANCE,
    HELPS,
    LEAST_TOLD,
    PlannedTest,
    best_left,
    cable_tells_more,
    leads_on,
    leads_on_first,
    leads_on_instead,
    measured_before_parted,
    point_the_same_way,
    quick_before_following,
    tells_parts_apart,
)
from circuitmap.diagnosis.next_test.predicting import Predictions
from circuitmap.diagnosis.next_test.pulled_for_proof import fuse_of_a_wire
from circuitmap.diagnosis.next_test.ranking import CHOICES, HARDLY, chosen_steps, total_first, volts_before_touching
from circuitmap.diagnosis.next_test.scoring import Scored, scored_steps
from circuitmap.diagnosis.next_test.still_open import (
    MEND_AT,
    not_explained,
    only_joining,
    to_mend,
    unexplained_networks,
    zeros_in_doubt,
)
from circuitmap.wiring.parts import Fuse

Array = NDArray[np.float64]

MOST_TO_LOOK_FOR, MOST_INPUTS = 3, 6
"""For how many faults it is told what a look, or the live data, may show."""
MOST_PINS = 3
"""At how many pins it is told that volts say the same as live data."""
AT_THE_HEAD = 0.15
"""From this probability on a part at the head of all is one that a step goes to (judgement)."""
SURELY_TWO = 0.9
"""From this probability of two faults at once on, steps go to both of them (judgement)."""

_MAY_NOT_BE_WORTH: tuple[tuple[str, NotWorth], ...] = (
    ("read-fuse", "more-fuses"), ("clamp", "clamp"), ("network-line", "network-line"),
)  # fmt: skip


def next_tests(
    actions: Actions,
    predictions: Predictions,
    listed: Listed,
    faults: Sequence[Fault],
    lines: Iterable[str],
    again: Sequence[str] = (),
    awake: Collection[str] = (),
    owed: Sequence[OwedBox] = (),
    strained: bool = False,
    several: bool = False,
) -> NextTests:
    """The best three tests, one of them with nothing unplugged, over the listed explanations. `again` are places whose
    reading and a try contradict each other: all that follows hangs on them, so they are read once more first. `awake`
    are the networks that were seen awake; `owed` are the boxes of which nobody read where their current goes on to;
    `strained`: readings go together only by what a fuse's resistance may be off, or not at all: then nothing is told
    as settled; `several`: more than one battery gives too much."""
    its = _Choosing(actions, predictions, listed, faults, lines, again, owed, several)
    tests = its.found(unexplained_networks(awake, listed, faults))
    return tests._replace(mend="", strained=True) if strained else tests


class _Choosing:
    """One choice: the steps that are worth doing, scored, and what each is planned to show once somebody asks."""

    def __init__(
        self,
        actions: Actions,
        predictions: Predictions,
        listed: Listed,
        faults: Sequence[Fault],
        lines: Iterable[str],
        again: Sequence[str],
        owed: Sequence[OwedBox] = (),
        several: bool = False,
    ) -> None:
        self.owed, self.several = owed, several
        self.actions, self.predictions, self.listed = actions, predictions, listed
        self.faults, self.again = faults, again
        settled = actions.done.settled | only_joining(listed, faults)
        taker, share = Shares(listed.parts_of(faults, settled)).largest(listed.weights)
        if share >= MEND_AT and actions.was_out(taker):  # what takes it is known: what joins them is left
            settled = actions.done.settled
        self.parts = listed.parts_of(faults, settled)
        self.by_part, self.by_about = Shares(self.parts), Shares(listed.abouts_of(faults, settled))
        both = listed.weights[[len(its) > 1 for its in self.parts]]
        self.of_two = float(both.sum()) >= SURELY_TWO * float(listed.weights.sum())
        self.zeros = zeros_in_doubt(predictions)
        self.odd = [] if self.of_two else not_explained(predictions)
        doubtful = list(dict.fromkeys([*again, *predictions.doubtful(), *self.zeros, *self.odd]))
        worth_it = actions.all(listed, predictions.setting.measured, lines, doubtful)
        worth_it = [its for its in worth_it if predictions.would_count(its) and not predictions.takes_down_more(its)]
        self.steps = worth_it
        candidates = actions.likeliest(worth_it, listed)
        self.not_compared = len(worth_it) - len(candidates)
        self.scored = scored_steps(candidates, predictions, listed.weights, self.parts)
        about, how_sure = self.by_about.largest(listed.weights)
        self.fuse_is_known = how_sure >= MEND_AT and isinstance(actions.platform.parts.get(about), Fuse)
        self._ready: dict[Action, PlannedTest] = {}

    def _share_of(self, part: str) -> float:
        """How probable it is that a part is at fault."""
        weights = self.listed.weights
        return float(self.by_part.only(part, weights).sum() / weights.sum()) if part in self.by_part.known else 0.0

    def found(self, unexplained: tuple[str, ...]) -> NextTests:
        # As long as a reading is owed, or one is not explained, nobody stops looking.
        open_still = not self.of_two and bool(self.predictions.unexplained())
        is_told = not unexplained and not self.owed and not open_still
        mend = self._told_from_its_wire(self._to_mend()) if is_told else ""
        is_known = self.fuse_is_known or bool(mend)
        chosen = chosen_steps(self.scored, self._worth_offering, self._same, self._may_differ, self._leads_on, is_known)
        chosen = volts_before_touching(chosen, self.scored)
        choices = [self._planned(one) for one in total_first(chosen, self.scored, self.predictions)]
        choices = quick_before_following(self._only_helpful(self._at_the_lead(choices)))
        choices = self._read_while_up(self._switch_before_its_pin(choices))
        choices = self._its_load_before_parting(choices)
        measured = self.predictions.setting.measured
        own = {place for place in measured if not self.actions.only_batteries((place,))}  # a post is none of its leads
        unread = added_and_unread(self.faults, own, self.actions.was_out)
        choices = added_first(choices, self.steps, unread, self._planned_step, CHOICES)
        choices = measured_before_parted(self._box_owed(self._what_crosses(choices)), self.faults, self._share_of)
        reads_added = {*unread, *unread.values()}.intersection(*(its.action.parts for its in choices[:1]))
        if not any(its.first for its in self.owed) and not reads_added:
            choices = leads_on_first(choices, self.predictions.setting.place)
        choices = self._with_its_fuse(choices)
        return NextTests(
            tuple(self._tried_again(self._read_again(choices))),
            self.predictions.setting.normal_up_to,
            self._not_worth(),
            mend,
            self.predictions.setting.was,
            not_compared=self.not_compared,
            unexplained=unexplained,
            owed=bool(self.owed) and self.owed[0].first,
        )

    def _with_its_fuse(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """Its fuse out, as proof that all of it is behind it, goes before following a wire for longer."""
        pulled = fuse_of_a_wire(choices, self.actions)
        return [self._planned_step(pulled), *choices][:CHOICES] if pulled in self.steps else choices

    def _told_from_its_wire(self, part: str) -> str:
        """The part to mend; none while a switch that nobody looked at stands for its wire, too."""
        return "" if any(fault.or_its_wire for fault in self.faults if fault.part == part) else part

    def _to_mend(self) -> str:
        """The part that is nearly sure, or the one that leads where its very place was found."""
        weights, spotted = self.listed.weights, self.actions.done.spotted
        part, share = self.by_part.largest(weights)
        if share >= LIKELY and any(self.faults[n].part == part for n in spotted):
            return part
        return to_mend(weights, self.parts, self.actions.done, self.faults)

    def _not_worth(self) -> tuple[NotWorth, ...]:
        best_by_kind: dict[str, float] = {}
        for action, bits, _, _ in self.scored:
            best_by_kind[action.doing] = max(best_by_kind.get(action.doing, 0.0), bits)
        told = (name for doing, name in _MAY_NOT_BE_WORTH if best_by_kind.get(doing, 1.0) < HARDLY)
        return tuple(name for name in told if not self.owed or name != "more-fuses")

    def _planned(self, one: Scored) -> PlannedTest:
        if one[0] not in self._ready:
            self._ready[one[0]] = self._plan(one)
        return self._ready[one[0]]

    def _planned_step(self, step: Action) -> PlannedTest:
        """A step that is offered whatever it tells."""
        scored = next((one for one in self.scored if one[0] == step), None)
        if scored is None:  # of a row the outcomes follow from those of its fuses
            each = [self.actions.hand.action("read-fuse", (fuse,)) for fuse in step.parts if step.doing == "read-box"]
            its = scored_steps([step, *each], self.predictions, self.listed.weights, self.parts)
            scored = next((one for one in its if one[0] == step), None)
        return self._planned(scored) if scored is not None else PlannedTest(step, 0.0, ())

    def _plan(self, one: Scored) -> PlannedTest:
        action, bits, names, chances = one
        branches = outcome_branches(names, chances, self.listed.weights, self.by_part, self.by_about)
        shows: tuple[Fault, ...] = ()
        if action.tells == "what a look finds":
            shows = self.predictions.sights.likeliest_found(MOST_TO_LOOK_FOR, *action.parts)
        pins: tuple[str, ...] = ()
        if action.tells == "a wrong input":
            left = self.actions.switches_left(self.listed)
            shows = self.predictions.sights.likeliest_inputs(left, MOST_INPUTS)
            pins = self.actions.pins_to_probe(shows)[:MOST_PINS]
        named = {branch.part for branch in branches if branch.probability >= LEAST_TOLD}
        wires = (fault for fault in self.faults if fault.has("coil-volts") and fault.part in named)
        wire = next(wires, None) if action.doing in ("unplug", "connector", "relay-volts") else None
        ends = self.predictions.ends_at(action)
        says = self.predictions.says_at(action.parts[0]) if action.tells == "what an input hears" else None
        return PlannedTest(
            action, bits, branches, ends=ends, look_for=shows, wire=wire, or_volts_at=pins, of_two=self.of_two,
            in_use_shows=says.in_use if says is not None else "",
        )  # fmt: skip

    def _worth_offering(self, one: Scored) -> bool:
        return not self.predictions.is_swallowed(one[0]) and tells_parts_apart(self._planned(one))

    def _may_differ(self, one: Scored) -> bool:
        return sum(branch.probability >= LEAST_TOLD for branch in self._planned(one).branches) > 1

    def _leads_on(self, one: Scored, other: Scored) -> bool:
        """Whether a step leads on, and the other does not."""
        return not leads_on(self._planned(other)) and leads_on_instead(self._planned(one), self._planned(other))

    def _same(self, one: Scored, other: Scored) -> bool:
        return point_the_same_way(self._planned(one), self._planned(other))

    def _at_the_lead(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """One of the steps is at the part that leads, or leaves only that part. Whatever is plugged in at a socket is
        unplugged: that is done in passing, and no other step spares it."""
        weights = self.listed.weights
        wanted = choices or not self.fuse_is_known
        lead = leading_fault(self.listed, self.faults, self.by_part, self.by_about) if wanted else None
        if lead is None:
            return self._at_the_head(choices)
        nearly_sure = self.by_part.largest(weights)[1] >= LEAVES_ONLY
        looks_only = nearly_sure and all(test.action.doing == "look" for test in choices)
        own = [one for one in self.scored if goes_to(one[0], lead)]
        part = self.actions.platform.parts.get(lead.part)
        is_socket = part is not None and part.kind == "socket"
        there = any(goes_to(test.action, lead) if is_socket else settles(test, lead) for test in choices)
        if not own or (not looks_only and there):
            return choices
        best = min(own, key=lambda one: (-round(one[1] / one[0].minutes, 9), one[0].parts))
        planned = self._planned(best)
        if choices and only_repeats(planned, lead, self.predictions.setting.shown):
            return choices
        was_out = any(self.actions.was_out(name) for name in (lead.part, lead.module))
        if not choices and was_out and not tells_parts_apart(planned):
            return choices  # what is left to do at it is its proof
        choices = with_one_more(choices, planned, CHOICES)
        if nearly_sure:  # its proof comes first
            choices.sort(key=lambda test: test.action != best[0])
        return choices

    def _at_the_head(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """While nothing is likelier than not, the part at the head, or one that is level with it, can still be got at
        by one of the steps."""
        weights = self.listed.weights
        masses = self.by_part.masses(weights)
        heads = [int(n) for n in np.argsort(-masses, kind="stable") if masses[n] >= AT_THE_HEAD * weights.sum()]
        heads = [n for n in heads if masses[n] >= TIED * masses[heads[0]]]
        faults = [likeliest_fault(self.listed, self.faults, self.by_part, n) for n in heads]
        if not choices or any(settles(test, fault) for test in choices for fault in faults):
            return choices
        own = [s for s in self.scored if any(goes_to(s[0], f) for f in faults) and self._worth_offering(s)]
        if len(choices) == CHOICES:  # so early nothing is taken out in the place of what unplugs nothing
            own = [s for s in own if not s[0].is_invasive]
        if not own:
            return choices
        best = min(own, key=lambda one: (-round(one[1] / one[0].minutes, 9), one[0].parts))
        return with_one_more(choices, self._planned(best), CHOICES)

    def _switch_before_its_pin(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """A switch that can be unplugged is, before the volts at the pin that it tells: those say again what the live
        data did, and it is unplugged after them all the same. Of one that nobody may touch they come first."""
        first = choices[0].action if choices else None
        if first is None or first.doing != "input-volts":
            return choices
        says = self.predictions.says_at(first.parts[0])
        out = [s for s in self.scored if s[0].doing == "unplug" and says is not None and s[0].about in says.switches]
        if not out:
            return choices
        best = self._planned(max(out, key=lambda one: (round(one[1], 9), one[0].parts)))
        return [best, *(test for test in choices if test.action != best.action)][:CHOICES]

    def _its_load_before_parting(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """Volts at a load that may get a part of its current come before the first step that parts its way: hot, it may
        let some through, once out not again; those at the pin that asks for an output before anything is parted."""
        probes = [s for s in self.scored if s[0].doing in ("load-volts", "asked-volts")]
        for scored in sorted(probes, key=lambda s: (s[0].doing != "load-volts", -round(s[1], 9))):
            volts = self._planned(scored)
            brings = (flow for n in self.predictions.numbers for flow in self.faults[n].brings)
            way = frozenset[str]().union(*(its.way.through for its in brings if its.owner == scored[0].about))
            others = [test for test in choices if test.action != volts.action]
            any_way = scored[0].doing == "asked-volts"
            parting = [its.action.parts if its.action.takes_out else () for its in others]
            at = next((n for n, out in enumerate(parting) if out and (any_way or way.intersection(out))), None)
            if at is not None and scored[1] >= HARDLY and tells_parts_apart(volts):
                return [*others[:at], volts, *others[at:]][:CHOICES]
        return choices

    def _box_owed(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """What was not read of the box whose current nobody found is read before anything is taken out of it: one step
        of some minutes, not a fuse at a time. Until then no size of a current bears what is supposed."""
        if not self.owed:
            return choices
        rows = [self._planned_step(its.step) for its in self.owed]
        _, bare, first = self.owed[0]
        read = {fuse for its in self.owed for fuse in its.step.parts}
        others = [test for test in choices if not read.intersection(test.action.parts)]
        if bare and first:
            others = [test for test in others if not test.action.wait and test.action.doing != "read-fuse"]
        first = first and not cable_tells_more(rows[0], others)
        return [*rows, *others][:CHOICES] if first else [*others[:1], rows[0], *others[1:]][:CHOICES]

    def _read_while_up(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """What comes and goes is read at some place while it is up before anything is taken out of it: what ends with
        something out may have ended anyway, and until then no place bears what is supposed."""
        if not self.actions.ends_by_itself or not self.actions.only_batteries(self.predictions.setting.measured):
            return choices
        reading = [s for s in self.scored if s[0].doing in ("read-box", "read-fuse", "clamp")]
        reading = [s for s in reading if not self.actions.only_batteries(s[0].parts)]
        longest = self.actions.up_for
        in_time = [s for s in reading if longest is None or s[0].hands_and_reach <= longest]
        reading = in_time or reading  # what takes longer than it is up is not read in one go
        if not reading:
            return choices
        best = self._planned(max(reading, key=lambda s: (len(s[0].parts) > 1, round(s[1], 9), s[0].parts)))
        others = [test for test in choices if not test.action.takes_out and test.action != best.action]
        others = [its for its in others if its.action.tells != "what flows there" or its.bits >= HARDLY]
        return [best, *others][:CHOICES]

    def _what_crosses(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """Where two batteries give too much, and something was fitted: whether they are joined comes before all that
        supposes a draw at each."""
        fitted = fitted_to_it(self.faults, self.actions.was_out) if self.several else {}
        hand, measured = self.actions.hand, self.predictions.setting.measured
        crossing = only_crossing(self.faults, hand) if fitted and choices else ()
        if not crossing or any(set(crossing) & set(its.action.parts) for its in choices):
            return choices
        if (step := what_crosses(crossing, hand, measured)) is None:
            return choices
        return with_what_crosses(choices, self._planned_step(step), {*fitted, *fitted.values()}, CHOICES)

    def _only_helpful(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """Beside a step that decides, none that makes no part surer; but one that unplugs nothing."""
        if not any(best_left(test) >= DECIDES_CHANCE for test in choices[1:]):
            return choices
        gentle = [test for test in choices if not test.action.is_invasive][:1]
        return [t for n, t in enumerate(choices) if n == 0 or t in gentle or best_left(t) >= HELPS]

    def _read_again(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """A zero that contradicts all that is left is read once more, too, and so is what nothing that is left
        explains: the answer rests on its being a slip. That comes first where nothing else parts what is left. A
        reading that a try spoke against is read before everything else."""
        again = [one for one in self.scored if one[0].doing == "read-again"]
        owed = [one for one in again if one[0].parts[0] in (*self.zeros, *self.odd)]
        if owed and all(test.action.doing != "read-again" for test in choices):
            owed.sort(key=lambda one: (one[0].parts[0] not in self.zeros, -round(one[1], 9)))
            choices = with_one_more(choices, self._planned(owed[0]), CHOICES)
            if owed[0][0].parts[0] in self.odd and not any(map(tells_parts_apart, choices[:-1])):
                choices = [choices[-1], *choices[:-1]]
        doubted = [one for one in again if one[0].parts[0] in self.again]
        # Where a try of several left several in doubt, each second look alone may tell next to nothing.
        once_more = [one for one in doubted if len(self.again) == 1 or one[1] >= HARDLY]
        once_more.sort(key=lambda one: (-round(one[1], 9), one[0].parts))
        if not once_more:
            return choices
        others = [test for test in choices if test.action != once_more[0][0]]
        return [self._planned(once_more[0]), *others[: CHOICES - 1]]

    def _tried_again(self, choices: list[PlannedTest]) -> list[PlannedTest]:
        """A try that speaks against readings that agree is made again before everything else."""
        owed = [one for one in self.scored if self.actions.done.owes(one[0])]
        if not owed:
            return choices
        others = [test for test in choices if test.action != owed[0][0]]
        return [self._planned(owed[0]), *others[: CHOICES - 1]]
