"""From evidence to an answer: the whole of the diagnosis, as one readable function."""

from collections.abc import Sequence
from functools import partial

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.switched import switching_of
from circuitmap.diagnosis.asking_next import settled_in, tests_for
from circuitmap.diagnosis.case import Case, by_label, case_of
from circuitmap.diagnosis.diagnosis import NOT_FOLLOWED, SURE_ENOUGH, Diagnosis, Row
from circuitmap.diagnosis.explaining.classes import FaultClass, classes_of
from circuitmap.diagnosis.explaining.if_two import IfTwo
from circuitmap.diagnosis.explaining.reasons import Arguments
from circuitmap.diagnosis.incomplete import cut_off, what_is_not_known
from circuitmap.diagnosis.misfits import misfits_of
from circuitmap.diagnosis.next_test.contact_volts import contacts_to_prove
from circuitmap.diagnosis.next_test.next_tests import NextTests
from circuitmap.diagnosis.next_test.waking import keeps_nobody_awake
from circuitmap.diagnosis.nothing_seen import nothing_seen
from circuitmap.diagnosis.seen.all_batteries import all_batteries
from circuitmap.diagnosis.seen.at_rest import measured_at_rest
from circuitmap.diagnosis.seen.dead_places import dead_and_drawing
from circuitmap.diagnosis.seen.experience import Experience
from circuitmap.diagnosis.seen.figures_that_fit import figures_that_fit
from circuitmap.diagnosis.seen.left_for_one import left_for_one
from circuitmap.diagnosis.seen.missing_behind import missing_behind
from circuitmap.diagnosis.seen.netting import account_of
from circuitmap.diagnosis.seen.observed import Tried
from circuitmap.diagnosis.seen.read_since import read_since
from circuitmap.diagnosis.seen.relays_measured import relays_measured
from circuitmap.diagnosis.seen.should_flow import should_flow
from circuitmap.diagnosis.seen.silent_volts import silent_volts
from circuitmap.diagnosis.subjects import parts_of, subjects_of
from circuitmap.diagnosis.unexplained_tries import unexplained_tries
from circuitmap.diagnosis.unsaid import Weighed, facts_to_ask, times_asked, worlds_of
from circuitmap.diagnosis.weighing.weights import Weighing
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.left_so import left_so
from circuitmap.evidence.while_it_drew import seen_while_away, while_it_drew
from circuitmap.unknown import Unknown, of_all
from circuitmap.wiring.fitting import Fitting

MOST_ROWS = 40


def _not_read_since(case: Case, evidence: Evidence) -> list[Tried]:
    """The tries without those that came too early, and whose place was read since: nothing flows there, and nobody need
    make them again."""
    parked, tree = case.ready.parked, case.ready.tree
    return [
        one
        for one in case.tried
        if not (one.at_once or (one.why_not == "too early" and one.outcome == "stays"))
        or not read_since(one.attempt.out, one.attempt.after, evidence.readings, parked, tree)
    ]


def diagnose(
    circuit: Circuit, evidence: Evidence, fitting: Fitting | None = None, experience: Experience | None = None
) -> Diagnosis:
    """What explains the evidence on this car, what speaks for it, what is not known, and the test to do next.

    `fitting` is the optional equipment, in addition to what the evidence says of it; anything not mentioned may be
    there. `experience` are the causes of earlier jobs, if these are to count. The same evidence gives the same answer,
    in whatever order it was written down.
    """
    its_state = left_so(circuit.platform, evidence)
    evidence = while_it_drew(its_state.evidence)
    away = seen_while_away(its_state.evidence, evidence)
    case = case_of(circuit, evidence, fitting or {}, experience)
    ready, nets, faults, tried, weighing = case.ready, case.nets, case.faults, case.tried, case.weighing
    classes = classes_of(weighing, faults)
    rows = _rows(classes, case)
    tests = tests_for(case, evidence)
    at_most = NOT_FOLLOWED if tests.owed or tests.strained else SURE_ENOUGH
    subjects = subjects_of(weighing, faults, at_most)
    leads = [tests.mend, *(subject.parts[0].part for subject in subjects[:1])]
    answer = Diagnosis(
        something_wrong=min(case.something_wrong, SURE_ENOUGH),
        two_faults=min(weighing.two_faults, SURE_ENOUGH),
        rows=rows,
        parts=parts_of(weighing, faults, at_most),
        subjects=subjects,
        tests=tests,
        account=account_of(nets),
        netted=nets,
        pairs=IfTwo(weighing, faults),
        tried=tuple(tried),
        contradictions=nets.contradictions,
        incomplete=(
            *what_is_not_known(
                ready.parked,
                nets,
                _not_read_since(case, evidence),
                rows,
                evidence.lines,
                partial(keeps_nobody_awake, ready.handling),
            ),
            *silent_volts(
                evidence.volts,
                by_label(case).get,
                faults,
                ready.parked,
                weighing.given_something,
                {one.relay for one in evidence.relays},
                map(by_label(case).get, tried),
            ),
            *(Unknown("set aside", name, why) for name, why in away),
            *(Unknown("set aside", one.place, "burned early") for one in evidence.found_early),
            *cut_off(ready.parked.left_out, case.not_weighed, tests.not_compared),
        ),
        misfits=misfits_of(case.currents, by_label(case), case.doubted, classes, faults, weighing.together),
        hands_off=circuit.hands_off,
        switching=switching_of(circuit, ready.parked.fitting, ready.parked.absent),
        faults=faults,
        dead=dead_and_drawing(ready.parked, ready.tree, nets, tried),
        batteries=evidence.batteries,
        settled=settled_in(case, evidence),
        missing=missing_behind(nets, ready.tree, faults, tried),
        fits=figures_that_fit(
            circuit, ready.parked.fitting, nets, _unplugged_at(tried, evidence), _out_for_nothing(tried)
        ),
        left_for_one=left_for_one(nets, ready.tree, ready.handling.may_read),
        should_flow=should_flow(nets, faults, ready.parked, ready.tree),
        positions=evidence.positions,
        left_so=its_state if its_state.out else None,
        at_rest=measured_at_rest(evidence.volts, evidence.inputs, ready.parked),
        unexplained_tries=unexplained_tries(tried, by_label(case), classes, ready.parked, weighing.together),
        renewed_before=tuple(name for one in evidence.mended if one.how == "before" for name in one.parts),
        relays_measured=relays_measured(circuit, evidence),
        contacts=contacts_to_prove(ready.parked, leads, faults),
        from_before=evidence.from_before,
        happens_when=evidence.happens_when,
        unused=evidence.unused,
        together=all_batteries(nets, ready.parked),
        nothing_seen=nothing_seen(circuit, evidence) if not nets.totals and not tried else None,
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
        its = case_of(circuit, world, fitting or {}, experience)
        return Weighed(its.weighing, subjects_of(its.weighing, its.faults), its.faults, lambda: tests_for(its, world))

    worlds, tests_of_all = worlds_of(tried_out, evidence, asked)
    # What is normal is told of the places as they were read, also where the likeliest world joins two batteries.
    likeliest = tests_of_all._replace(normal_at=tests.normal_at) if tests_of_all is not None else tests
    return answer._replace(worlds=worlds, tests=likeliest)


def posterior_and_next_test(
    circuit: Circuit, evidence: Evidence, fitting: Fitting | None = None
) -> tuple[Weighing, NextTests]:
    """Only the weights of all explanations and the next test: this has to be done again after each reading."""
    evidence = while_it_drew(left_so(circuit.platform, evidence).evidence)
    case = case_of(circuit, evidence, fitting or {}, None)
    return case.weighing, tests_for(case, evidence)


def _unplugged_at(tried: Sequence[Tried], evidence: Evidence) -> frozenset[str]:
    """The places from which something was fed that is on no sheet, and that was out already."""
    out = {name for one in tried for name in one.attempt.out}
    return frozenset(part.fed_from for part in evidence.added if part.name in out)


def _out_for_nothing(tried: Sequence[Tried]) -> tuple[tuple[str, ...], ...]:
    """What was out with the draw going on as it was, by a try that tells."""
    return tuple(one.attempt.out for one in tried if one.outcome == "stays" and not one.why_not)


def _rows(classes: Sequence[FaultClass], case: Case) -> tuple[Row, ...]:
    rows = []
    faults = case.faults
    arguments = Arguments(classes, case.weighing, case.tables, faults, case.apart)
    for number, explanation in enumerate(classes[:MOST_ROWS]):
        members = tuple(tuple(faults[n] for n in member) for member in explanation.members)
        probability = min(explanation.probability, SURE_ENOUGH)
        rows.append(Row(explanation, members, probability, number, arguments, case.currents, faults))
    return tuple(rows)
