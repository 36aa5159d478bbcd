"""What is said to work or not, as it is typed: `SCRL`, `E1.56b`, `K8`, `M12@S14=4` (with S14 in position 4),
`PANEL@feeding=ALT` (while ALT feeds), `A10@BODY` (its answer on that network), `A10@scan` (its answer to a scan).
"""

from circuitmap.circuit.links import Circuit
from circuitmap.dead.blown import ToldOfFuse
from circuitmap.dead.watched import SCAN, ToldOf
from circuitmap.failures import WrongUse
from circuitmap.power.functions import Function, function_named
from circuitmap.power.state import VehicleState, check_state, keys_of
from circuitmap.power.state_for import FurtherChange
from circuitmap.wiring.names import as_declared, find_name, find_part, find_terminal
from circuitmap.wiring.parts import Fuse, Switch


def written_told(circuit: Circuit, text: str, works: bool) -> ToldOf:
    """Raises WrongUse for what is no load, no pin of one and no relay, or a position that does not exist."""
    name, *further = text.split("@")
    networks = [its for its in further if "=" not in its]
    positions = tuple(_position(circuit, its) for its in further if "=" in its)
    function = written_function(circuit, name).name
    if not networks:
        return ToldOf(function, works, positions)
    return ToldOf(function, works, positions, _network(circuit, function, networks[0]))


def written_fuse(circuit: Circuit, text: str, works: bool) -> ToldOfFuse | None:
    """A fuse that blew, or held, with the positions in which it did; None for anything else. Raises WrongUse for a
    position that does not exist."""
    name, *positions = text.split("@")
    try:
        fuse = find_part(circuit.platform, name)
    except WrongUse:
        return None
    if not isinstance(circuit.platform.parts[fuse], Fuse):
        return None
    return ToldOfFuse(fuse, works, tuple(_position(circuit, its) for its in positions))


def _network(circuit: Circuit, module: str, written: str) -> str:
    """`scan`, or a network that the module is on. Raises WrongUse for anything else."""
    known = circuit.platform.networks
    own = [name for name in circuit.platform.networks_of.get(module, ()) if known[name].kind != "wake"]
    if not own:
        raise WrongUse(f"{module} is on no network that carries messages.", "Write a position as LOAD@SWITCH=POSITION.")
    if written == SCAN and SCAN not in known:
        return SCAN
    name = find_name(known, written, "network")
    if name not in own:
        raise WrongUse(f"{module} is not on {name}.", f"It is on {', '.join(own)}; {SCAN} stands for any.")
    return name


def written_function(circuit: Circuit, text: str) -> Function:
    """A load, a single supply pin of one, or a relay, by a tail of its name."""
    platform = circuit.platform
    try:
        name = find_part(platform, text)
    except WrongUse as no_part:
        try:
            pin = find_terminal(platform, text)
        except WrongUse:
            raise no_part from None
        name = str(pin) if function_named(circuit, str(pin)) is not None else pin.part
    found = function_named(circuit, name)
    if found is None:
        raise WrongUse(
            f"{name} is a {platform.parts[name].kind}: say which load does not work.",
            "A lamp, a motor, a module, one pin of it; a relay.",
        )
    return found


def _position(circuit: Circuit, written: str) -> FurtherChange:
    """`S14=4`, `key=run` or `feeding=ALT`."""
    platform = circuit.platform
    what, equals, to = written.partition("=")
    if not equals:
        raise WrongUse(f"{written} does not say a position.", "Write it as LOAD@SWITCH=POSITION.")
    if what == "key":
        known = [position for its in keys_of(platform) for position in its.positions]
        known += [position for output in platform.outputs for position in output.positions]
        return FurtherChange("key", _one_of(as_declared(to, known), known, "The key"))
    if what == "feeding":
        source = find_part(platform, to)
        check_state(platform, VehicleState(feeding=frozenset((source,))), circuit.contacts)
        return FurtherChange("feeding", source)
    switch = platform.parts[find_part(platform, what)]
    if not isinstance(switch, Switch):
        raise WrongUse(f"{switch.name} is not a switch.")
    return FurtherChange(switch.name, _one_of(as_declared(to, switch.positions), switch.positions, switch.name))


def _one_of(position: str, known: "list[str] | tuple[str, ...]", whose: str) -> str:
    if position not in known:
        raise WrongUse(
            f"{whose} has no position {position}.", f"Positions: {', '.join(dict.fromkeys(known)) or 'none'}."
        )
    return position
