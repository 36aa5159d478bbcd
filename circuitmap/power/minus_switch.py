"""A main switch in the minus: what lies between the body and every battery."""

from circuitmap.circuit.links import BODY
from circuitmap.power.evaluate import Powered
from circuitmap.power.why import why


def switched_from_body(powered: Powered) -> tuple[str, ...]:
    """The switches and relays on the way from the body to the batteries, where no way is without any, open or not."""
    circuit = powered.circuit
    if not circuit.platform.body_return or BODY in circuit.returns:
        return ()
    reason = why(powered, BODY, "ground")
    contacts = reason.contacts or reason.open_contacts
    return tuple(dict.fromkeys(circuit.links[circuit.contacts[name][0]].part for name in contacts))
