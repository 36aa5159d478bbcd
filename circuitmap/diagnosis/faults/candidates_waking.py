"""Faults that keep modules awake: a member of a network, an input believed wrongly, a chafed line."""

from collections.abc import Iterator
from dataclasses import replace

from circuitmap.diagnosis.car.parked import Parked, WokenParked
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.faults.brief_inputs import wakes_for_a_time
from circuitmap.diagnosis.faults.candidates_switching import nets_fed_by_relays, with_those_it_wakes
from circuitmap.diagnosis.faults.fault import Candidate, Fault, FaultSource
from circuitmap.diagnosis.faults.fault_kinds import (
    BESIDE_A_CONTACT,
    CHAFED_LINE,
    CHAFED_WAKE_WIRE,
    FED_DEAD,
    FED_FROM_UNKNOWN,
    FEEDS_KNOWN_DEAD,
    ON_NO_WHOLE_SHEET,
    TURNED_ON_TOO,
    WAKES_FOR_A_TIME,
    WAKES_NOTHING,
)
from circuitmap.diagnosis.faults.input_wires import (
    OWN_INPUT,
    WIRE,
    beside,
    ending,
    fed_by,
    is_told_apart,
    is_told_at,
    on_the_way,
    parts_a_wire,
    stands_for_its_wire,
    wires_of,
)
from circuitmap.diagnosis.faults.inputs import Input, in_use, inputs_of
from circuitmap.diagnosis.faults.lying_beside import pieces_of
from circuitmap.diagnosis.faults.touching_plus import MOST_PIECES, ends_of
from circuitmap.diagnosis.faults.wet_plugs import WET, leaks_of
from circuitmap.power.nets import YES
from circuitmap.power.state import BEGUN, VehicleState
from circuitmap.wiring.drawn_whole import is_drawn_whole
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, Part, Terminal
from circuitmap.wiring.platform import Network


def keeps_awake(parked: Parked) -> Iterator[Candidate]:
    """Each member of each network, and each gateway, may be the one that never lets the network sleep."""
    for network in parked.platform.networks.values():
        there = holds(network.condition, parked.fitting)
        if there == Answer.NO or not parked.may_try(network.name):
            continue
        for module, answer in members_of(parked, network).items():
            woken = _kept_by(parked, module, network.name)
            fault = Fault(
                kind="keeps-awake", part=module, about=network.name, odds=0.0, brings=woken.brings, module=module,
                network=network.name, state=woken.state, lives_by=parked.supplies_of(module),
                wakes=woken.networks, perhaps=min(answer, there) == Answer.MAY_BE,
            )  # fmt: skip
            # One module that keeps several networks awake by the same is one fault, told with each of them.
            alike = [
                its for its in _held_by(parked, parked.platform.parts[module])
                if _kept_by(parked, module, its) is woken
            ]  # fmt: skip
            yield Candidate(fault, factor=_factor(parked, module) / max(len(alike), 1))


def _kept_by(parked: Parked, module: str, network: str) -> WokenParked:
    """The vehicle with a module that keeps a network awake: what drives a network can do so only while it is awake
    itself, with all that follows from that."""
    members = parked.platform.networks[network].members
    if any(m.part == module and m.waking == "drives" for m in members) and module in parked.plan.sleeper_number:
        return parked.with_awake(module)
    return parked.with_awake(network)


def wrong_inputs(parked: Parked) -> Iterator[Candidate]:
    """A latch, hood, park or brake switch, or an input nobody typed, that tells a module it is in use."""
    platform = parked.platform
    for module in platform.loads:
        there = holds(module.condition, parked.fitting)
        networks = _held_by(parked, module)
        if there == Answer.NO or module.name not in parked.plan.sleeper_number or module.name in parked.absent:
            continue
        if not parked.may_try(module.name):
            continue
        usual = _factor(parked, module.name)
        inputs = inputs_of(parked, module)
        kept_awake = _ways_to_be_awake(parked, module)
        for its in inputs:
            factor = usual * _holds_it(parked, module, its) * _is_fed(parked, its)
            factor *= FED_FROM_UNKNOWN if its.feed is not None else 1.0
            found = _by_its_contact(parked, module, its)
            if found:
                for wrong, its_share in found:
                    for fault, share in _and_its_wire(parked, its, wrong):
                        yield Candidate(replace(fault, perhaps=there == Answer.MAY_BE), share * its_share, factor)
                continue
            known = names = kept_awake[:1] if its.wakes else kept_awake
            names = [name for name in names if parked.with_awake(name).brings]
            turned_on = parked.brought_in(in_use(parked, its)) if names else ()
            shares = [
                (fault, share / len(known))
                for name in names
                for fault, share in _told(parked, module, its, name, turned_on)
            ]
            for fault, share in shares:
                yield Candidate(replace(fault, perhaps=there == Answer.MAY_BE), share, factor)
        woken = parked.with_awake(networks[0] if len(networks) == 1 else module.name)
        if not inputs and networks and woken.brings:
            fault = _wrong(parked, module, None, woken)
            undrawn = ON_NO_WHOLE_SHEET if is_drawn_whole(parked.platform, module.name) else 1.0
            yield Candidate(replace(fault, perhaps=there == Answer.MAY_BE), factor=usual * undrawn)


def _holds_it(parked: Parked, module: Load, its: Input) -> float:
    """How much of the odds an input keeps, by what a sheet says of the pins that wake its module, and for how long. One
    that the live data show wrong is wrong, whatever a sheet says of its pin. Of a module that can hold a network, and
    of which only the pin of the key is named, the silence says nothing: most such modules are woken by their doors."""
    if its.wakes:
        return _for_a_time(parked) if wakes_for_a_time(module, its.pin.pin) else 1.0
    if not wakes_nothing(module, its.pin.pin) or not parked.seen_wrong.isdisjoint((its.switch.name, module.name)):
        return 1.0
    pins = (Terminal(module.name, pin) for pin in module.pins_with("wake"))
    only_key = all(parked.live_with_key_on(pin) for pin in pins)
    only_listens = module.name in parked.platform.networks_of and not _held_by(parked, module)
    return 1.0 if only_key and not module.lasts and not only_listens else WAKES_NOTHING


def _is_fed(parked: Parked, its: Input) -> float:
    """What is left of the odds of an input whose switch is fed by what is dead; all of them once it was seen wrong."""
    return FED_DEAD if its.dead and its.switch.name not in parked.seen_wrong else 1.0


def _for_a_time(parked: Parked) -> float:
    """What is left of the odds of what wakes for some minutes only. Of a draw that comes again and again that is just
    what it does."""
    return 1.0 if parked.comes_and_goes else WAKES_FOR_A_TIME


def wakes_nothing(module: Load, pin: str) -> bool:
    """Whether an input is at a pin of which the sheet says by its silence that it wakes nothing: others are named."""
    return pin not in module.pins_with("wake") and bool(module.pins_with("wake"))


def _held_by(parked: Parked, module: Part) -> tuple[str, ...]:
    """The networks that a module keeps awake as long as it is awake itself: not those that it only listens on."""
    platform = parked.platform
    joins = {name for gateway in platform.gateways if gateway.module == module.name for name in gateway.joins}
    return tuple(
        name
        for name in platform.networks_of.get(module.name, ())
        if name in joins
        or any(m.part == module.name and m.waking != "listens" for m in platform.networks[name].members)
    )


def _ways_to_be_awake(parked: Parked, module: Load) -> list[str]:
    """What an input of a module may wake: all networks that it keeps awake, or one of them; each only if it is another
    set."""
    networks = _held_by(parked, module)
    its_own = {name for name in networks if _kept_by(parked, module.name, name) is parked.with_awake(module.name)}
    names = tuple(name for name in networks if name not in its_own)
    names = (module.name, *names) if its_own or len(networks) != 1 else names
    by_set: dict[frozenset[str], str] = {}
    for name in names:
        by_set.setdefault(parked.with_awake(name).networks, name)
    return list(by_set.values())


def _wrong(parked: Parked, module: Load, its: Input | None, woken: WokenParked) -> Fault:
    switch = its.switch if its is not None else None
    networks = parked.platform.networks_of.get(module.name, ())
    own = [network for network in networks if network in woken.networks]  # none: it is awake, and no network is
    kept = [name for name in own if name in woken.state.awake] or own
    return Fault(
        kind="wrong-input", part=switch.name if switch is not None else module.name,
        about=kept[0] if kept else module.name, odds=0.0, brings=woken.brings,
        module=module.name, network=kept[0] if len(kept) == 1 else "", others=(module.name,),
        state=woken.state, lives_by=parked.supplies_of(module.name), wakes=woken.networks, undrawn=switch is None,
        by_opening=its.by_opening if its is not None else "",
    )  # fmt: skip


def _by_its_contact(parked: Parked, module: Load, its: Input) -> list[tuple[Fault, float]]:
    """A contact at a wake pin, as it stands in use: what it wakes, and all that it turns on besides. Where other
    contacts of the switch then turn something on, also this one contact alone, which burnt or bent says the same."""
    if not its.wakes:
        return []
    lasting = BEGUN if wakes_for_a_time(module, its.pin.pin) else parked.state.stood  # it comes anew again and again
    moved = _wakes_by(parked, module, its, replace(in_use(parked, its), stood=lasting))
    if moved is None:
        return []
    planned = parked.plan.switch_contacts[its.link]
    if parked.state.switches.get(its.switch.name, planned.rest) in planned.closed_in:
        return [(moved, 1.0)]
    stuck = replace(parked.state, stuck=parked.state.stuck | {its.contact}, stood=lasting)
    alone = _wakes_by(parked, module, its, stuck)
    if alone is None or {flow.key for flow in alone.brings} == {flow.key for flow in moved.brings}:
        return [(moved, 1.0)]
    return [(moved, TURNED_ON_TOO), (replace(alone, contact=its.contact), 1.0 - TURNED_ON_TOO)]


def _wakes_by(parked: Parked, module: Load, its: Input, state: VehicleState) -> Fault | None:
    """An input that is wrong because its contact is as in this state; None where the module is not awake then."""
    powered = parked.evaluated(state)
    if powered.settled.standing.awake[parked.plan.sleeper_number[module.name]] != YES:
        return None
    awake = frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES)
    woken = WokenParked(state, parked.brought_by(powered), awake)
    if not woken.brings:
        return None
    wrong = _wrong(parked, module, its, woken)
    # Its module's own supply ends it as well as what parts the wire: awake or not, it is dead without that.
    before = fed_by(parked, its)
    parts_it = ending(parked, woken.state, sorted(on_the_way(parked, its) | beside(parked, its) | before))
    lives_by = tuple(supply | parts_it for supply in wrong.lives_by) or ((parts_it,) if parts_it else ())
    return replace(wrong, lives_by=lives_by)


def _told(
    parked: Parked, module: Load, its: Input, name: str, turned_on: tuple[Flow, ...]
) -> Iterator[tuple[Fault, float]]:
    """A contact that a module reads and takes for in use: what that wakes; and, more often than not, what the contact
    turns on by itself. Each with its share."""
    woken = parked.with_awake(name)
    wrong = _wrong(parked, module, its, woken)
    if way := on_the_way(parked, its):
        wrong = replace(wrong, lives_by=tuple(supply | way for supply in wrong.lives_by) or (way,))
    state = in_use(parked, its)
    if not turned_on:
        yield from _and_its_wire(parked, its, wrong)
        return
    # Over a rail it cannot come to the pin alone: all that hangs there has it, too.
    too = TURNED_ON_TOO if its.feed is None else 1.0
    if too < 1.0:
        yield wrong, 1.0 - too
    contact = replace(
        wrong, kind="lamp", about=its.switch.name, module="", network="", brings=turned_on, state=state,
        lives_by=() if its.by_opening else (frozenset({its.switch.name}),), wakes=frozenset(),
        others=tuple(sorted({flow.owner for flow in turned_on})),
    )  # fmt: skip
    brings = tuple({flow.key: flow for flow in (*woken.brings, *turned_on)}.values())
    both = replace(woken.state, switches=state.switches, stuck=state.stuck, bridged=state.bridged)
    joint = replace(wrong, brings=brings, state=both, contact=its.contact, of=(wrong, contact))
    for fault, share in _and_its_wire(parked, its, joint):
        yield fault, share * too


def _and_its_wire(parked: Parked, its: Input, wrong: Fault) -> Iterator[tuple[Fault, float]]:
    """A wrong input by its switch, by the wire from there, and by the module's own input, each with its share."""
    wrong = replace(wrong, others=tuple(dict.fromkeys((*wrong.others, str(its.pin)))))
    told_apart = is_told_apart(parked, its)
    switched = parked.evaluated(in_use(parked, its)) if told_apart or not its.by_opening else parked.powered
    leaks = leaks_of(parked, wrong, its, switched) if not its.by_opening else ()
    for leak in leaks:
        yield leak, WET / len(leaks)
    dry = 1.0 - WET if leaks else 1.0
    if not told_apart:
        yield replace(wrong, or_its_wire=stands_for_its_wire(parked, its)), dry
        return
    wires = wires_of(parked, wrong, its.switch, its.pin, switched)
    yield wrong, dry - WIRE - OWN_INPUT if wires else dry
    for wire in wires:
        yield wire, WIRE / len(wires)
    if wires:
        woken = parked.with_awake(wrong.network or wrong.module)
        at_pin = tuple(name for name in (str(its.pin),) if any(is_told_at(wire, its.pin) for wire in wires))
        own = replace(
            wrong, part=wrong.module, contact="", of=(), pin=its.pin.pin, by_opening="",
            others=(wrong.module, its.switch.name, *at_pin),
            brings=woken.brings, state=woken.state, wakes=woken.networks, lives_by=parked.supplies_of(wrong.module),
        )  # fmt: skip
        yield own, OWN_INPUT


def chafed_lines(parked: Parked) -> Iterator[Candidate]:
    for network in parked.platform.networks.values():
        if holds(network.condition, parked.fitting) != Answer.NO and parked.may_try(network.name):
            woken = parked.with_awake(network.name)
            fault = Fault(
                kind="chafed", part=f"line of {network.name}", about=network.name, odds=0.0, brings=woken.brings,
                network=network.name, state=woken.state, wakes=woken.networks,
                perhaps=holds(network.condition, parked.fitting) == Answer.MAY_BE,
            )  # fmt: skip
            yield Candidate(fault, CHAFED_LINE)


def chafed_wake_wires(parked: Parked) -> Iterator[Candidate]:
    """The wire at a wake pin that wakes by plus, rubbed through to a live wire: its module alone is awake, and whatever
    else hangs on that wire is fed. Where the pin is one of a network's, the line of that network stands for it."""
    platform, nets = parked.platform, parked.powered.nets
    lines = {(m.part, pin) for network in platform.networks.values() for m in network.members for pin in m.pins}
    seen: set[int] = set()
    fed_by_relays = nets_fed_by_relays(parked)
    for module in platform.loads:
        there = holds(module.condition, parked.fitting)
        number = parked.plan.sleeper_number.get(module.name)
        if number is None or there == Answer.NO or module.name in parked.absent:
            continue
        post = next((way.places[-1] for _, _, way in parked.pins_of(module.name) if way.places), "")
        plus = Terminal(post, "+")
        probed = {nets.net_of[parked.circuit.number[point]] for point in parked.on_plus}
        for wake in parked.plan.sleepers[number].wake_pins if plus in parked.circuit.number else ():
            pin, net = parked.circuit.nodes[wake.node], nets.net_of[wake.node]
            if net in probed:  # found on plus: told piece by piece
                continue
            if wake.by != "plus" or (pin.part, pin.pin) in lines or net in seen or not parked.may_try(module.name):
                continue
            seen.add(net)
            if parked.powered.supply.get(pin, Answer.NO) != Answer.NO:
                continue
            brief = wakes_for_a_time(module, pin.pin)
            weight = CHAFED_WAKE_WIRE * (BESIDE_A_CONTACT if net in fed_by_relays else 1.0)
            stood = BEGUN if brief else parked.state.stood
            pieces = _pieces_of_wake_wire(parked, pin, net)
            for at, ends in pieces:
                state = replace(parked.state, bridged=frozenset({(at, plus)}), stood=stood)
                fault = _rubbed_on_plus(parked, module, pin, state)
                if fault is None:
                    continue
                part = f"{fault.part}, {' to '.join(ends)}" if ends else fault.part
                fault = replace(fault, part=part, perhaps=there == Answer.MAY_BE)
                yield Candidate(fault, weight / len(pieces), _for_a_time(parked) if brief else 1.0)


def _rubbed_on_plus(parked: Parked, module: Load, pin: Terminal, state: VehicleState) -> Fault | None:
    """The wire at a wake pin with a live wire on it; None where that brings nothing."""
    state, powered = with_those_it_wakes(parked, state)
    brings = parked.brought_by(powered)
    if not brings:
        return None
    awake = frozenset(name for name, answer in powered.networks.items() if answer == Answer.YES)
    own = ending(parked, state, (str(pin),))
    return Fault(
        kind="chafed", part=f"wake wire of {pin}", about=module.name, odds=0.0, brings=brings, module=module.name,
        others=(module.name, str(pin)), state=state, wakes=awake,
        lives_by=tuple(supply | own for supply in parked.supplies_of(module.name)),
    )  # fmt: skip


def _pieces_of_wake_wire(parked: Parked, pin: Terminal, net: int) -> list[tuple[Terminal, tuple[str, ...]]]:
    """Where plus may rub on the wire of a wake pin: anywhere (at the pin, without ends), or, once a plug, cavity or
    diode in it was out, on each piece, told by its ends."""
    nets, circuit = parked.powered.nets, parked.circuit
    its = [node for n, node in enumerate(circuit.nodes) if nets.net_of[n] == net]
    there = {node.part for node in its} | {str(node) for node in its}
    parted = sorted(name for name in parked.told_apart & there if parts_a_wire(parked.platform, name))
    pieces = pieces_of(parked, its, [frozenset({name}) for name in parted]) if parted else []
    if not 1 < len(pieces) <= MOST_PIECES:
        return [(pin, ())]
    return [(pin if pin in piece else piece[0], ends_of(parked, piece, parted)) for piece in pieces]


def is_wake_wire(fault: Fault) -> bool:
    """Whether it is plus on the wire at a wake pin."""
    return fault.kind == "chafed" and bool(fault.module)


def members_of(parked: Parked, network: Network) -> dict[str, Answer]:
    """Members and gateways that can keep a network awake, with how surely they are on this car."""
    found: dict[str, Answer] = {}
    for member in network.members:
        if member.waking == "listens":
            continue
        part = parked.platform.parts[member.part]
        found[member.part] = min(holds(member.condition, parked.fitting), holds(part.condition, parked.fitting))
    for gateway in parked.platform.gateways:
        if network.name in gateway.joins:
            found.setdefault(gateway.module, holds(gateway.condition, parked.fitting))
    return {name: its for name, its in found.items() if its != Answer.NO and name not in parked.absent}


def _factor(parked: Parked, module: str) -> float:
    return FEEDS_KNOWN_DEAD if parked.fed(module) == Answer.NO else 1.0


WAKING: tuple[FaultSource, ...] = (
    FaultSource(("keeps-awake",), keeps_awake),
    FaultSource(("wrong-input",), wrong_inputs),
    FaultSource(("chafed",), chafed_lines),
    FaultSource(("chafed",), chafed_wake_wires),
)
