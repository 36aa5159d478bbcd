"""What the answer rests on that is not known, and what does not go together, in sentences."""

from circuitmap.diagnosis.diagnosis import Diagnosis, Incomplete
from circuitmap.diagnosis.seen.netting import Contradiction
from circuitmap.evidence.network_lines import LIN_TALKS, NetworkLine
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.fault_words import short_part_words
from circuitmap.reports.words.paragraphs import counted, joined, shortened
from circuitmap.wiring.parts import OpenEnd
from circuitmap.wiring.platform import Platform

_WHY_NOT = {
    "early": "was read too early: the car had not had the time to fall asleep",
    "woken": "was read just after something woke the car",
    "quiet-phase": "is from the quiet phase, which clears nobody",
    "phase-unknown": "does not count: the draw comes and goes, and the total at that moment was not written down",
    "partial-feeder": "is not netted, because {beside} feeds only part of that box",
    "shared-batteries": "says little alone: {beside} share the current, so read both",
}
_TRY_NOT = {"too early": "too early, wait and read again", "nothing read before": "nothing was read before"}


def not_known_sentences(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    """Gaps of one kind in one sentence."""
    grouped: dict[tuple[str, str], list[Incomplete]] = {}
    for gap in diagnosis.incomplete:
        if gap.why == "other-state":
            continue  # told beside the count
        by_why = gap.why if gap.what in ("set-aside", "try-not-counted", "line-unclear") else ""
        grouped.setdefault((gap.what, by_why), []).append(gap)
    return [_sentence(platform, what, gaps) for (what, _), gaps in grouped.items()]


def _sentence(platform: Platform, what: str, gaps: list[Incomplete]) -> str:
    names = [name for gap in gaps for name in gap.names]
    if what == "current-assumed":  # of open ends it is said that they go on
        names = [name for name in names if not isinstance(platform.parts.get(name), OpenEnd)] or names
    told = list(dict.fromkeys(short_part_words(platform, name) for name in names))
    its = shortened(told, 6)
    one = len(told) == 1
    match what:
        case "no-total":
            return "The total was not read: nobody knows what is missing."
        case "fuse-not-read":
            return f"{its} {'was' if one else 'were'} not read."
        case "hides":
            worst = max(gap.amps or 0.0 for gap in gaps)
            shows, it = ("shows", "it") if one else ("show", "them")
            return f"{its} {shows} nothing, yet up to {ampere(worst)} can hide in {it}: not cleared."
        case "draws-only":
            return f"{its} {'draws' if one else 'draw'}; how much, the drop across this style of fuse does not say."
        case "estimate":
            return f"The current of {its} rests on an estimated resistance, no data sheet."
        case "open-end":
            said = [f'"{words}"' for name in names if (words := platform.parts[name].description)]
            shown = f": {joined(list(dict.fromkeys(said)))}" if said else ""
            return f"{counted(len(names), 'wire goes', 'wires go')} on, not typed in{shown}."
        case "wires-not-typed":
            return f"Wires not typed in: {its} {'is' if one else 'are'} known from the fuse chart only."
        case "current-assumed":
            return f"Assumed, not transcribed: what {its} {'takes' if one else 'take'}."
        case "feed-unknown":
            return f"What feeds {its} is not on the drawings yet."
        case "equipment-not-said":
            return f"Whether this car has {joined(names, 'or')} was not said (--option, --without)."
        case "set-aside":
            first = gaps[0]
            places = shortened([gap.names[0] for gap in gaps], 6)
            beside = joined(list(first.names[1:]))
            return f"{places} {_WHY_NOT[first.why].format(beside=beside)}."
        case "line-unclear":
            return _line_unclear(platform, gaps[0].line) if gaps[0].line is not None else its
        case "try-not-counted":
            return f"The try with {its} out doesn't count: {_TRY_NOT.get(gaps[0].why, gaps[0].why)}."
    return f"{what}: {its}."


def _line_unclear(platform: Platform, line: NetworkLine) -> str:
    """Why the volts of a line say nothing, by the kind of network."""
    network = line.network
    shows = f"{network} shows {line.value}"
    match platform.networks[network].kind:
        case "lin":
            if (line.volts or 0.0) < LIN_TALKS[0] * platform.supply_volts:
                return f"{shows}: shorted to ground or without supply. That says nothing of sleeping."
            return (
                f"{shows}: steady and near the battery's volts it is at rest, jumping below them it is talking. Write "
                f"{network}=asleep or {network}=awake."
            )
        case "can":
            return f"{shows}: neither awake (about 2.5 V) nor asleep (near 0 V). Measure it again."
    return f"{shows}: what such a line has at rest differs from make to make, so that says nothing here."


def no_longer_counting(diagnosis: Diagnosis) -> list[str]:
    """Readings of another state than that of the latest total."""
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
