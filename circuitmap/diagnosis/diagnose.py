"""From evidence to an answer: the whole of the diagnosis, as one readable function."""

from collections.abc import Mapping, Sequence
from math import hypot
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from circuitmap.circuit.links import Circuit
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.diagnosis import SURE_ENOUGH, Diagnosis, Row
from circuitmap.diagnosis.explaining.classes import FaultClass, classes_of
from circuitmap.diagnosis.explaining.if_two import IfTwo
from circuitmap.diagnosis.explaining.listing import Listed, listed
from circuitmap.diagnosis.explaining.reasons import Arguments
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.fault_kinds import ODDS_OF_NOTHING
from circuitmap.diagnosis.incomplete import cut_off, what_is_not_known
from circuitmap.diagnosis.misfits import misfits_of
from circuitmap.diagnosis.next_test.actions import Actions, Done
from circuitmap.diagnosis.next_test.choosing import NextTests, next_tests
from circuitmap.diagnosis.next_test.contact_volts import contacts_to_prove
from circuitmap.diagnosis.next_test.expectations import Expectations
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.diagnosis.next_test.predicting import JointFaults, Predictions, Reread, Setting
from circuitmap.diagnosis.next_test.ranking import CHOICES
from circuitmap.diagnosis.prepared import Prepared, none_of_these, prepared_for
from circuitmap.diagnosis.seen.against_zeros import ODD, OVERLOOKED, against_zeros
from circuitmap.diagnosis.seen.all_that_flows import limits_seen, zeros_seen
from circuitmap.diagnosis.seen.at_rest import measured_at_rest
from circuitmap.diagnosis.seen.battery_before import battery_before
from circuitmap.diagnosis.seen.choosing_readings import gone_since
from circuitmap.diagnosis.seen.dead_places import dead_and_drawing
from circuitmap.diagnosis.seen.experience import Experience, experience_seen
from circuitmap.diagnosis.seen.figures_seen import figures_seen
from circuitmap.diagnosis.seen.figures_that_fit import figures_that_fit
from circuitmap.diagnosis.seen.finding import finds_seen
from circuitmap.diagnosis.seen.logged_course import courses_seen
from circuitmap.diagnosis.seen.mending import mended_seen
from circuitmap.diagnosis.seen.missing_behind import missing_behind
from circuitmap.diagnosis.seen.netting import (
    Found,
    Netted,
    Segment,
    account_of,
    found_behind,
    impossible_in,
    looked_again,
    more_than_found,
    netted,
)
from circuitmap.diagnosis.seen.observed import EarlierJobs, Observation, Tried, order_of
from circuitmap.diagnosis.seen.observing import (
    charging_seen,
    codes_seen,
    currents_seen,
    inputs_seen,
    inputs_tested,
    lines_seen,
    looks_seen,
    relays_seen,
    replies_seen,
    switches_tested,
)
from circuitmap.diagnosis.seen.pin_volts import volts_seen
from circuitmap.diagnosis.seen.read_first import read_first
from circuitmap.diagnosis.seen.settled import SettledPart, ended_with, settled_by
from circuitmap.diagnosis.seen.should_flow import should_flow
from circuitmap.diagnosis.seen.silent_volts import silent_volts
from circuitmap.diagnosis.seen.trying import WRONG_PLACE, contradicted, normal_up_to, tries_seen
from circuitmap.diagnosis.subjects import parts_of, subjects_of
from circuitmap.diagnosis.unsaid import Weighed, facts_to_ask, times_asked, worlds_of
from circuitmap.diagnosis.weighing.likeliest import likeliest
from circuitmap.diagnosis.weighing.sightings import CurrentSighting, Sighting
from circuitmap.diagnosis.weighing.tables import Table, tables_alone, tables_of
from circuitmap.diagnosis.weighing.weights import Together, Weighing, weighed
from circuitmap.diagnosis.without_a_total import wrong_without_a_total
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.left_so import left_so
from circuitmap.evidence.readings import Reading
from circuitmap.unknown import of_all
from circuitmap.wiring.fitting import Answer, Fitting

Array = NDArray[np.float64]

MOST_ROWS = 40


def diagnose(
    circuit: Circuit, evidence: Evidence, fitting: Fitting | None = None, experience: Experience | None = None
) -> Diagnosis:
    """What explains the evidence on this car, what speaks for it, what is not known, and the test to do next.

    `fitting` is the optional equipment, in addition to what the evidence says of it; anything not mentioned may be
    there. `experience` are the causes of earlier jobs, if these are to count. The same evidence gives the same answer,
    in whatever order it was written down.
    """
    its_state = left_so(circuit.platform, evidence)
    evidence = its_state.evidence
    case = _case(circuit, evidence, fitting or {}, experience)
    ready, nets, faults, tried, weighing = case.ready, case.nets, case.faults, case.tried, case.weighing
    classes = classes_of(weighing, faults)
    rows = _rows(classes, case)
    tests = _tests(case, evidence)
    subjects = subjects_of(weighing, faults)
    leads = [tests.mend, *(subject.parts[0].part for subject in subjects[:1])]
    answer = Diagnosis(
        something_wrong=min(case.something_wrong, SURE_ENOUGH),
        two_faults=min(weighing.two_faults, SURE_ENOUGH),
        rows=rows,
        parts=parts_of(weighing, faults),
        subjects=subjects,
        tests=tests,
        account=account_of(nets),
        netted=nets,
        pairs=IfTwo(weighing, faults),
        tried=tuple(tried),
        contradictions=nets.contradictions,
        incomplete=(
            *what_is_not_known(ready.parked, nets, tried, rows, evidence.lines),
            *silent_volts(evidence.volts, _by_label(case).get, faults, circuit.platform),
            *cut_off(ready.parked.left_out, case.not_weighed, tests.not_compared),
        ),
        misfits=misfits_of(case.currents, _by_label(case), case.doubted, classes),
        hands_off=circuit.hands_off,
        faults=faults,
        dead=dead_and_drawing(ready.parked, ready.tree, nets, tried),
        batteries=evidence.batteries,
        settled=_settled(case, evidence),
        missing=missing_behind(nets, ready.tree, faults, tried),
        fits=figures_that_fit(circuit, ready.parked.fitting, nets, _unplugged_at(tried, evidence)),
        should_flow=should_flow(nets, faults, ready.parked, ready.tree),
        positions=evidence.positions,
        left_so=its_state if its_state.out else None,
        at_rest=measured_at_rest(evidence.volts, evidence.inputs, ready.parked),
        contacts=contacts_to_prove(ready.parked, leads, faults),
        from_before=evidence.from_before,
    )
    facts = facts_to_ask(ready.parked, answer)
    if not facts:
        return answer
    tried_out = facts  # the likeliest to matter stand first
    while tried_out and not ready.parked.has_work_for(times_asked(tried_out)):
        tried_out = tried_out[:-1]
    if len(tried_out) < len(facts):
        left = of_all("worlds cut off", tuple(fact.name for fact in facts[len(tried_out) :]))
        answer = answer._replace(incomplete=(*answer.incomplete, left))
    if not tried_out:
        return answer

    def asked(world: Evidence) -> Weighed:
        its = _case(circuit, world, fitting or {}, experience)
        return Weighed(its.weighing, subjects_of(its.weighing, its.faults), its.faults, lambda: _tests(its, world))

    worlds, tests_of_all = worlds_of(tried_out, evidence, asked)
    return answer._replace(worlds=worlds, tests=tests_of_all or tests)


def posterior_and_next_test(
    circuit: Circuit, evidence: Evidence, fitting: Fitting | None = None
) -> tuple[Weighing, NextTests]:
    """Only the weights of all explanations and the next test: this has to be done again after each reading."""
    evidence = left_so(circuit.platform, evidence).evidence
    case = _case(circuit, evidence, fitting or {}, None)
    return case.weighing, _tests(case, evidence)


class _Case(NamedTuple):
    """The readings as they were weighed on one car; `apart` are, for readings that share one table, their tables each
    alone; `not_weighed` is how many faults were too many to be weighed. `something_wrong` is by the readings alone:
    other vehicles' faults say which it is, not whether this one has any, nor which of two readings was a slip."""

    ready: Prepared
    nets: Netted
    faults: tuple[Fault, ...]
    currents: list[CurrentSighting[Segment]]
    tried: list[Tried]
    tables: tuple[Table[Observation], ...]
    weighing: Weighing
    apart: list[list[Table[Observation]]]
    not_weighed: int
    doubted: Mapping[str, Tried]
    something_wrong: float


def _case(circuit: Circuit, evidence: Evidence, fitting: Fitting, experience: Experience | None) -> _Case:
    ready = prepared_for(circuit, fitting, evidence)
    nets = netted(evidence.readings, ready.tree, ready.routes, evidence.tries, ready.joins, evidence.other_state)
    nets = looked_again(nets, (attempt.after for attempt in evidence.tries))
    faults = (*ready.faults, *none_of_these(nets, ready.tree, ready.parked))
    joint, together = _after(ready, len(faults))
    everyone = (*faults, *joint)
    others, tried = _sightings(evidence, nets, everyone, ready)
    odds = np.array([fault.odds for fault in everyone])

    def by_readings() -> Array:
        read = tables_alone(currents_seen(nets, everyone, ready.parked, ready.tree), len(everyone))
        return np.asarray(odds * np.exp(sum(table.log_chance[table.columns, 0] for table in read)))

    others, tried, overlooked = against_zeros(others, tried, everyone, nets, ready.tree, by_readings)
    elsewhere = contradicted(tried, nets, ready.tree)
    doubted = elsewhere | overlooked
    currents = currents_seen(
        nets, everyone, ready.parked, ready.tree,
        dict.fromkeys(elsewhere, WRONG_PLACE), dict.fromkeys(overlooked, OVERLOOKED),
    )  # fmt: skip
    others += figures_seen(currents, circuit.platform)
    others += limits_seen(nets, everyone, ready.tree)
    others += zeros_seen(nets, everyone, ready.parked, ready.tree, doubted)
    # A fixed order, so that the order of the card changes no digit.
    sightings = sorted([*currents, *others], key=lambda sighting: order_of(sighting.label))
    if experience is not None:
        sightings += experience_seen(experience, everyone, circuit.platform)
    sightings, odds, together, left, laid = likeliest(sightings, odds, together, ready.known)
    tables = tables_of(sightings, len(everyone), ready.known, laid)
    weighing = weighed(tables, odds, odds_of_nothing=ODDS_OF_NOTHING, together=together)
    currents.sort(key=lambda sighting: order_of(sighting.label))
    apart = _apart(tables, sightings, len(everyone))
    own = tuple(table for table in tables if not any(isinstance(label, EarlierJobs) for label in table.labels))
    alone = (
        weighing if len(own) == len(tables) else weighed(own, odds, odds_of_nothing=ODDS_OF_NOTHING, together=together)
    )
    wrong = alone.something_wrong
    if not nets.totals:
        wrong = wrong_without_a_total(weighing, list(zip(tables, apart, strict=True)), sightings, nets, ready)
    return _Case(ready, nets, faults, currents, tried, tables, weighing, apart, left, doubted, wrong)


def _unplugged_at(tried: Sequence[Tried], evidence: Evidence) -> frozenset[str]:
    """The places from which something was fed that is on no sheet, and that was out already."""
    out = {name for one in tried for name in one.attempt.out}
    return frozenset(part.fed_from for part in evidence.added if part.name in out)


def _after(ready: Prepared, start: int) -> tuple[tuple[Fault, ...], tuple[Together, ...]]:
    """Joint faults stand after all others."""
    shift = start - len(ready.faults)
    return ready.joint, tuple(Together(t.first, t.second, t.as_fault + shift) for t in ready.together)


def _sightings(
    evidence: Evidence, nets: Netted, faults: Sequence[Fault], ready: Prepared
) -> tuple[list[Sighting[Observation]], list[Tried]]:
    """Everything that was observed besides currents."""
    parked, tree = ready.parked, ready.tree
    sightings: list[Sighting[Observation]] = []
    sightings += charging_seen(nets, faults, tree)
    sightings += lines_seen(evidence.lines, faults, parked)
    sightings += replies_seen(evidence.replies, faults, parked)
    sightings += codes_seen(evidence.codes, faults, parked)
    sightings += relays_seen(evidence.relays, faults)
    sightings += inputs_seen(evidence.inputs, faults)
    sightings += volts_seen(evidence.volts, faults, parked)
    sightings += inputs_tested(evidence.tested, faults)
    sightings += switches_tested(evidence.switches, faults)
    sightings += looks_seen(evidence.looked, faults)
    sightings += finds_seen(evidence.found, faults, parked)
    sightings += courses_seen(evidence.readings, faults, parked)
    sightings += mended_seen(evidence.mended, faults, parked)
    latest = {reading.place: reading for reading in evidence.readings if not reading.without}
    period = next((r.log.period for r in reversed(evidence.readings) if r.log is not None), None)
    tries, tried = tries_seen(
        evidence.tries, latest, faults, parked, tree, ready.without, period
    )  # fmt: skip
    return [*sightings, *tries], tried


def _apart(
    tables: Sequence[Table[Observation]], sightings: Sequence[Sighting[Observation]], faults: int
) -> list[list[Table[Observation]]]:
    """For a table of several readings of one meter, the table of each reading by itself."""
    by_label = {sighting.label: sighting for sighting in sightings}
    several = [table.labels if len(table.labels) > 1 else () for table in tables]
    alone = iter(tables_alone([by_label[label] for labels in several for label in labels], faults))
    return [[next(alone) for _ in labels] for labels in several]


def _rows(classes: Sequence[FaultClass], case: _Case) -> tuple[Row, ...]:
    rows = []
    faults = case.faults
    arguments = Arguments(classes, case.weighing, case.tables, faults, case.apart)
    for number, explanation in enumerate(classes[:MOST_ROWS]):
        members = tuple(tuple(faults[n] for n in member) for member in explanation.members)
        probability = min(explanation.probability, SURE_ENOUGH)
        rows.append(Row(explanation, members, probability, number, arguments, case.currents, faults))
    return tuple(rows)


def _tests(case: _Case, evidence: Evidence) -> NextTests:
    ready, nets, faults, weighing = case.ready, case.nets, case.faults, case.weighing
    parked, tree = ready.parked, ready.tree
    explanations = listed(weighing)
    total = _most_beyond(nets, parked, tree)
    place = total.place if total is not None else battery_before(nets, tree)
    place = tree.joined.get(place, place)
    limit = normal_up_to(parked, tree, place)
    normal_at = {r.place: normal_up_to(parked, tree, r.place) + r.meter.step for r in nets.totals}
    step, zero = (total.meter.step, total.zero) if total is not None else (0.01, 0.0)
    was = total.amps if total is not None and total.amps is not None else 0.0
    can_fall = total is None or was > limit + total.half_step + total.zero
    if was <= limit:
        was = max(was, sum(max(s.amps or 0.0, 0.0) for s in nets.segments), 2.0 * limit)
    account = account_of(nets)
    out = evidence.out
    its = (t.attempt for t in case.tried if not t.why_not and set(t.attempt.out) == set(out))
    left = [attempt.after.amps for attempt in its if total is None or attempt.after.place == total.place]
    if out and left and left[-1] is not None and left[-1] > limit:
        was = max(left[-1], 0.0)
    else:
        out = ()  # with it out the draw is gone: what comes next is done with it in again
    settled = _settled(case, evidence)
    ended = ended_with(evidence.out, faults, parked.platform, parked.own_battery) if evidence.out else frozenset[int]()
    chafed = [one for one in evidence.found if one.sign == "chafed"]
    spotted = frozenset(n for its in finds_seen(chafed, faults, parked) for n in its.touched)
    found = found_behind(nets, tree)
    seen = {*tree.added, *(one.place for one in evidence.found if one.sign == "burning")}
    tried = frozenset(frozenset(t.attempt.out) for t in case.tried if not t.why_not)
    setting = Setting(
        place, was, limit + step, step, frozenset(nets.readings),
        {p: r.amps for p, r in nets.readings.items() if r.amps is not None and r.shows_current},
        max(account.left, 0.0) if account is not None else None,
        {s.place: max(s.amps, 0.0) + s.error for s in nets.segments if s.amps is not None},
        {p: hypot(behind.error, 2.0 * zero) for p, behind in found.items()},  # a feeder is read with the total's meter
        more_than_found(nets, tree, found),
        out, frozenset(one for names in tried if len(names) == 1 for one in names) | seen, can_fall,
        ended,
    )  # fmt: skip
    predictions = Predictions(
        ready.expectations,
        faults,
        explanations,
        setting,
        _rereads(case),
        _joint(ready, weighing.together, len(faults), explanations),
    )
    lines = [line.network for line in evidence.lines if line.speaks == "parked"]
    done = Done(
        tried,
        frozenset(out),
        frozenset(one.relay for one in evidence.relays),
        frozenset(one.part for one in evidence.inputs) | frozenset(one.part for one in evidence.switches),
        any(not one.right for one in evidence.inputs) or any(not one.fine for one in evidence.switches),
        settled.faults if settled is not None else frozenset(),
        frozenset(one.place for one in evidence.found if one.sign == "sound")
        | {name for n in spotted if faults[n].has("its-place") for name in (faults[n].about, faults[n].place)},
        ended,
        frozenset(str(one.pin) for one in evidence.volts if not one.without),
        spotted,
        tuple(dict.fromkeys(one.attempt.out for one in case.tried if one.why_not == ODD)),
    )
    looked = evidence.looked or any(one.sign not in ("sound", "burning") for one in evidence.found)
    actions = Actions(ready.handling, faults, looked=looked, done=done)
    latest = {its.network: its.state for its in evidence.lines if its.speaks == "parked" and not its.without}
    sound = parked.powered.networks
    awake = [name for name, its in latest.items() if its == "awake" and sound.get(name, Answer.NO) != Answer.YES]
    impossible = (r.place for clash in nets.contradictions for r in impossible_in(clash, nets.read_twice))
    again = sorted({*case.doubted, *impossible})
    tests = next_tests(actions, predictions, explanations, faults, lines, again, awake)
    first = read_first(nets, case.something_wrong, limit) if not again else ()
    zeroed = tuple(filter(ready.handling.may_read, first))
    if zeroed:
        zero_again = PlannedTest(ready.handling.action("zero-again", zeroed), 0.0, ())
        # Equal zeros are in all that was read; a total by itself is doubted beside the step that tells most.
        before = 1 if {r.place for r in nets.totals}.issuperset(zeroed) else 0
        tests = tests._replace(choices=(*tests.choices[:before], zero_again, *tests.choices[before:])[:CHOICES])
    gone = gone_since(evidence.readings, nets.set_aside)  # then it has to come back before anything is taken out
    choices = (
        test._replace(found=found.get(test.action.parts[0], Found()).amps)
        if test.action.tells == "what flows there"
        else test
        for test in tests.choices
        if not (gone and test.action.takes_out)
    )
    return tests._replace(
        choices=tuple(choices), mend="" if gone else tests.mend, gone=gone, place=place, normal_at=normal_at
    )


def _most_beyond(nets: Netted, parked: Parked, tree: PlaceTree) -> Reading | None:
    """Of the readings at the batteries the one that is furthest beyond what is normal there: that is to fall."""
    return max(nets.totals, key=lambda r: (r.amps or 0.0) - normal_up_to(parked, tree, r.place), default=None)


def _settled(case: _Case, evidence: Evidence) -> SettledPart | None:
    parked = case.ready.parked
    place = _most_beyond(case.nets, parked, case.ready.tree)
    at = place.place if place is not None else ""
    return settled_by(case.tried, at, evidence.out, case.faults, parked.platform, parked.own_battery)


def _joint(ready: Prepared, together: Sequence[Together], alone: int, explanations: Listed) -> JointFaults | None:
    """What the listed pairs bring, for those that together bring more than the two apart; None where there are none.
    They are numbered after the faults that are weighed `alone`."""
    listed_pairs = set(map(frozenset, zip(explanations.first.tolist(), explanations.second.tolist(), strict=True)))
    its = [
        (frozenset((pair.first, pair.second)), ready.joint[pair.as_fault - alone])
        for pair in together
        if frozenset((pair.first, pair.second)) in listed_pairs
    ]
    if not its:
        return None
    faults = tuple(fault for _, fault in its)
    know = Expectations(ready.parked, ready.tree, faults)
    return JointFaults(know, {pair: n for n, (pair, _) in enumerate(its)})


def _rereads(case: _Case) -> dict[str, Reread]:
    """Current readings that were taken once, as they were weighed."""
    tables = _by_label(case)
    found = {}
    for sighting in case.currents:
        place = sighting.label.place
        if place not in case.nets.read_twice:
            found[place] = Reread(tables[sighting.label], sighting.by_slip)
    return found


def _by_label(case: _Case) -> dict[Observation, Table[Observation]]:
    """The table of each observation by itself."""
    tables = [t for table, its in zip(case.tables, case.apart, strict=True) for t in (its or [table])]
    return {table.labels[0]: table for table in tables}
