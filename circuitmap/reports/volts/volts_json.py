"""The volts to expect, as JSON."""

import math
from typing import Any

from circuitmap.quantities import Band
from circuitmap.reports.volts.line_words import line_sentences
from circuitmap.reports.volts.place_words import link_words
from circuitmap.reports.volts.rests_on import rests_on
from circuitmap.reports.volts.volts_text import black_lead
from circuitmap.reports.words.cautions import caution_json, cautions_at
from circuitmap.reports.words.hands_off_words import why_words
from circuitmap.reports.words.state_said import state_json, state_sentences
from circuitmap.volts.answer import VoltsThere
from circuitmap.volts.bad_places import SHOWN_OHMS
from circuitmap.volts.expected_volts import ExpectedVolts
from circuitmap.wiring.platform import Platform


def volts_json(platform: Platform, there: VoltsThere) -> dict[str, Any]:
    state = there.state.powered.state
    head = {
        "point": there.point.as_typed,
        "running": list(there.running),
        "state": state_json(state),
        "state_not_said": [{"what": its.what, "to": its.to} for its in there.state.changes],
        "never_runs": list(there.state.lacking),
        "state_remarks": state_sentences(there.state),
        "hands_off": None if there.untouchable is None else why_words(str(there.point), there.untouchable),
    }
    head["line"] = None
    if there.line is not None:
        powered = there.state.powered
        head["line"] = {
            "network": there.line.name,
            "told": line_sentences(powered.circuit, there.line, powered.state.fitting),
        }
    its = there.expected
    if its is None:
        return {**head, "expected": None}
    return {**head, "expected": _expected(platform, its)}


def _expected(platform: Platform, its: ExpectedVolts) -> dict[str, Any]:
    circuit = its.powered.circuit
    foreground = its.foreground
    return {
        "black_lead": black_lead(its.net),
        "flows": its.flows,
        "volts_as_it_is": its.still,
        "runs_not": list(its.off),
        "about": its.about,
        "cut_off": its.cut_off,
        "way": [
            {
                "at": at.terminal.as_typed,
                "half": at.terminal.half or None,
                "usual": at.bounds.usual,
                "nine_in_ten": _band(at.bounds.ninety),
                "at_most": _band(at.bounds.most),
                "read": at.read,
                "amps": at.amps,
                "hands_off": not circuit.hands_off.may_probe(str(at.terminal)),
            }
            for at in its.way
        ],
        "bad_places": [
            {"where": link_words(circuit, what.link), "ohms": SHOWN_OHMS, "volts": what.volts, "open": what.open}
            for what in its.what_if
        ],
        "supposed": None if its.supposed is None else {
            "at": [{"at": terminal.as_typed, "volts": volts} for terminal, volts in its.supposed.at],
            "not_on_the_way": list(map(str, its.supposed.unknown)),
        },
        "points_to": None if its.pointing is None or foreground is None else {
            "sound": its.pointing.sound,
            "strange": its.pointing.strange,
            "places": [
                {
                    "chance": place.chance,
                    "ohms": None if math.isinf(place.ohms) else place.ohms,
                    "open": math.isinf(place.ohms),
                    "one_of": [link_words(circuit, foreground.resistances[n].link) for n in place.numbers],
                }
                for place in its.pointing.places
            ],
        },
        "lost": [
            {
                "from": str(lost.above),
                "to": str(lost.below),
                "volts": lost.volts,
                "amps": _band(lost.amps),
                "measured": lost.measured,
                "ohms": lost.ohms,
                "sound": _band(lost.sound),
            }
            for lost in its.lost
        ],
        "resistances": [] if foreground is None else [
            {"where": link_words(circuit, r.link), "ohms": [r.ohms.low, r.ohms.usual, r.ohms.high], "mark": r.ohms.mark,
             "source": r.ohms.source}
            for r in foreground.resistances
        ],
        "unknown": rests_on(its),
        "cautions": caution_json(cautions_at(platform, "live-volts", (its.asked.point.part,))),
    }  # fmt: skip


def _band(band: Band) -> list[float]:
    return [band.low, band.high]
