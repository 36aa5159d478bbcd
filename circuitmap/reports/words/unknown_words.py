"""What an answer rests on that is not known, as sentences and as JSON: the one place for their wording."""

from collections.abc import Iterable, Sequence
from typing import Any, Literal, assert_never

from circuitmap.reports.words.paragraphs import counted, joined, shortened
from circuitmap.reports.words.part_words import copied_words, written_words
from circuitmap.unknown import Unknown, UnknownKind
from circuitmap.wiring.parts import Fuse
from circuitmap.wiring.platform import Platform

Where = Literal["circuit", "live", "suspects", "drawing"]
"""The answer that a sentence stands under: the circuit of a part or of fuses, what is live, what the readings point to,
a drawing."""

_MOST_NAMES: dict[Where, int] = {"circuit": 8, "live": 8, "suspects": 6, "drawing": 6}
_NAMED_BY_DETAIL = ("wires not typed in", "copied")
"""For these kinds, where there is no room for every wire, it is only told where they come from."""
_WHY_NOT = {
    "early": "was read too early: the car had not had the time to fall asleep",
    "woken": "was read just after something woke the car",
    "burned early": "was seen burning too early: it may have gone out since, so it says nothing of the parked car",
    "in use": "was read with the key on: in use, not parked",
    "quiet-phase": "is from the quiet phase, which clears nobody",
    "event-phase": "was read during an event, and what flows in between is looked for",
    "phase-unknown": "does not count: the draw comes and goes, and the total at that moment was not written down",
    "partial-feeder": "is not netted, because {beside} feeds only part of that box",
    "after-reset": "is from after the draw had gone with something out: a refit hides a fault and mends none",
    "while away": "was seen while the draw was away: what was seen before that counts",
    "gone-by-itself": "is from after the draw had gone by itself: that mends nothing, and clears nobody",
    "shared-batteries": "says little alone: {beside} share the current, so read both",
}
_OF_SEVERAL = {"is": "are", "was": "were", "does": "do", "says": "say"}
_LINE_SAYS = {
    "lin": "steady and near the battery's volts it is at rest, jumping below them it is talking. Write "
    "{network}=asleep or {network}=awake.",
    "can": "neither awake (about 2.5 V) nor asleep (near 0 V). Measure it again.",
    "other": "what such a line has at rest differs from make to make, so that says nothing here.",
}
_TRY_NOT = {
    "too early": "too early, wait and read again",
    "too early, in again": "it was out for too short a time, take it out once more",
    "odd": "it speaks against several readings that agree: put it back, see the draw come back, and take it out again",
    "between events": "read between two events, it says nothing",
    "too coarse": "so small a draw can't be seen to go on this meter, take a finer one",
    "nothing read before": "nothing was read before",
}


def once_more_words(why: str, beside: Sequence[str] = ()) -> str:
    """Why a reading or a try that is known is to be done once more."""
    if why == "too early":
        return "Once more: the first time was too early."
    if why in _TRY_NOT:
        return f"Once more: {_TRY_NOT[why]}."
    return f"Once more: the earlier one {_WHY_NOT[why].format(beside=joined(beside))}."


def unknown_sentences(platform: Platform, unknown: Iterable[Unknown]) -> list[str]:
    """What is not known of circuits, with things of one kind in one sentence."""
    sentences: list[str] = []
    grouped: dict[UnknownKind, dict[str, dict[str, None]]] = {}
    for entry in unknown:
        if entry.kind == "open end":
            sentences.append(open_end_sentence(entry))
            continue
        kind: UnknownKind = "ground assumed" if entry.kind == "body assumed" else entry.kind
        detail = entry.detail if kind in ("wires not typed in", "copied", "role assumed") else ""
        grouped.setdefault(kind, {}).setdefault(detail, {})[written_words(platform, entry.name)] = None
    for kind, by_detail in grouped.items():
        sentences += [unknown_sentence("circuit", kind, tuple(names), detail) for detail, names in by_detail.items()]
    return sentences


def open_end_sentence(entry: Unknown) -> str:
    """`SP5 goes on: "to sheet 41-01" (sheet 40-02). Not typed in.`"""
    says = f': "{entry.detail}"' if entry.detail else ""
    sheets = f" (sheet {joined(entry.sheets)})" if entry.sheets else ""
    return f"{entry.name} goes on{says}{sheets}. Not typed in."


def live_sentences(platform: Platform, by_load: Iterable[tuple[str, Iterable[Unknown]]]) -> list[str]:
    """What the answer about what is live rests on, load by load as they are met, with things of one kind in one
    sentence."""
    found: dict[UnknownKind, dict[str, None]] = {}
    told: set[Unknown] = set()
    for load, unknown in by_load:
        for entry in unknown:
            if entry not in told:
                told.add(entry)
                kind = entry.kind
                name = written_words(platform, entry.detail if kind in _NAMED_BY_DETAIL else entry.name)
                if kind == "open end" and entry.detail:
                    name += f' ("{entry.detail}")'
                # For a way that begins where nobody typed in more, that is said; for a load and a fuse, what is
                # missing.
                if kind in ("open end", "no supply typed", "no ground typed") and entry.name != load:
                    kind = "no supply typed" if isinstance(platform.parts.get(name), Fuse) else "open end"
                found.setdefault(kind, {})[name] = None
    return [unknown_sentence("live", kind, tuple(names)) for kind, names in found.items()]


def drawing_sentences(unknown: Iterable[Unknown]) -> tuple[str, ...]:
    """What a drawing does not know, told below it."""
    grouped: dict[tuple[UnknownKind, str], dict[str, None]] = {}
    for entry in unknown:
        apart = f"{entry.name}\n{entry.detail}" if entry.kind == "open end" else ""
        name = entry.detail if entry.kind in _NAMED_BY_DETAIL else entry.name
        grouped.setdefault((entry.kind, apart), {})[name] = None
    return tuple(
        unknown_sentence("drawing", kind, tuple(names), apart.partition("\n")[2])
        for (kind, apart), names in grouped.items()
    )


def unknown_sentence(
    where: Where, kind: UnknownKind, names: Sequence[str], detail: str = "", beside: Sequence[str] = ()
) -> str:
    """One sentence about everything of one kind. `names` are as they are shown, `detail` is what all of them have."""
    its, one, in_drawing = _listed(where, names), len(names) == 1, where == "drawing"
    it, is_are, was_were = ("it", "is", "was") if one else ("them", "are", "were")
    match kind:
        case "open end" if in_drawing:
            return f"{its} goes on, not on the drawings yet{f' ({detail})' if detail else ''}."
        case "open end" if where == "suspects":
            return f"{counted(len(names), 'wire goes', 'wires go')} on, not typed in{detail}."
        case "open end":
            return f"What is behind {its} is not typed in."
        case "no supply typed":
            return f"What feeds {its} is not {'on the drawings yet' if where == 'suspects' else 'typed in'}."
        case "no ground typed":
            return f"The ground of {its} is not typed in."
        case "no load typed":
            return f"Nothing is typed in behind {its}."
        case "may hang here":
            return f"What feeds {its} is not typed in: {'it' if one else 'each'} may hang on these fuses too."
        case "no network typed":
            return f"No network was typed in for {its}."
        case "wires not typed in" if in_drawing:
            return f"{its}: known from the fuse chart only, wires not typed in."
        case "wires not typed in" if where == "live":
            return f"What hangs on {its} is known from the fuse chart only: wires not typed in."
        case "wires not typed in" if where == "suspects":
            return f"Wires not typed in: {its} {is_are} known from the fuse chart only."
        case "wires not typed in":
            return f"{detail} feeds {its} by the fuse chart: wires not typed in."
        case "role assumed" if in_drawing:
            return f"Assumed from the reading direction, what these pins do: {its}."
        case "role assumed" if where == "live":
            return f"What {its} {'does' if one else 'do'} is assumed from the reading direction."
        case "role assumed":
            what = f"a {detail} pin" if one else f"{detail} pins"
            return f"{its} {is_are} taken for {what} from the reading direction only."
        case "ground assumed" if where == "live":
            return f"The ground of {its} is not typed in, and assumed."
        case "ground assumed":
            return f"{its} {is_are} taken to be grounded through case or body."
        case "body assumed":
            return f"The way of {its} to the body is assumed."
        case "terminal assumed" if where == "live":
            return f"The fuse chart names {its} without saying which terminal."
        case "terminal assumed":
            return f"The fuse chart names no terminal: {its} may be meant."
        case "copied" if in_drawing:
            return f"Copied and not checked against the sheet yet: {its}."
        case "copied" if where == "live":
            return f"Some of it is copied from {copied_words(names)}, not yet checked against the sheet."
        case "copied":
            checked = "" if "checked" in detail else ", not yet checked against the sheet"
            return f"{its} {is_are} copied from {copied_words([detail])}{checked}."
        case "label":
            return f"That {its} {is_are} hot is known from the label only."
        case "volts in words":
            makes = f"{its} make{'s' if one else ''} {detail} by the module's words, and no volts are typed there"
            type_it = f"output .. feeds {detail.replace(' ', '')}"
            return f"{makes}: what is read before and behind {it} doesn't go together until that is typed ({type_it})."
        case "on request":
            return f"{its} conduct{'s' if one else ''} when the module wants: may be on."
        case "option not said" if in_drawing:
            return f"Not said whether it is fitted: {its}."
        case "option not said":
            more = f"; what depends on {it} may be" if where == "circuit" else ""
            return f"Whether this car has {joined(names, 'or')} was not said{more} (--option, --without)."
        case "not declared" if in_drawing:
            return f"{its}: used in a wire and never declared."
        case "not declared":
            return f"{its} {was_were} never declared: only the wires there are known."
        case "sheet not whole":
            return "This sheet is not said to be typed in whole."
        case "no wires here":
            return f"Declared on this sheet, and without a wire on it: {its}."
        case "left out":
            return f"Left out for room: {its}."
        case "cut off" if in_drawing:
            return "Cut off: there is more than was looked for, or than finds room."
        case "cut off" if where == "live":
            return f"The way to {its} is too long to be told whole: cut off."
        case "cut off":
            return f"There are more ways to {its} than were looked for (cut off)."
        case "no total":
            return "The total was not read: nobody knows what is missing."
        case "fuse not read":
            return f"{its} {was_were} not read."
        case "hides":
            return f"{its} {'shows' if one else 'show'} nothing, yet up to {detail} can hide in {it}: not cleared."
        case "last digit":
            return f"{its} {'shows' if one else 'show'} the last digit alone: anything up to {detail} may flow in {it}."
        case "other height":
            tells = "that tells which way it goes, and not how much flows there now"
            return f"{its} {was_were} read in an event of another height: {tells}."
        case "draws only":
            return f"{its} {'draws' if one else 'draw'}; how much, the drop across this style of fuse does not say."
        case "estimate":
            return f"The current of {its} rests on an estimated resistance, no data sheet."
        case "by rating":
            return f"The current of {its} goes by the fuse's rating alone: half as much or twice as much is possible."
        case "current assumed":
            return f"Assumed, not transcribed: what {its} {'takes' if one else 'take'}."
        case "set aside":
            verb, _, why = _WHY_NOT[detail].format(beside=joined(beside)).partition(" ")
            return f"{its} {verb if one else _OF_SEVERAL[verb]} {why}."
        case "try not counted" if detail == "at once":
            judged = f"only what flowed through {it} is judged by that"
            return f"With {its} out the car had no time to fall asleep: {judged}."
        case "try not counted":
            return f"The try with {its} out doesn't count: {_TRY_NOT.get(detail, detail)}."
        case "faults cut off":
            return f"{its}: what their faults would draw was too much to work out; they are not weighed (cut off)."
        case "pairs cut off":
            return f"The readings tell too many faults apart: the {detail} unlikeliest are not weighed (cut off)."
        case "steps cut off":
            return f"There are too many steps: the {detail} about the unlikeliest parts are not compared (cut off)."
        case "worlds cut off":
            return f"What would follow from {its} was not worked out (cut off)."
        case "volts tell nothing" if detail == "between":
            return f"The volts at {its} are neither ground nor plus: what that means hangs on what is inside."
        case "volts tell nothing" if detail == "unfed":
            none = "nothing should come there, and nothing that is likely here brings it"
            return f"At {its} there are some volts: {none}. They fit none of what is supposed; what feeds it tells."
        case "volts tell nothing" if detail == "asked":
            asks = "something asks for it there, or the module holds its pin up itself"
            return f"Plus at {its}: {asks}. What brings it is on no sheet."
        case "volts tell nothing" if detail == "not asked":
            return f"No plus at {its}: nothing asks by plus there. By ground it may; what brings it is on no sheet."
        case "volts tell nothing":
            return f"The volts at {its} tell nothing: they would be the same whatever of all this is wrong."
        case "line unclear":
            says = _LINE_SAYS["".join(beside)].format(network=its)
            return f"{its} shows {detail}: {says}"
        case _:
            assert_never(kind)


def _listed(where: Where, names: Sequence[str]) -> str:
    most = _MOST_NAMES[where]
    if where != "drawing":
        return shortened(names, most)
    shown = ", ".join(names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"


def unknown_json(entry: Unknown) -> dict[str, Any]:
    return {"kind": entry.kind, "name": entry.name, "detail": entry.detail, "sheets": list(entry.sheets)}
