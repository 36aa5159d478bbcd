"""Names that a tired eye reads as the same: O and 0, I, l and 1, upper and lower case."""

from collections.abc import Iterable, Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.near_names import folded
from circuitmap.wiring.parts import OpenEnd, Part, Undeclared


def look_alikes(parts: Iterable[Part]) -> Iterator[tuple[Part, Part]]:
    """Pairs of parts whose names look alike, in each pair the one that was written first."""
    seen: dict[str, Part] = {}
    for part in sorted((p for p in parts if not isinstance(p, OpenEnd | Undeclared)), key=lambda its: its.span):
        first = seen.setdefault(folded(part.name), part)
        if first is not part:
            yield first, part


def told_look_alikes(pairs: Iterable[tuple[Part, Part]]) -> Iterator[Problem]:
    for first, second in pairs:
        yield Problem(
            "look-alike-names",
            Severity.WARNING,
            f"{second.name} and {first.name} look alike: are they two parts?",
            second.span,
            suggestion=first.name,
            related=(Related(first.span, first.name),),
        )
