"""A `ground` line at the margin that was meant to go on with the module above."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

from circuitmap.notation.statements import JointStatement, LoadStatement
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.platform import Wire
from circuitmap.wiring.sheets import Placed

_PIN = re.compile(r"((?:[A-Z]{1,2}|[A-Za-z]\.)?)[0-9]{1,3}\Z")


def grounds_at_the_margin(placed: Sequence[Placed], wires: Iterable[Wire]) -> Iterator[tuple[str, Problem]]:
    """The load that is meant, and the problem. `ground A12` may also declare a ground point. It is told only where the
    line above declares a load without a ground, the name is like one of the load's pins, and no wire leads to such a
    ground point."""
    pairs = [
        (above.statement, below.statement)
        for above, below in pairwise(placed)
        if isinstance(above.statement, LoadStatement) and isinstance(below.statement, JointStatement)
    ]
    pairs = [(load, ground) for load, ground in pairs if _may_go_on(load, ground)]
    if not pairs:
        return
    ends = {end for wire in wires for end in (wire.a[:2], wire.b[:2])}
    for load, ground in pairs:
        name = ground.items[0].name
        if (name.text, "") in ends:
            continue
        pins = [pin.text for role in load.roles for pin in role.pins]
        if (load.name.text, name.text) in ends or any(_beginning(pin) == _beginning(name.text) for pin in pins):
            yield (
                load.name.text,
                Problem(
                    "ground-at-margin", Severity.WARNING, f"{name.text} is declared as a ground point of its own.",
                    ground.span, advice=f"Is it the ground pin of {load.name.text}? Then indent this line.",
                    related=(Related(load.name.span, "declared in the line above, without a ground"),),
                ),
            )  # fmt: skip


def _may_go_on(load: LoadStatement, ground: JointStatement) -> bool:
    return (
        ground.kind.text == "ground"
        and len(ground.items) == 1
        and ground.items[0].description is None
        and _PIN.match(ground.items[0].name.text) is not None
        and all(said.role.text != "ground" for said in load.roles)
        and load.span.path == ground.span.path
        and load.span.end_line + 1 == ground.span.line
    )


def _beginning(pin: str) -> str | None:
    match = _PIN.match(pin)
    return match[1] if match else None
