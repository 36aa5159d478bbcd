"""Plants slips in the sample vehicles, one at a time, and compares what the program says with what it should say.

`python -m tests.planted_faults.experiment` writes the table `tests/planted_faults.md`.
"""

import random
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

from circuitmap.circuit.links import circuit_of
from circuitmap.notation.folder import read_folder
from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import Notation
from circuitmap.power.checks import problems_of
from circuitmap.problems import Problem, Severity
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.planted_faults.kinds import KINDS, Fault, Kind

ROOT = Path(__file__).parents[2]
VEHICLES = ("motorcycle", "motorhome", "truck", "van")
TABLE = ROOT / "tests" / "planted_faults.md"
MOST_OF_A_KIND = 10


class Outcome(NamedTuple):
    """What was said about one planted slip. `extra` counts messages beyond the one that tells it."""

    kind: str
    place: str
    found: bool
    exact: bool
    extra: int
    suggested: bool | None
    said: str


@cache
def files_of(vehicle: str) -> tuple[tuple[SourceFile, Notation, tuple[Problem, ...]], ...]:
    sources, _ = read_folder(ROOT / "sample_vehicles" / vehicle)
    return tuple((source, *read_text(source)) for source in sources)


def problems_with(vehicle: str, changed: SourceFile | None = None) -> tuple[Problem, ...]:
    """All problems of a vehicle with one of its files changed."""
    sources, notations, problems = [], [], []
    for source, notation, its_problems in files_of(vehicle):
        if changed and source.path == changed.path:
            source, (notation, its_problems) = changed, read_text(changed)
        sources.append(source)
        notations.append(notation)
        problems += its_problems
    platform = platform_of(notations, tuple(sources), problems)
    return (*platform.problems, *problems_of(circuit_of(platform)))


@cache
def known(vehicle: str) -> frozenset[tuple[str, str]]:
    """What is said about the vehicle without a slip. A note about the same place is the same note, even when it counts
    one place more or less."""
    return frozenset((p.code, subject(p)) for p in problems_with(vehicle))


def subject(problem: Problem) -> str:
    return problem.headline if problem.severity > Severity.NOTE else problem.headline.partition(" in ")[0]


def planted(kind: Kind) -> Iterator[tuple[str, SourceFile, Fault]]:
    """Up to MOST_OF_A_KIND slips of one kind, spread over the vehicles; always the same ones."""
    chance = random.Random(kind.__name__)
    drawn: list[tuple[str, SourceFile, Fault]] = []
    offers = ((v, source, fault) for v in VEHICLES for source, _, _ in files_of(v) for fault in kind(source.text))
    for number, offer in enumerate(offers):
        if number < MOST_OF_A_KIND:
            drawn.append(offer)
        elif (place := chance.randrange(number + 1)) < MOST_OF_A_KIND:
            drawn[place] = offer
    yield from drawn


def outcome(kind: Kind, vehicle: str, source: SourceFile, fault: Fault) -> Outcome:
    changed = SourceFile(source.path, fault.text)
    said = [p for p in problems_with(vehicle, changed) if (p.code, subject(p)) not in known(vehicle)]
    line = changed.position(fault.start)[0]
    telling = [p for p in said if p.code in fault.codes and p.span.path == source.path and p.span.line == line]
    exact = [p for p in telling if (p.span.start, p.span.end) == (fault.start, fault.end)]
    best = (exact or telling or [None])[0]
    suggested: bool | None = None
    if best and fault.suggestion != "":
        meant = fault.suggestion or ""
        suggested = best.suggestion == meant or (bool(meant) and best.suggestion.endswith(meant))
        suggested = suggested or (bool(meant) and best.suggestion.startswith(meant))
    others = [f"{p.code}: {p.headline}" for p in said if p is not best]
    place = f"{vehicle}/{changed.path}:{line}"
    return Outcome(kind.__name__, place, best is not None, bool(exact), len(others), suggested, " | ".join(others))


@cache
def outcomes() -> tuple[Outcome, ...]:
    return tuple(outcome(kind, *place) for kind in KINDS for place in planted(kind))


def table(results: tuple[Outcome, ...]) -> str:
    """The outcomes as Markdown, a row for each kind of slip."""
    rows = [
        "# Slips planted in the sample vehicles",
        "",
        "One at a time; written by `python -m tests.planted_faults.experiment`, compared with by a test.",
        "*Place exact*: the marked text begins and ends where it should, to the character. *Extra*: messages beyond",
        "the one. *Suggestion right*: the right word was offered, or none where none can be known; where two known",
        "names are equally near none is offered, which counts as not right.",
        "",
        "| slip | planted | found | place exact | extra messages | suggestion right |",
        "|---|--:|--:|--:|--:|--:|",
    ]
    for name in [*dict.fromkeys(o.kind for o in results), ""]:
        its = [o for o in results if o.kind == name or not name]
        suggestions = [o for o in its if o.suggested is not None]
        rows.append(
            f"| {name.replace('_', ' ') or '**all**'} | {len(its)} | {sum(o.found for o in its)} | "
            f"{sum(o.exact for o in its)} | {sum(o.extra for o in its)} | "
            f"{sum(bool(o.suggested) for o in suggestions)} of {len(suggestions)} |"
        )
    return "\n".join(rows) + "\n"


def main() -> None:
    TABLE.write_text(table(outcomes()), encoding="utf-8")
    for o in outcomes():
        if not (o.found and o.exact) or o.extra or o.suggested is False:
            print(o.kind, o.place, "found" if o.found else "NOT FOUND", "exact" if o.exact else "inexact", o.said[:300])
    print(table(outcomes()))


if __name__ == "__main__":
    main()
