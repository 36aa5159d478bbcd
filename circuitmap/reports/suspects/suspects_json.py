"""`suspects` as JSON."""

from collections.abc import Container
from typing import Any

from circuitmap.circuit.hands_off import Untouchable
from circuitmap.diagnosis.diagnosis import Diagnosis, Row, World
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.next_test.planned import PlannedTest
from circuitmap.diagnosis.seen.netting import Contradiction, accounts_of, impossible_in
from circuitmap.diagnosis.seen.only_just import only_just
from circuitmap.diagnosis.seen.shared_zero import shared_zero
from circuitmap.diagnosis.seen.should_flow import Share
from circuitmap.reports.suspects.care_at_step import care_at_step
from circuitmap.reports.suspects.come_back import out_before_use
from circuitmap.reports.suspects.comes_and_goes import logged_total_json
from circuitmap.reports.suspects.fault_kind_words import fault_words
from circuitmap.reports.suspects.figures_words import figures_told
from circuitmap.reports.suspects.head import leading_share
from circuitmap.reports.suspects.leading import may_be_tried
from circuitmap.reports.suspects.left_so_words import from_before_json, left_so_json
from circuitmap.reports.suspects.no_draw import NoDraw, no_draw_of
from circuitmap.reports.suspects.nothing_seen import nothing_seen_of
from circuitmap.reports.suspects.observation_words import name_of
from circuitmap.reports.suspects.odd_readings import fed_by
from circuitmap.reports.suspects.others import fitted_and_unread
from circuitmap.reports.suspects.proving import proof_cautions, was_shown
from circuitmap.reports.suspects.row_words import dead_left_out
from circuitmap.reports.suspects.waiting import clock_words
from circuitmap.reports.suspects.why import faults_of_class, reasons_against, reasons_for_the_place
from circuitmap.reports.words.cautions import caution_json
from circuitmap.reports.words.hands_off_words import untouchable_json
from circuitmap.reports.words.seen_words import nothing_seen_json
from circuitmap.wiring.platform import Platform


def _shared_zero(diagnosis: Diagnosis) -> dict[str, Any] | None:
    zero = shared_zero(diagnosis.netted)
    if zero is None:
        return None
    return {"meter": zero.meter, "amps": _rounded(zero.amps), "volts": _rounded(zero.drop), "places": list(zero.places)}


def suspects_json(platform: Platform, diagnosis: Diagnosis, top: int) -> dict[str, Any]:
    """Every figure of the answer; probabilities are given that something is wrong, except `something_wrong`."""
    account, no_draw, seen = diagnosis.account, no_draw_of(platform, diagnosis), nothing_seen_of(diagnosis)
    tests = diagnosis.tests.choices if no_draw is None and seen is None else ()
    return {
        "something_wrong": _rounded(diagnosis.something_wrong),
        "two_faults": _rounded(diagnosis.two_faults),
        "nothing_fits": diagnosis.nothing_fits,
        "classes": [_class(platform, diagnosis, row) for row in diagnosis.rows[:top]],
        "parts": [
            {
                "part": part.part,
                "or_its_wire": any(fault.or_its_wire for fault in part.faults),
                "probability": _rounded(part.probability),
            }
            for part in diagnosis.parts[:top]
        ],
        "subjects": [{"about": s.about, "probability": _rounded(s.probability)} for s in diagnosis.subjects[:top]],
        "fitted_unread": [{"name": name, "fed_from": place} for name, place in fitted_and_unread(diagnosis).items()],
        "if_two": [
            {
                "about": list(two.about),
                "parts": [[fault.part for fault in two.faults]],
                "probability": _rounded(two.probability),
            }
            for two in diagnosis.if_two
        ],
        "left_so": left_so_json(diagnosis),
        "from_before": from_before_json(diagnosis),
        "not_said": [_world(world) for world in diagnosis.worlds],
        "no_draw": _no_draw(no_draw),
        "nothing_seen": nothing_seen_json(seen),
        "tests": [_test(platform, diagnosis, test) for test in tests],
        "not_worth": list(diagnosis.tests.not_worth),
        "mend": diagnosis.tests.mend or None,
        "mend_shown": bool(diagnosis.tests.mend) and was_shown(platform, diagnosis, diagnosis.tests.mend),
        "renewed_before": list(diagnosis.renewed_before),
        "put_in_first": list(diagnosis.tests.put_in),
        "out_before_use": list(out_before_use(platform, diagnosis)),
        "waits_without": list(diagnosis.tests.waits),
        "waits_until": None if diagnosis.tests.sleeps_at is None else clock_words(diagnosis.tests.sleeps_at),
        "awake_unexplained": list(diagnosis.tests.unexplained),
        "mend_contact": _contact(diagnosis),
        "mend_cautions": _proof_cautions(platform, diagnosis),
        "hands_off": untouchable_json(_untouchable(platform, diagnosis)),
        "log": logged_total_json(platform, diagnosis),
        "total": None if account is None else _rounded(account.total),
        "found": None if account is None else _rounded(account.found),
        "unaccounted": None if account is None else {"amps": _rounded(account.left), "error": _rounded(account.error)},
        "all_batteries": _together(diagnosis),
        "batteries": [
            {
                "place": place,
                "total": _rounded(one.total),
                "found": _rounded(one.found),
                "left": _rounded(one.left),
                "error": _rounded(one.error),
            }
            for place, one in accounts_of(diagnosis.netted).items()
        ],
        "only_just": [
            {"place": one.place, "amps": _rounded(one.amps), "found": _rounded(one.found), "by": list(one.by)}
            for one in only_just(diagnosis.netted, diagnosis.netted.read_twice)
        ],
        "segments": [
            {
                "place": segment.place,
                "amps": None if segment.amps is None else _rounded(segment.amps),
                "error": _rounded(segment.error),
                "readings": [reading.written for reading in segment.readings],
            }
            for segment in diagnosis.netted.segments
        ],
        "tries": [
            {
                "out": list(t.attempt.out),
                "outcome": t.outcome or None,
                "not_counted": t.why_not or None,
                "ended_by_itself": round(t.ended, 3),
            }
            for t in diagnosis.tried
        ],
        "misfits": [
            {
                "reading": name_of(m.segment),
                "decibans": m.decibans,
                "against": list(m.against.attempt.out) if m.against is not None else [],
            }
            for m in diagnosis.misfits
        ],
        "unexplained_tries": [
            {"out": list(one.tried.attempt.out), "through": list(one.through)} for one in diagnosis.unexplained_tries
        ],
        "dead": [
            {
                "place": dead.place,
                "amps": None if dead.amps is None else _rounded(dead.amps),
                "fed": fed_by(dead),
            }
            for dead in diagnosis.dead
        ],
        "read_again": [
            {
                "place": two.later.place,
                "readings": [{"by": reading.by, "reading": reading.written} for reading in two],
            }
            for two in diagnosis.netted.disagreed
        ],
        "contradictions": [_contradiction(one, diagnosis.netted.read_twice) for one in diagnosis.contradictions],
        "missing_behind": [
            {
                "place": its.place,
                "amps": _rounded(its.amps),
                "found": _rounded(its.found),
                "unread": list(its.unread),
                "quiet": list(its.quiet),
                "cables": list(its.cables),
                "went": its.went or None,
                "contacts": [{"relay": one.relay, "to": list(one.to)} for one in its.contacts],
                "misses": its.misses,
            }
            for its in diagnosis.missing
        ],
        "fits": [
            {
                "place": its.place,
                "amps": _rounded(its.amps),
                "takers": [{"part": one.part, "takes": one.taken} for one in its.takers],
                "sockets": list(its.sockets),
                "not_with": [{"part": one.part, "takes": one.taken} for one in its.not_with],
            }
            for its in figures_told(diagnosis)
        ],
        "left_for_one": [
            {
                "place": its.place,
                "feeder": its.feeder,
                "amps": _rounded(its.amps),
                "off": _rounded(its.off),
                "takers": [{"part": one.part, "takes": one.taken} for one in its.takers],
            }
            for its in diagnosis.left_for_one
        ],
        "should_flow": [
            {
                "place": its.place,
                "amps": _rounded(its.amps),
                "printed": _rounded(its.printed),
                "by_added": _rounded(its.by_added),
                "added": list(its.added),
                "assumed_grounded": list(its.grounded),
                "assumed": list(its.assumed),
                "awake": [sorted(one) for one in its.awake],
                "running": list(its.running.parts) if its.running is not None else [],
                "share": _share(leading_share(diagnosis, its)),
            }
            for its in diagnosis.should_flow
        ],
        "shared_zero": _shared_zero(diagnosis),
        "incomplete": [
            {"kind": gap.kind, "names": list(gap.names), "amps": gap.amps, "why": gap.detail or None}
            for gap in diagnosis.incomplete
        ],
    }


def _share(its: Share | None) -> dict[str, Any] | None:
    if its is None:
        return None
    others = [sorted(one) for one in its.others]
    return {"parts": list(its.parts), "amps": _rounded(its.amps), "left": _rounded(its.left), "others": others}


def _class(platform: Platform, diagnosis: Diagnosis, row: Row) -> dict[str, Any]:
    return {
        "probability": _rounded(row.probability),
        "fault": " + ".join(row.explanation.kinds),
        "members": [[_fault(platform, fault) for fault in member] for member in row.faults],
        "evidence": [
            {"reading": name_of(line.about), "decibans": line.decibans, "says": _says(line.decibans)}
            for line in row.argument.lines
        ],
        "decibans": row.argument.total,
        "why": [reason.sentence for reason in reasons_for_the_place(platform, diagnosis, row)],
        "beats": [
            {
                "rival": [fault_words(platform, fault) for fault in faults_of_class(diagnosis, beaten.rival)],
                "why": [reason.sentence for reason in reasons_against(platform, diagnosis, row, beaten)],
            }
            for beaten in row.beaten
        ],
        "level_with": [
            [fault_words(platform, fault) for fault in faults_of_class(diagnosis, rival)] for rival in row.level_with
        ],
    }


def _fault(platform: Platform, fault: Fault) -> dict[str, Any]:
    return {
        "part": fault.part,
        "kind": fault.kind,
        "about": fault.about,
        "module": fault.module or None,
        "network": fault.network or None,
        "contact": fault.contact or None,
        "partly": fault.partly,
        "half_awake": fault.half_awake,
        "words": fault_words(platform, fault),
    }


def _world(world: World) -> dict[str, Any]:
    return {
        "options": dict(world.fitting),
        "positions": dict(world.positions),
        "probability": _rounded(world.probability),
        "about": world.subject.about,
        "then": _rounded(world.subject.probability),
    }


def _no_draw(its: NoDraw | None) -> dict[str, Any] | None:
    if its is None:
        return None
    return {
        "total": _rounded(its.total),
        "error": _rounded(its.error),
        "limit": _rounded(its.limit),
        "limit_is_usual": its.is_usual,
        "shown": its.shown,
        "beyond_what_runs": [
            {"place": one.place, "amps": _rounded(one.beyond_what_runs), "switches": list(one.running.switches)}
            for one in its.beyond
            if one.running is not None
        ],
    }


def _test(platform: Platform, diagnosis: Diagnosis, test: PlannedTest) -> dict[str, Any]:
    return {
        "action": test.action.doing,
        "parts": list(test.action.parts),
        "dead_left_out": list(dead_left_out(diagnosis, test.action)),
        "minutes": _rounded(test.action.minutes),
        "wait": test.action.wait,
        "bits": _rounded(test.bits),
        "invasive": test.action.is_invasive,
        "cautions": caution_json(care_at_step(platform, diagnosis, test.action)),
        "look_for": [fault.part for fault in test.look_for],
        "or_volts_at": list(test.or_volts_at),
        "outcomes": [
            {
                "outcome": branch.outcome,
                "probability": _rounded(branch.probability),
                "part": branch.part,
                "then": _rounded(branch.then),
                "about": branch.about,
                "about_then": _rounded(branch.about_then),
                "beside": branch.beside,
                "beside_then": _rounded(branch.beside_then),
            }
            for branch in test.branches
        ],
        "expected": None
        if not any(test.ends)
        else {
            "found": _rounded(test.found),
            "nothing_below": _rounded(test.ends[0]),
            "most_from": _rounded(test.ends[1]),
        },
    }


def _contact(diagnosis: Diagnosis) -> dict[str, Any] | None:
    """What volts tell of the contact of the switch that is to be mended."""
    its = next((one for one in diagnosis.contacts if one.switch == diagnosis.tests.mend), None)
    if its is None:
        return None
    return {"probes": list(its.probes), "brings": its.brings, "closed_at_rest": its.closed}


def _proof_cautions(platform: Platform, diagnosis: Diagnosis) -> list[dict[str, str]]:
    """What to take care of when a part is proven; empty where no part is, or where it is hands-off."""
    part = diagnosis.tests.mend
    if not part or not may_be_tried(diagnosis, part):
        return []
    return caution_json(proof_cautions(platform, diagnosis, part))


def _untouchable(platform: Platform, diagnosis: Diagnosis) -> dict[str, Untouchable]:
    """Every part of the platform that no step goes to, and why."""
    found = ((name, diagnosis.hands_off.why_not(name)) for name in platform.parts)
    return {name: its for name, its in found if its is not None}


def _contradiction(one: Contradiction, read_twice: Container[str]) -> dict[str, Any]:
    return {
        "place": one.place,
        "readings": [reading.written for reading in one.readings],
        "impossible": [reading.place for reading in impossible_in(one, read_twice)],
        "amps": _rounded(one.amps),
        "error": _rounded(one.error),
    }


def _says(decibans: float) -> str:
    return "nothing" if abs(decibans) < 0.005 else "for" if decibans > 0 else "against"


def _rounded(value: float) -> float:
    return round(float(value), 6)


def _together(diagnosis: Diagnosis) -> dict[str, Any] | None:
    its = diagnosis.together
    if its is None:
        return None
    amps = {"amps": _rounded(its.together), "by_sheets": _rounded(its.own), "error": _rounded(its.off)}
    return {**amps, "too_much": its.too_much}
