"""Contacts that do nothing, relays that never pull in, relays that switch themselves off."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit, Link
from circuitmap.power.checks.places import first_wire, listed, severity_by_sheets, wires_at
from circuitmap.power.evaluate import evaluate
from circuitmap.power.nets import NO
from circuitmap.power.possible import Possible
from circuitmap.power.state import VehicleState
from circuitmap.power.survey import survey_of
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.parts import Relay, Switch, Terminal


def relays_that_never_pull_in(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """A relay whose coil has both sides typed in but never has plus on one and ground on the other."""
    for coil, (plus, minus, level) in zip(could_be.plan.coils, could_be.nets.coils, strict=True):
        relay = could_be.plan.relay_number[coil.relay]
        if level == NO or relay in could_be.relays or coil.relay in circuit.platform.doubted:
            continue
        pins = (circuit.nodes[coil.plus], circuit.nodes[coil.minus])
        live = [net in could_be.supply for net in (plus, minus)]
        grounded = [net in could_be.ground for net in (plus, minus)]
        if not all(map(any, zip(live, grounded, strict=True))):
            continue  # one side leads nowhere: that is reported where it ends
        span = first_wire(circuit, pins)
        if span is None:
            continue
        side = "ground on both sides" if not any(live) else "plus on both sides" if not any(grounded) else ""
        why = f"its coil has {side}" if side else "its coil never has plus on one side and ground on the other"
        yield Problem(
            "relay-never-pulls-in",
            severity_by_sheets(circuit, wires_at(circuit, pins)),
            f"{coil.relay} never pulls in: {why}.",
            span,
            related=(Related(circuit.platform.parts[coil.relay].span, f"{coil.relay} is declared here"),),
        )


def contacts_never_used(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """Contacts that have no wire at one end, in switches and relays whose sheets are all whole.

    The free throw of a changeover contact, a spare position of the ignition switch and a part without any wire are
    ordinary.
    """
    for part in circuit.platform.parts.values():
        if not isinstance(part, Switch | Relay) or part.name in circuit.platform.doubted:
            continue
        contacts = [circuit.links[i] for i in circuit.inside.get(part.name, ()) if circuit.links[i].kind == "contact"]
        used = [link for link in contacts if _is_wired(circuit, link.a) and _is_wired(circuit, link.b)]
        busy = {end for link in used for end in (link.a, link.b)}
        idle = [link for link in contacts if link not in used and not {link.a, link.b} & busy]
        wires = list(wires_at(circuit, circuit.terminals_of.get(part.name, ())))
        if used and idle and severity_by_sheets(circuit, wires) is Severity.WARNING:
            yield Problem(
                "contact-never-used",
                Severity.NOTE,
                f"{part.name} has contacts that no wire uses: {listed(_ends(link) for link in idle)}.",
                part.span,
            )


def _is_wired(circuit: Circuit, terminal: Terminal) -> bool:
    return any(link.wire is not None or link.kind == "body" for link in circuit.links_at(terminal))


def _ends(link: Link) -> str:
    return f"{link.a.pin} to {link.b.pin}"


def relays_that_buzz(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """Relays whose own contact takes their coil's current away, when parked or in a position of the key."""
    told: set[str] = set()
    keys = [change.position for change in survey_of(circuit, {}).key_changes] if could_be.relays else []
    for key in ("", *keys):
        powered = evaluate(circuit, VehicleState(key=key))
        for name in powered.buzzing:
            if name not in told and name not in circuit.platform.doubted:
                told.add(name)
                when = f"with the key in {key}" if key else "when parked"
                yield Problem(
                    "relay-buzzes",
                    Severity.WARNING,
                    f"{name} switches itself off as soon as it pulls in, {when}: it would buzz.",
                    circuit.platform.parts[name].span,
                )
