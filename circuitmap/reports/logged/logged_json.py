"""A night's log as data."""

from math import isinf
from typing import Any

from circuitmap.recording.events import LoneStep
from circuitmap.recording.flat import TimeToFlat
from circuitmap.recording.night import Night
from circuitmap.recording.recorded import Recording
from circuitmap.recording.zero import ClampZero
from circuitmap.reports.logged.night_text import alike_stair
from circuitmap.reports.logged.took_text import asked_sentences
from circuitmap.reports.logged.when import iso_at


def logged_json(
    name: str, recording: Recording, night: Night | None, zero: ClampZero, flat: TimeToFlat | None
) -> dict[str, Any]:
    taken = recording.taken
    known = not any(one.about in ("unit", "scale", "column") for one in recording.asked)
    return {
        "file": name,
        "samples": recording.numbers,
        "rows": recording.rows,
        "from": iso_at(recording, 0.0),
        "to": iso_at(recording, float(recording.seconds[-1])),
        "seconds": round(float(recording.seconds[-1]), 3),
        "distance": None if recording.held else round(recording.distance, 6),
        "smallest": round(recording.smallest, 6) if known else None,
        "largest": round(recording.largest, 6) if known else None,
        "read_as": {
            "current": taken.current,
            "unit": taken.unit,
            "unit_from": taken.unit_from,
            "least": taken.least,
            "most": taken.most,
            "time": list(taken.time),
            "time_kind": taken.time_kind,
            "encoding": taken.encoding,
            "delimiter": taken.delimiter,
            "decimal": taken.decimal,
            "first_row": taken.first_row,
            "not_used": list(taken.others),
        },
        "besides": [
            {"kind": remark.kind, "line": remark.line or None, "amount": remark.amount, "text": remark.text}
            for remark in recording.remarks
        ],
        "asked": [
            {"about": one.about, "columns": list(one.names), "ranges": [list(its) for its in one.ranges], "says": says}
            for one, says in zip(recording.asked, asked_sentences(recording.asked), strict=True)
        ],
        "zero": {"amps": _amps(zero.amps), "error": _amps(zero.error), "read": zero.read},
        "night": None if night is None else _night(recording, night, zero, flat),
    }


def _amps(amps: float) -> float:
    return round(amps, 6)


def _night(recording: Recording, night: Night, zero: ClampZero, flat: TimeToFlat | None) -> dict[str, Any]:
    def when(sample: int) -> float:
        return round(night.at(sample), 3)

    def step(one: LoneStep) -> dict[str, Any]:
        return {"at": when(one.at), "clock": iso_at(recording, night.at(one.at)), "amps": _amps(one.height)}

    return {
        "locked": _time(night.locked),
        "asleep": _time(night.asleep),
        "opened": _time(night.opened),
        "stairs": [step(one) for one in night.stairs],
        "still_on": [step(one) for one in night.still_on],
        "settled": [round(one, 3) for one in night.settled],
        "floor": None if night.floor is None else _amps(night.floor - zero.amps),
        "drift": _amps(night.drift),
        "mean": None if night.mean is None else [_amps(one - zero.amps) for one in night.mean],
        "mean_over": [round(one, 3) for one in night.mean_over],
        "charged": [{"from": round(span.start, 3), "to": round(span.end, 3)} for span in night.charged],
        "noise": _amps(night.noise),
        "display_step": _amps(night.step),
        "smallest": [{"seconds": length, "amps": _amps(amps)} for length, amps in night.smallest],
        "averaged": night.averaged,
        "levels": [{"at": when(level.start), "amps": _amps(level.amps - zero.amps)} for level in night.levels],
        "kinds": [
            {
                "amps": _amps(kind.height),
                "shortest": round(kind.shortest, 3),
                "longest": round(kind.longest, 3),
                "rhythm": kind.rhythm.kind,
                "period": round(kind.rhythm.period, 3) or None,
                "off": round(kind.rhythm.off, 3),
                "left_out": kind.rhythm.missing,
                "share": round(kind.share, 4),
                "under_charge": kind.under_charge,
                "on_at_end": kind.on_at_end,
                "as_fell_at": None if (same := alike_stair(night, kind)) is None else when(same.at),
                "events": [
                    {
                        "at": when(event.start),
                        "clock": iso_at(recording, night.at(event.start)),
                        "to": when(event.end),
                        "amps": _amps(event.height),
                        "parts": [_amps(part) for part in event.parts],
                        "peak": None if event.peak is None else _amps(event.peak),
                    }
                    for event in kind.events
                ],
            }
            for kind in night.kinds
        ],
        "singles": [
            {"at": when(one.start), "samples": one.samples, "amps": _amps(one.height)} for one in night.singles
        ],
        "hidden": [when(at) for at in night.hidden],
        "flat": None if flat is None else _flat(flat),
    }


def _time(seconds: float | None) -> float | None:
    return None if seconds is None else round(seconds, 3)


def _flat(flat: TimeToFlat) -> dict[str, Any]:
    hours = flat.hours
    longest = None if hours is None or isinf(hours.high) else round(hours.high, 2)
    return {
        "draw": [_amps(one) for one in flat.draw],
        "at_end": flat.at_end,
        "usable": [round(one, 3) for one in flat.usable.ampere_hours],
        "hours": None if hours is None else [round(hours.low, 2), longest],
        "assumed": list(flat.usable.assumed),
    }
