"""Names that a tired eye reads as the same: O and 0, I, l and 1, upper and lower case, a stroke and a point."""

from collections.abc import Iterable, Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.near_names import folded
from circuitmap.wiring.parts import Load, OpenEnd, Part, Undeclared
from circuitmap.wiring.pins import with_points


def look_alikes(parts: Iterable[Part]) -> Iterator[tuple[Part, Part]]:
    """Pairs of parts whose names look alike, in each pair the one that was written first."""
    seen: dict[str, Part] = {}
    known = sorted((p for p in parts if not isinstance(p, OpenEnd | Undeclared)), key=lambda its: its.span)
    by_name = {part.name: part for part in known}
    for part in known:
        first = seen.setdefault(folded(part.name), part)
        if first is not part:
            yield first, part
        before_stroke = by_name.get(part.name.rpartition("/")[0])
        if before_stroke is not None and part.declared is None:  # X1/1 may be X1.1
            yield before_stroke, part


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


def pins_that_look_alike(parts: Iterable[Part]) -> Iterator[Problem]:
    """Declared pins of one part that only a stroke and a point tell apart: on a sheet both are the same pin."""
    for part in parts:
        seen: dict[str, str] = {}
        for pin in part.roles if isinstance(part, Load) else ():
            first = seen.setdefault(with_points(pin), pin)
            if first != pin:
                yield Problem(
                    "look-alike-names",
                    Severity.WARNING,
                    f"{part.name}.{pin} and {part.name}.{first} look alike: are they two pins?",
                    part.span,
                    suggestion=f"{part.name}.{first}",
                )
