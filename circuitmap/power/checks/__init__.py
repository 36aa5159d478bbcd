"""Faults of a platform that only show once it is a circuit: feeds, grounds, contacts, labels."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.power.checks.contacts import contacts_never_used, relays_that_buzz, relays_that_never_pull_in
from circuitmap.power.checks.dead import parts_never_live
from circuitmap.power.checks.grounds import batteries_that_ground_nothing, loads_that_cannot_be_grounded
from circuitmap.power.checks.labels import labels_that_differ
from circuitmap.power.checks.loading import fuses_far_too_small
from circuitmap.power.checks.shorts import is_shorted, shorted_batteries, shorted_by_a_contact
from circuitmap.power.checks.sleep import loads_always_on, wake_pins_always_live
from circuitmap.power.possible import Possible, possible
from circuitmap.problems import Problem, Severity, in_order
from circuitmap.wiring.platform import Platform, Wire

Check = Callable[[Circuit, Possible], Iterator[Problem]]

CHECKS: tuple[Check, ...] = (
    parts_never_live,
    loads_that_cannot_be_grounded,
    batteries_that_ground_nothing,
    relays_that_never_pull_in,
    contacts_never_used,
    relays_that_buzz,
    labels_that_differ,
    shorted_by_a_contact,
    wake_pins_always_live,
    loads_always_on,
    fuses_far_too_small,
)


JOIN_PLUS_AND_GROUND = ("pin-wrong-way-round", "plus-to-ground", "plus-to-minus")
"""Errors that were told before there was a circuit, at a wire without which plus and ground are apart."""


def problems_of(circuit: Circuit) -> tuple[Problem, ...]:
    """All that these checks find, each slip once, in the order of the text. Nothing is said where no battery is typed
    in: then nothing can be live, and one message says that.

    A wire that was told as an error is left out first: what follows from it alone is not told again."""
    wires = _without_errors(circuit.platform)
    if len(wires) < len(circuit.platform.wires):
        circuit = circuit_of(replace(circuit.platform, wires=wires))
    if not circuit.supplies and not circuit.unknown_supplies:
        return ()
    could_be = possible(circuit, {})
    if is_shorted(could_be):
        # With plus and minus in one piece of copper, nothing else is worth reporting.
        return in_order(list(shorted_batteries(circuit, could_be)))
    return in_order([problem for check in CHECKS for problem in check(circuit, could_be)])


def _without_errors(platform: Platform) -> tuple[Wire, ...]:
    """The wires, but for those that an error says join plus and ground."""
    places = [p.span for p in platform.problems if p.severity is Severity.ERROR and p.code in JOIN_PLUS_AND_GROUND]
    return tuple(
        wire
        for wire in platform.wires
        if not any(
            place.path == span.path and place.start <= span.start and span.end <= place.end
            for place in places
            for span in wire.spans
        )
    )
