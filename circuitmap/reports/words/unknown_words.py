"""What an answer rests on that nobody typed in, as sentences and as JSON: part of every answer."""

from collections.abc import Iterable
from typing import Any

from circuitmap.circuit.unknowns import Unknown
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.reports.words.part_words import copied_words, written_words
from circuitmap.wiring.platform import Platform


def unknown_sentences(platform: Platform, unknown: Iterable[Unknown]) -> list[str]:
    """What is not known, things of one kind in one sentence."""
    sentences: list[str] = []
    grouped: dict[str, dict[str, list[str]]] = {}
    for entry in unknown:
        if entry.kind == "open end":
            sentences.append(open_end_sentence(entry))
        else:
            key = entry.detail if entry.kind in ("wires not typed in", "copied", "role assumed") else ""
            grouped.setdefault(entry.kind, {}).setdefault(key, []).append(written_words(platform, entry.name))
    for kind, by_detail in grouped.items():
        for detail, names in by_detail.items():
            sentences.append(_sentence(kind, tuple(dict.fromkeys(names)), detail))
    return sentences


def _sentence(kind: str, names: tuple[str, ...], detail: str) -> str:
    listed = shortened(names)
    one = len(names) == 1
    match kind:
        case "wires not typed in":
            return f"{detail} feeds {listed} by the fuse chart: wires not typed in."
        case "copied":
            source = copied_words([detail])
            return f"{listed} {'is' if one else 'are'} copied from {source}, not yet checked against the sheet."
        case "role assumed":
            what = f"a {detail} pin" if one else f"{detail} pins"
            return f"{listed} {'is' if one else 'are'} taken for {what} from the reading direction only."
        case "option not said":
            return (
                f"Whether this car has {joined(names, 'or')} was not said; what depends on {'it' if one else 'them'} "
                "may be (--option, --without)."
            )
        case "no supply typed":
            return f"What feeds {listed} is not typed in."
        case "no ground typed":
            return f"The ground of {listed} is not typed in."
        case "ground assumed":
            return f"{listed} {'is' if one else 'are'} taken to be grounded through case or body."
        case "terminal assumed":
            return f"The fuse chart names {listed} without saying which terminal."
        case "not declared":
            return f"{listed} {'was' if one else 'were'} never declared: only the wires there are known."
        case "no load typed":
            return f"Nothing is typed in behind {listed}."
        case "no network typed":
            return f"No network was typed in for {listed}."
        case "may hang here":
            return f"What feeds {listed} is not typed in: {'it' if one else 'each'} may hang on these fuses too."
        case "cut off":
            return f"There are more ways to {listed} than were looked for (cut off)."
    return f"{listed}: {kind}."


def open_end_sentence(entry: Unknown) -> str:
    """`SP5 goes on: "to sheet 41-01" (sheet 40-02). Not typed in.`"""
    says = f': "{entry.detail}"' if entry.detail else ""
    sheets = f" (sheet {joined(entry.sheets)})" if entry.sheets else ""
    return f"{entry.name} goes on{says}{sheets}. Not typed in."


def unknown_json(entry: Unknown) -> dict[str, Any]:
    return {"kind": entry.kind, "name": entry.name, "detail": entry.detail, "sheets": list(entry.sheets)}
