"""What the answer rests on that is not known, and what does not fit together, in sentences."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.netting import Contradiction
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.fault_words import short_part_words
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.reports.words.unknown_words import unknown_sentence
from circuitmap.unknown import Unknown, UnknownKind
from circuitmap.wiring.parts import OpenEnd
from circuitmap.wiring.platform import Platform


def not_known_sentences(platform: Platform, diagnosis: Diagnosis, *, in_use: bool = True) -> list[str]:
    """What is not known, with things of one kind in one sentence; not `in_use`: what was read with the key on is told
    elsewhere."""
    grouped: dict[tuple[UnknownKind, str], list[Unknown]] = {}
    for entry in diagnosis.incomplete:
        if entry.detail in ("other-state", "as-it-stood"):
            continue  # told beside the count, or with what is left so
        if entry.detail == "in use" and not in_use:
            continue
        again = entry.kind == "set aside" and entry.name in diagnosis.netted.readings
        if again and entry.detail in ("early", "quiet-phase", "event-phase"):
            continue  # it was read again since: asleep, or in the state that is looked for
        if again and entry.detail == "woken" and _was_read_since(diagnosis, entry.name):
            continue
        grouped.setdefault((entry.kind, entry.detail), []).append(entry)
    return [_sentence(platform, kind, entries, _minutes_early(diagnosis)) for (kind, _), entries in grouped.items()]


def _was_read_since(diagnosis: Diagnosis, place: str) -> bool:
    """Whether what counts at a place was read after all that something had woken."""
    nets = diagnosis.netted
    aside = [one.reading.span for one in nets.set_aside if one.why == "woken" and one.reading.place == place]
    counts = nets.readings[place].span
    return counts is not None and all(span is not None and span.start < counts.start for span in aside)


def _minutes_early(diagnosis: Diagnosis) -> dict[tuple[str, float | None], float]:
    """How many minutes after locking each place was read too early, by what it showed."""
    early = (one.reading for one in diagnosis.netted.set_aside if one.why == "early")
    return {(r.place, r.amps): r.minutes for r in early if r.minutes is not None}


def _sentence(
    platform: Platform, kind: UnknownKind, entries: list[Unknown], early: dict[tuple[str, float | None], float]
) -> str:
    """One sentence about everything of one kind; for readings and tries, about all with the same reason."""
    names = [name for entry in entries for name in entry.names]
    first = entries[0]
    detail, beside = first.detail, first.beside
    match kind:
        case "set aside":
            after = [early.get((entry.name, entry.amps)) if detail == "early" else None for entry in entries]
            names = [
                entry.name if minutes is None else f"{entry.name} ({minutes:.0f} min after locking)"
                for entry, minutes in zip(entries, after, strict=True)
            ]
            names = list(dict.fromkeys(names))
        case "line unclear":
            names, detail, beside = [first.name], detail, (_line(platform, first),)
        case "open end":
            said = [f'"{words}"' for name in names if (words := platform.parts[name].description)]
            detail = f": {joined(list(dict.fromkeys(said)))}" if said else ""
        case "option not said":
            pass
        case _:
            if kind == "current assumed":  # for open ends the sentence says that they go on
                names = [name for name in names if not isinstance(platform.parts.get(name), OpenEnd)] or names
            elif kind in ("hides", "last digit"):
                detail = ampere(max(entry.amps or 0.0 for entry in entries))
            names = list(dict.fromkeys(short_part_words(platform, name) for name in names))
    return unknown_sentence("suspects", kind, names, detail, beside)


def _line(platform: Platform, unclear: Unknown) -> str:
    """Why the volts of a line say nothing: because of its kind of network."""
    kind = platform.networks[unclear.name].kind
    return kind if kind in ("lin", "can") else "other"


def no_longer_counting(diagnosis: Diagnosis) -> list[str]:
    """Readings of a state other than that of the latest total."""
    aside = [one.reading for one in diagnosis.netted.set_aside if one.why == "other-state"]
    if not aside:
        return []
    places = list(dict.fromkeys(reading.place for reading in aside))
    then = list(dict.fromkeys(ampere(reading.total) for reading in aside))
    now = joined([ampere(reading.amps) for reading in diagnosis.netted.totals])
    belong, them = ("belongs", "it") if len(places) == 1 else ("belong", "them")
    return [
        f"{shortened(places, 6)} {belong} to another state: the total was {joined(then)} then, and is {now} now. Read "
        f"{them} again at this total."
    ]


def contradiction_sentences(diagnosis: Diagnosis) -> list[str]:
    return [_together(contradiction) for contradiction in diagnosis.contradictions]


def _together(contradiction: Contradiction) -> str:
    own, *branches = contradiction.readings
    if not branches:
        return (
            f"{contradiction.place} shows {ampere(contradiction.amps)}: the current runs the wrong way. Is the clamp "
            "the wrong way round, or does something charge?"
        )
    behind = joined([f"{r.place} {ampere(r.amps)}" for r in branches])
    return (
        f"These don't go together: {contradiction.place} {ampere(own.amps)}, and behind it {behind}, "
        f"{ampere(-contradiction.amps)} more (the meters can be off {ampere(contradiction.error)}). "
        "Read them again before you trust the rest."
    )
