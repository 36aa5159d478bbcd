"""A battery's plus joined to its minus through fuses and copper, with no load in between."""

from collections import deque
from collections.abc import Iterator

from circuitmap.circuit.links import METAL, Circuit
from circuitmap.power.checks.places import first_wire
from circuitmap.power.possible import Possible
from circuitmap.power.short_circuits import shorts_in
from circuitmap.power.survey import survey_of
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.platform import Wire

TEST_POSITIONS = ("test",)
"""Positions in which a switch may join plus and ground on purpose, to see that a fuse or breaker opens."""


def is_shorted(could_be: Possible) -> bool:
    return any(could_be.nets.net_of[cell.plus] == could_be.nets.net_of[cell.minus] for cell in could_be.plan.cells)


def shorted_batteries(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """Where wires alone cause it, or a reversed pin, it was reported before the circuit was made."""
    net_of, doubted = could_be.nets.net_of, circuit.platform.doubted
    if any(problem.code == "plus-to-minus" for problem in circuit.platform.problems):
        return
    for cell in could_be.plan.cells:
        joined = {t.part for t, node in circuit.number.items() if net_of[node] == net_of[cell.plus]}
        if net_of[cell.plus] != net_of[cell.minus] or joined & doubted:
            continue
        wires, parts = _way(circuit, cell.plus, cell.minus)
        if wires:
            yield Problem(
                "short-circuit",
                Severity.ERROR,
                f"{circuit.nodes[cell.plus]} is joined to {circuit.nodes[cell.minus]} with no load in between, "
                f"through {', '.join(parts) or 'wires alone'}.",
                wires[-1].spans[0],
                related=(Related(wires[0].spans[0], "the way begins here"),) if len(wires) > 1 else (),
            )


def shorted_by_a_contact(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """Parked, with the key in some position, or with one other switch turned: only switches are moved, whatever a relay
    may do besides."""
    survey = survey_of(circuit, {})
    changes = [(change,) for change in (*survey.key_changes, *survey.other_changes) if change.kind in ("key", "switch")]
    told: set[str] = set()
    for its in ((), *changes):
        if not survey.has(its):
            return
        for contact, fuse in shorts_in(survey.after(its)):
            part = contact.rpartition(".")[0]
            if contact in told or part in circuit.platform.doubted or part not in circuit.platform.parts:
                continue
            told.add(contact)
            when = f"{'the key' if its[0].kind == 'key' else its[0].name} in {its[0].position}" if its else ""
            span = first_wire(circuit, circuit.terminals_of.get(part, ()))
            blows = f"{fuse} would blow" if fuse else "no fuse protects that wire"
            yield Problem(
                "contact-shorts",
                Severity.NOTE if its and its[0].position.lower() in TEST_POSITIONS else Severity.WARNING,
                f"{contact} joins plus to ground with no load in between{f', with {when}' if when else ''}: {blows}.",
                span or circuit.platform.parts[part].span,
            )


def _way(circuit: Circuit, start: int, end: int) -> tuple[list[Wire], list[str]]:
    """The wires of the shortest way between two nodes through metal, and the fuses and grounds on it."""
    came: dict[int, tuple[int, int]] = {start: (-1, -1)}
    queue = deque([start])
    while queue and end not in came:
        at = queue.popleft()
        for i in circuit.at[at]:
            a, b = circuit.ends[i]
            other = b if at == a else a
            if circuit.links[i].kind in METAL and not circuit.links[i].condition and other not in came:
                came[other] = (i, at)
                queue.append(other)
    wires: list[Wire] = []
    parts: list[str] = []
    at = end
    while at in came and came[at][0] >= 0:
        i, at = came[at]
        link = circuit.links[i]
        if link.wire is not None:
            wires.insert(0, link.wire)
        elif link.kind in ("fuse", "link", "breaker", "body") and link.part != "case":
            parts.insert(0, link.part)
    return wires, list(dict.fromkeys(parts))
