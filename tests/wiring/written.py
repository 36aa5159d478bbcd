"""Platforms from text, and the shortest way to look at them."""

from circuitmap.notation.reading import read_text
from circuitmap.problems import Problem
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform


def platform_from(*texts: str, names: tuple[str, ...] = ()) -> Platform:
    """The platform in files `1.circuit`, `2.circuit`, ... with these texts, or with these names."""
    sources = [
        SourceFile(names[number] if names else f"{number + 1}.circuit", text) for number, text in enumerate(texts)
    ]
    notations, unread = [], list[Problem]()
    for source in sources:
        notation, problems = read_text(source)
        notations.append(notation)
        unread += problems
    return platform_of(notations, sources, unread)


def wires(platform: Platform) -> list[str]:
    """Every wire on one line: `CAB.F22.2 - X14.14<` where `<` is the arriving, `>` the leaving half of a cavity."""
    marks = {"": "", "a": "<", "l": ">"}
    return [
        f"{wire.a}{marks[wire.a.half]} - {wire.b}{marks[wire.b.half]}"
        + (f" {wire.kind}" if wire.kind != "wire" else "")
        + (f" {wire.colour_written}" if wire.colour else "")
        + (f" {wire.size_written}" if wire.size_written else "")
        + (f" named {wire.name}" if wire.name else "")
        for wire in platform.wires
    ]


def told(platform: Platform, *without: str) -> list[str]:
    """Each problem as `severity line:column code`, except those with these codes; files other than the first by their
    name."""
    found = []
    for problem in platform.problems:
        if problem.code not in ("no-battery", "no-key", *without):
            place = problem.span.place().removeprefix("1.circuit:")
            found.append(f"{problem.severity.word} {place} {problem.code}")
    return found
