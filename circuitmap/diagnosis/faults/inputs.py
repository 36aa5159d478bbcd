"""Which switches a module reads: those wired to its sensing and wake pins, directly or through diodes."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Literal, NamedTuple

from circuitmap.diagnosis.car.parked import Parked
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, Switch, Terminal

Opening = Literal["", "likely", "said"]
"""Whether a module takes it for in use that a contact opens: no; as far as the wire tells; the sheet says so."""


class Input(NamedTuple):
    """A switch that is wired to a module's sensing or wake pin `pin`, by one of its contacts; `link` is its number.
    `by_opening`: taken out, the switch tells the pin what it tells it in use. `dead`: what feeds it is surely dead
    while parked, so that closed it brings nothing. `feed` is the far end of its contact where plus can come only from
    what nobody typed in, and would come to all that hangs on the rail that the pin watches."""

    switch: Switch
    contact: str
    link: int
    wakes: bool
    pin: Terminal
    by_opening: Opening = ""
    dead: bool = False
    feed: Terminal | None = None


def inputs_of(parked: Parked, module: Load) -> tuple[Input, ...]:
    """The switches that are wired to a module's sensing and wake pins; of a pin that is on a supply or on ground at
    all times it is not known what it watches."""
    nets, circuit = parked.powered.nets, parked.circuit
    ends = (*circuit.supplies, *circuit.on_ground)
    always = {nets.net_of[circuit.number[terminal]] for terminal in ends if terminal in circuit.number}
    pieces: dict[int, _Piece] = {}
    for role in ("sense", "wake"):
        for p in module.pins_with(role):
            node = circuit.number.get(Terminal(module.name, p))
            if node is not None and nets.net_of[node] not in always:
                pieces[nets.net_of[node]] = _Piece(role == "wake", Terminal(module.name, p))
    for net, behind in _behind_diodes(parked, pieces).items():
        if net not in always:
            pieces.setdefault(net, behind)
    found: dict[str, Input] = {}
    for link in parked.plan.switch_contacts if pieces else ():
        piece = next((nets.net_of[end] for end in circuit.ends[link] if nets.net_of[end] in pieces), None)
        part = parked.platform.parts[circuit.links[link].part]
        if piece is None or not isinstance(part, Switch) or holds(part.condition, parked.fitting) == Answer.NO:
            continue
        its = pieces[piece]
        if _signals(parked, link, piece, its.brings):
            opening = _by_opening(parked, module, link, piece, its)
            dead = _is_fed_dead(parked, link, piece)
            feed = _unknown_feed(parked, link, piece)
            its_input = Input(part, circuit.links[link].contact, link, its.wakes, its.pin, opening, dead, feed)
            found.setdefault(part.name, its_input)
    return tuple(found[name] for name in sorted(found))


def _is_fed_dead(parked: Parked, link: int, piece: int) -> bool:
    """Whether a contact leads from a piece of copper to what another contact would feed, like that of the key, and is
    surely dead while parked. Not where it goes on to what is on no sheet, or to a module that may feed it."""
    circuit, net_of, reach = parked.circuit, parked.powered.nets.net_of, parked.powered.settled.reach
    others = {net_of[end] for end in circuit.ends[link]} - {piece}
    sides = (reach.supply, reach.perhaps_supply, reach.ground, reach.perhaps_ground)
    if len(others) != 1 or any(side[net] for side in sides for net in others):
        return False
    if not parked.open_nets.isdisjoint(others) or not parked.giving_nets.isdisjoint(others):
        return False
    contacts = (circuit.ends[n] for n in (*parked.plan.switch_contacts, *parked.plan.relay_contacts) if n != link)
    nets = (tuple(net_of[end] for end in ends) for ends in contacts)
    return any((a in others and reach.supply[b]) or (b in others and reach.supply[a]) for a, b in nets)


def _unknown_feed(parked: Parked, link: int, piece: int) -> Terminal | None:
    """The far end of a contact on a rail that a fuse feeds, where only what nobody typed in can bring it plus."""
    if piece not in parked.fused_nets:
        return None
    circuit, net_of, reach = parked.circuit, parked.powered.nets.net_of, parked.powered.settled.reach
    far = next((end for end in circuit.ends[link] if net_of[end] != piece), None)
    if far is None or net_of[far] not in parked.open_feeds or reach.supply[net_of[far]]:
        return None
    return circuit.nodes[far]


def every_input(parked: Parked) -> Iterator[Input]:
    """The inputs of all modules, one module after the other."""
    for module in parked.platform.loads:
        yield from inputs_of(parked, module)


def in_use(parked: Parked, its: Input) -> VehicleState:
    """The parked car with the contact of an input as it stands when what it watches is open or in use; what feeds it
    then does, be it on no sheet."""
    state = _moved(parked, its)
    if its.feed is None:
        return state
    post = next((way.places[-1] for _, _, way in parked.pins_of(its.pin.part) if way.places), "")
    plus = Terminal(post, "+")
    on = frozenset({(its.feed, plus)}) if plus in parked.circuit.number else frozenset[tuple[Terminal, Terminal]]()
    return replace(state, bridged=state.bridged | on)


def _moved(parked: Parked, its: Input) -> VehicleState:
    planned = parked.plan.switch_contacts[its.link]
    at_rest = parked.state.switches.get(its.switch.name, planned.rest) in planned.closed_in
    others = (p for p in its.switch.positions if (p in planned.closed_in) != at_rest)
    position = next(others, None)
    if position is None:
        return replace(parked.state, stuck=frozenset({its.contact}))
    return replace(parked.state, switches={**parked.state.switches, its.switch.name: position})


def _by_opening(parked: Parked, module: Load, link: int, piece: int, its: "_Piece") -> Opening:
    """A contact is closed while the vehicle is parked, and none of its switch brings anything to the piece of copper in
    use: then the unplugged switch is to the pin what the switch is in use. Which of the two its module waits for hardly
    a sheet says."""
    plan, nets, circuit = parked.plan, parked.powered.nets, parked.circuit
    planned = plan.switch_contacts[link]
    switch = circuit.links[link].part
    if parked.state.switches.get(switch, planned.rest) not in planned.closed_in:
        return ""
    part = parked.platform.parts[switch]
    assert isinstance(part, Switch)
    position = next((p for p in part.positions if p not in planned.closed_in), None)
    on_it = (
        other
        for number, other in plan.switch_contacts.items()
        if circuit.links[number].part == switch and piece in {nets.net_of[end] for end in circuit.ends[number]}
    )
    if position is None or any(position in other.closed_in for other in on_it):
        return ""
    said = module.wakes_by.get(its.pin.pin) if its.wakes else None
    if said is not None:
        return "said" if said == "opening" else ""
    return "likely"


class _Piece(NamedTuple):
    """A piece of copper that a pin watches, and what a contact can bring to the pin from there."""

    wakes: bool
    pin: Terminal
    brings: Literal["either", "plus", "ground"] = "either"


def _behind_diodes(parked: Parked, pieces: Mapping[int, _Piece]) -> dict[int, _Piece]:
    """What lies behind diodes, seen from the pins: in the direction of the current only plus comes to a pin, against it
    only ground."""
    found: dict[int, _Piece] = {}
    for brings in ("plus", "ground"):
        ways: dict[int, list[int]] = {}
        for anode, cathode in parked.diodes:
            near, far = (cathode, anode) if brings == "plus" else (anode, cathode)
            ways.setdefault(near, []).append(far)
        for net, its in pieces.items():
            reached = [net]
            for here in reached:
                beyond = [far for far in ways.get(here, ()) if far not in reached]
                reached += beyond
                found |= {far: its._replace(brings=brings) for far in beyond if far not in found}
    return found


def _signals(parked: Parked, link: int, piece: int, brings: Literal["either", "plus", "ground"]) -> bool:
    """Whether a contact can tell a pin anything while the vehicle is parked: it joins it to plus or to ground, or to
    what nobody typed in. A contact between two wires that are both dead then says nothing, and one that only leads on
    to a load is that load's switch; but a module may feed the contacts that it reads. What hangs on a fuse is fed, and
    nobody signals on it by a short to ground; nor does plus come to it from where a wire is drawn to lead away: all
    that the fuses there feed would be up with it."""
    nets, reach = parked.powered.nets, parked.powered.settled.reach
    plus, ground = (reach.supply, reach.perhaps_supply), (reach.ground, reach.perhaps_ground)
    fused = piece in parked.fused_nets
    sides = (*(plus if brings != "ground" else ()), *(ground if brings != "plus" and not fused else ()))
    others = {nets.net_of[end] for end in parked.circuit.ends[link]} - {piece} or {piece}
    unknown = parked.open_feeds if fused else parked.open_nets | parked.module_nets
    wrong_one = {"either": (), "plus": ground, "ground": plus}[brings]
    other_than = (net for net in others if not any(side[net] for side in wrong_one))
    return any(side[net] for side in sides for net in others) or not unknown.isdisjoint(other_than)
