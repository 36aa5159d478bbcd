"""Faults of a platform that only show once it is a circuit: feeds, grounds, contacts, labels."""

from collections.abc import Callable, Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.power.checks.contacts import contacts_never_used, relays_that_buzz, relays_that_never_pull_in
from circuitmap.power.checks.dead import parts_never_live
from circuitmap.power.checks.grounds import loads_that_cannot_be_grounded
from circuitmap.power.checks.labels import labels_that_differ
from circuitmap.power.checks.shorts import is_shorted, shorted_batteries, shorted_by_a_contact
from circuitmap.power.checks.sleep import loads_always_on, wake_pins_always_live
from circuitmap.power.possible import Possible, possible
from circuitmap.problems import Problem, in_order

Check = Callable[[Circuit, Possible], Iterator[Problem]]

CHECKS: tuple[Check, ...] = (
    parts_never_live,
    loads_that_cannot_be_grounded,
    relays_that_never_pull_in,
    contacts_never_used,
    relays_that_buzz,
    labels_that_differ,
    shorted_by_a_contact,
    wake_pins_always_live,
    loads_always_on,
)


def problems_of(circuit: Circuit) -> tuple[Problem, ...]:
    """Everything that these checks find, each slip once, in the order of the text. Where no battery is typed in,
    nothing can be live; one message says so, and these checks say nothing."""
    if not circuit.supplies and not circuit.unknown_supplies:
        return ()
    could_be = possible(circuit, {})
    if is_shorted(could_be):
        # With plus and minus in one piece of copper, nothing else is worth reporting.
        return in_order(list(shorted_batteries(circuit, could_be)))
    return in_order([problem for check in CHECKS for problem in check(circuit, could_be)])
