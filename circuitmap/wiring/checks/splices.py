"""A splice joins at least two wires."""

from collections.abc import Iterator

from circuitmap.problems import Problem
from circuitmap.wiring.checks.one_sided import Missing, told
from circuitmap.wiring.parts import Joint
from circuitmap.wiring.platform import Platform


def splices_with_one_wire(platform: Platform) -> Iterator[Problem]:
    yield from told(
        platform,
        "splice-one-wire",
        (
            Missing(part.name, f"{part.name} has only one wire: it joins nothing.", platform.wires_at[part.name])
            for part in platform.parts.values()
            if isinstance(part, Joint) and part.kind == "splice" and len(platform.wires_at.get(part.name, ())) == 1
        ),
        "Only one wire is typed in at the splices",
    )
