"""Why loads do not work, as JSON."""

from typing import Any

from circuitmap.circuit.links import Circuit
from circuitmap.dead.blown import BlownFuse
from circuitmap.dead.breaks import Break
from circuitmap.dead.dead_loads import DeadLoads, NextStep
from circuitmap.reports.dead.black_lead_words import black_lead_told
from circuitmap.reports.dead.blown_text import blown_json
from circuitmap.reports.dead.break_words import break_words, probe_words
from circuitmap.reports.dead.dead_text import cleared, lines_told, states_told, step_cautions
from circuitmap.reports.dead.handing_over import hand_over_told, not_touched
from circuitmap.reports.dead.resting import dead_rests_on
from circuitmap.reports.words.cautions import caution_json
from circuitmap.reports.words.hands_off_words import untouchable_json
from circuitmap.reports.words.state_said import state_json
from circuitmap.wiring.platform import Platform


def dead_json(platform: Platform, its: DeadLoads | BlownFuse) -> dict[str, Any]:
    """Of a fuse that blew only `blown`."""
    if isinstance(its, BlownFuse):
        return {"blown": blown_json(platform, its)}
    circuit = its.circuit
    state = its.watched.main.state
    return {
        "dead": [one.words for one in its.complaint.dead],
        "works": [one.words for one in its.complaint.works],
        "probed": [{"at": point.as_typed, "volts": volts} for point, volts in its.complaint.probed.items()],
        "state": state_json(state),
        "state_not_said": [
            [{"what": change.what, "to": change.to} for change in one.changes] for one in its.watched.states
        ],
        "first_put": [{"what": change.what, "to": change.to} for change in its.watched.otherwise],
        "state_remarks": states_told(its),
        "never_works": list(its.lacking),
        "two_things": its.weighed.two,
        "told_wrong": its.weighed.wrong,
        "one_thing_fits": its.weighed.one_fits,
        "groups": [
            {
                "chance": group.chance,
                "alone": group.alone,
                "one_of": [_break(circuit, one) for one in group.breaks],
                "dead_without": sorted(map(its.watched.named, group.kills)),
                "against": sorted(map(its.watched.named, group.against)),
                "leaves": sorted(map(its.watched.named, group.leaves)),
            }
            for group in its.weighed.groups
            if group.chance >= 1e-4
        ],
        "suspects": [{**_break(circuit, one), "odds": odds} for one, odds in its.suspects],
        "next": [_step(circuit, platform, its, step) for step in its.steps],
        "hands_off": untouchable_json(not_touched(its)),
        "hand_over": " ".join(hand_over_told(its)) or None,
        "black_lead": next(iter(black_lead_told(its)), None),
        "minutes_left": its.plan.minutes,
        "chosen_by": its.plan.how,
        "second_feed": list(its.second_feed),
        "lines": lines_told(its),
        "cleared": [_break(circuit, one) for one in cleared(its)],
        "cut_off": its.found.cut_off,
        "unknown": dead_rests_on(its),
    }


def _break(circuit: Circuit, one: Break) -> dict[str, str]:
    return {"kind": one.kind, "name": one.name, "words": break_words(circuit, one)}


def _step(circuit: Circuit, platform: Platform, its: DeadLoads, step: NextStep) -> dict[str, Any]:
    point = step.step.point
    return {
        "do": "switch on" if point is None else "line" if step.step.network else "volts",
        "network": step.step.network or None,
        "at": step.step.load if point is None else str(point),
        "words": step.step.load if point is None else probe_words(circuit, point),
        "minutes": step.step.minutes,
        "outcomes": [
            {
                "shown": outcome.shown,
                "chance": outcome.chance,
                "volts": None if outcome.volts is None else list(outcome.volts),
                "left": [_break(circuit, one) for one in outcome.left],
            }
            for outcome in step.outcomes
        ],
        "cautions": caution_json(step_cautions(platform, its, step)),
    }
