"""The flow from a state of the vehicle, as it is typed, to what is live and drawing in it.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench, classes_of_loads
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.power.classes import LoadClass
    from circuitmap.power.evaluate import Powered
    from circuitmap.power.expected import Expected
    from circuitmap.power.latching import Thrown
    from circuitmap.power.state import VehicleState
    from circuitmap.wiring.parts import Terminal


def state_of(
    bench: Bench,
    *,
    key: str = "",
    switches: Iterable[str] = (),
    awake: Iterable[str] = (),
    stuck: Iterable[str] = (),
    unplugged: Iterable[str] = (),
    pulled: Iterable[str] = (),
    feeding: Iterable[str] = (),
    touching: Iterable[str] = (),
) -> "VehicleState":
    """A state of the vehicle as it is typed at a command: tails of names, `SWITCH=POSITION` for switches.

    Raises WrongUse for what the platform does not have.
    """
    from circuitmap.power.state import VehicleState, check_state, keys_of
    from circuitmap.wiring.names import as_declared, find_name, find_part
    from circuitmap.wiring.parts import Fuse, Relay, Switch

    platform, contacts = bench.platform, bench.circuit.contacts
    positions: dict[str, str] = {}
    for written in switches:
        name, equals, position = written.partition("=")
        if not equals:
            raise WrongUse(f"{written} does not say a position.", "Write it as SWITCH=POSITION.")
        switch = find_part(platform, name)
        part = platform.parts[switch]
        positions[switch] = as_declared(position, part.positions if isinstance(part, Switch) else ())
    out = [find_part(platform, written) for written in pulled]
    for name in out:
        if not isinstance(platform.parts[name], Fuse | Relay):
            raise WrongUse(f"{name} is no fuse or relay to pull out.", "--unplug takes a part off its connector.")
    keys = [position for its in keys_of(platform) for position in its.positions]
    keys += [position for output in platform.outputs for position in output.positions]
    state = VehicleState(
        key=as_declared(key, keys),
        switches=positions,
        awake=frozenset(find_name([*platform.networks, *platform.parts], w, "network or module") for w in awake),
        stuck=frozenset(_find_contact(platform, contacts, written) for written in stuck),
        unplugged=frozenset(_find_plug(platform, written) for written in unplugged),
        pulled=frozenset(out),
        feeding=frozenset(find_part(platform, written) for written in feeding),
        bridged=frozenset(_two_points(platform, written) for written in touching),
        fitting=bench.fitting,
    )
    check_state(platform, state, contacts)
    return state


def _two_points(platform: Platform, written: str) -> "tuple[Terminal, Terminal]":
    """`M.4=case`."""
    from circuitmap.wiring.names import find_terminal
    from circuitmap.wiring.parts import Terminal

    one, equals, other = written.partition("=")
    if not equals:
        raise WrongUse(f"{written} does not name two points.", "Write them as POINT=POINT, such as M.4=case.")
    a, b = (Terminal("case") if its == "case" else find_terminal(platform, its) for its in (one, other))
    return a, b


def points_of(platform: Platform, written: Iterable[str]) -> "tuple[Terminal, ...]":
    """Terminals as they are typed at a command; the name of a part stands for all of its terminals.

    Raises WrongUse for what the platform does not have.
    """
    from circuitmap.wiring.names import find_part, find_terminal, terminals_of_part

    found: dict[Terminal, None] = {}
    for name in written:
        try:
            part = find_part(platform, name)
        except WrongUse:
            found[find_terminal(platform, name)] = None
        else:
            found.update(dict.fromkeys(terminals_of_part(platform, part)))
    return tuple(found)


def _find_contact(platform: Platform, contacts: Iterable[str], written: str) -> str:
    """A contact or output by the tail of its name; the name of a relay or switch that has only one contact will do."""
    from circuitmap.wiring.names import find_name, find_part

    known = list(contacts)
    try:
        return find_name(known, written, "contact or output")
    except WrongUse as not_found:
        try:
            part = find_part(platform, written)
        except WrongUse:
            raise not_found from None
        its = [name for name in known if name.startswith(f"{part}.")]
        if len(its) == 1:
            return its[0]
        listed = f"Which one? {', '.join(its)}." if its else "No contact and no output of it was typed in."
        raise WrongUse(f"{part} is not one contact or output.", listed) from None


def _find_plug(platform: Platform, written: str) -> str:
    """A part, one plug of a part (`BCM.A`), a battery's post, a star or one of its legs, by the tail of its name."""
    from circuitmap.wiring.known_names import KnownNames
    from circuitmap.wiring.names import find_name, owners_in

    names = KnownNames((*platform.parts, *platform.stars))
    failure: WrongUse | None = None
    for written_owner, _ in owners_in(written):
        try:
            owner = find_name(names, written_owner, "part")
        except WrongUse as why:
            failure = failure or why
        else:
            return owner + written[len(written_owner) :]
    assert failure is not None
    raise failure


class Live(NamedTuple):
    """A state of the vehicle, what kind of load each one is, (parked and asleep only) what it should draw, and the
    latching relays that the state itself moves."""

    powered: "Powered"
    classes: "Mapping[str, LoadClass]"
    expected: "Expected | None"
    thrown: "Thrown"


def live(bench: Bench, state: "VehicleState") -> Live:
    """What is live and drawing in a state of the vehicle."""
    from circuitmap.power.expected import expected_draw
    from circuitmap.power.latching import thrown
    from circuitmap.power.state import VehicleState

    parked = state == VehicleState(fitting=bench.fitting)
    found = thrown(bench.circuit, state)
    expected = expected_draw(bench.circuit, bench.fitting) if parked else None
    return Live(found.powered, classes_of_loads(bench), expected, found)
