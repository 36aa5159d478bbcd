"""What the answer of `live` rests on that is not known, as sentences."""

from collections.abc import Iterable, Mapping

from circuitmap.power.classes import LoadClass
from circuitmap.power.evaluate import LoadPower
from circuitmap.power.unknown import Unknown
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.reports.words.part_words import copied_words, written_words
from circuitmap.wiring.parts import Fuse, Switch
from circuitmap.wiring.platform import Platform


def not_known(platform: Platform, classes: Mapping[str, LoadClass], loads: Iterable[LoadPower]) -> list[str]:
    found: dict[str, dict[str, None]] = {}
    told: set[Unknown] = set()
    for its in loads:
        for entry in classes[its.name].unknown:
            if entry in told:
                continue
            told.add(entry)
            name = written_words(platform, entry.name)
            of_a_fuse = entry.kind == "not drawn" and isinstance(platform.parts.get(name), Fuse)
            found.setdefault("supply" if of_a_fuse else entry.kind, {})[name] = None
    keys = [part for part in platform.parts.values() if isinstance(part, Switch) and part.is_key]
    sentences = [] if keys else ["No ignition switch is typed in."]
    sentences += [rests_on_sentence(kind, tuple(names)) for kind, names in found.items()]
    fuses = [part for part in platform.parts.values() if isinstance(part, Fuse)]
    if not fuses:
        sentences.append("No fuse is typed in.")
    return sentences


def rests_on_sentence(kind: str, names: tuple[str, ...]) -> str:
    """What part of an answer rests on, for all names of one kind."""
    listed_names = shortened(names)
    one = len(names) == 1
    match kind:
        case "equipment":
            return f"Whether this car has {joined(names, 'or')} was not said (--option, --without)."
        case "not drawn":
            return f"What is behind {listed_names} is not typed in."
        case "on request":
            return f"{listed_names} conduct{'s' if one else ''} when the module wants: may be on."
        case "fuse chart":
            return f"What hangs on {listed_names} is known from the fuse chart only: wires not typed in."
        case "label":
            return f"That {listed_names} {'is' if one else 'are'} hot is known from the label only."
        case "terminal":
            return f"The fuse chart names {listed_names} without saying which terminal."
        case "body":
            return f"The way of {listed_names} to the body is assumed."
        case "ground":
            return f"The ground of {listed_names} is not typed in, and assumed."
        case "supply":
            return f"What feeds {listed_names} is not typed in."
        case "role":
            return f"What {listed_names} {'does' if one else 'do'} is assumed from the reading direction."
        case "copied":
            return f"Some of it is copied from {copied_words(names)}, not yet checked against the sheet."
        case "cut off":
            return f"The way to {listed_names} is too long to be told whole: cut off."
    return f"{listed_names}: {kind}."
