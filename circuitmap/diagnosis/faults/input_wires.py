"""The wire from a switch to the pin that watches it: rubbed through to ground it says what the closed switch would say,
parted what the open one would, and it goes on saying so with the switch unplugged.

Until somebody looks at the switch, the switch stands for its wire, too. Once an input is seen wrong, or its switch was
out, the two are told apart, the wire piece by piece: each plug on the way is a place to part it.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from circuitmap.circuit.links import BODY
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.faults.inputs import Input
from circuitmap.power.evaluate import Powered
from circuitmap.power.state import VehicleState
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Switch, Terminal
from circuitmap.wiring.platform import Platform

WIRE = 0.25
"""The wire's share of all that a wrong input by its switch can be (judgement)."""


OWN_INPUT = 0.10
"""The same of the module's own input: it reads wrong what its wire says rightly (judgement)."""


def is_input_wire(platform: Platform, fault: Fault) -> bool:
    """Whether an input is wrong by its wire and not by its switch or its module."""
    return fault.kind == "wrong-input" and fault.part not in platform.parts


def is_told_apart(parked: Parked, its: Input) -> bool:
    """Whether somebody looked at the switch, or parted the wire from it, so that the two, and the pieces of the wire,
    are told apart: unplugging a switch that is wrong by being open was no look."""
    if its.by_opening:
        return its.switch.name in parked.seen_wrong | parked.tested_fine
    told = parked.told_apart
    return its.switch.name in told or (bool(told) and not told.isdisjoint(on_the_way(parked, its)))


def stands_for_its_wire(parked: Parked, its: Input) -> bool:
    """Whether a switch stands for the wire from it, too: there is one, and nobody has looked at the switch yet."""
    return not is_told_apart(parked, its) and bool(_way(parked.platform, its.switch.name, its.pin))


def on_the_way(parked: Parked, its: Input) -> frozenset[str]:
    """What opens the wire between a switch and the pin that watches it, taken out: each plug on the way and its cavity,
    each diode, and the pin itself. Empty for a switch that is wrong by being open: it is so with its wire open, too."""
    if its.by_opening:
        return frozenset()
    ends = (near for _, near, _ in _way(parked.platform, its.switch.name, its.pin))
    parting = (near for near in ends if near == its.pin or _parts_here(parked.platform, near))
    return frozenset(name for end in parting for name in (_name(end), *((end.part,) if end != its.pin else ())))


def beyond(parked: Parked, its: Input, cavity: str) -> frozenset[str]:
    """What opens the wire between a cavity on the way and the pin that watches the switch, the pin itself included."""
    ends = [near for _, near, _ in _way(parked.platform, its.switch.name, its.pin)]
    at = next((n for n, end in enumerate(ends) if _name(end) == cavity), len(ends))
    parting = [end for end in ends[at + 1 :] if end == its.pin or _parts_here(parked.platform, end)]
    return frozenset(name for end in parting for name in (_name(end), *((end.part,) if end != its.pin else ())))


def beside(parked: Parked, its: Input) -> frozenset[str]:
    """The cavities by which plugs on that way carry the far side of the switch, too: its ground, or its plus."""
    nets, plugs = parked.platform.nets, on_the_way(parked, its)
    far = [end for pin in parked.circuit.terminals_of.get(its.switch.name, ()) for end in nets.of(pin)]
    return frozenset(_name(end) for end in far if end.part in plugs and end.part in parked.platform.parts)


def fed_by(parked: Parked, its: Input) -> frozenset[str]:
    """The fuses by which a contact has its plus while parked."""
    ends = (parked.circuit.nodes[end] for end in parked.circuit.ends[its.link])
    live = (parked.ways.to(end) for end in ends if parked.live(end) == Answer.YES)
    fuses = {fuse.name for fuse in parked.platform.fuses}
    return frozenset(name for way in live if way is not None for name in way.through & fuses)


def ending(parked: Parked, state: VehicleState, names: Iterable[str]) -> frozenset[str]:
    """Those of some plugs, cavities and pins without which nothing is left of what a state brings."""
    may_touch = parked.circuit.hands_off.may_touch
    return frozenset(name for name in names if may_touch(name) and parked.ends(state, name))


def wires_of(parked: Parked, wrong: Fault, switch: Switch, pin: Terminal, in_use: Powered) -> tuple[Fault, ...]:
    """The faults of the wire between a switch and the pin that watches it, given the fault by which the switch is wrong
    and the car with the switch as it stands in use; none where it cannot be wrong in the same way."""
    if not (parked.circuit.hands_off.may_touch(switch.name) and parked.circuit.hands_off.may_touch(pin.part)):
        return ()
    grounded = in_use.ground.get(pin, Answer.NO), parked.powered.ground.get(pin, Answer.NO)
    if grounded == (Answer.YES, Answer.NO):
        pieces = _pieces(parked.platform, switch.name, pin)
        return tuple(_told_at(parked, _rubbed(parked, wrong, piece), pin) for piece in pieces)
    if grounded == (Answer.NO, Answer.YES):
        pieces = _pieces(parked.platform, switch.name, pin)
        open_already = replace(wrong, others=tuple(name for name in wrong.others if name != str(pin)))
        return tuple(_piece_at_fault(parked, open_already, piece, wrong.state) for piece in pieces)
    return ()


def _rubbed(parked: Parked, wrong: Fault, piece: "_PieceOfWire") -> Fault:
    """A piece of the wire is on ground: that does all that the switch does by closing."""
    assert wrong.state is not None
    first, last = piece.ends
    at = first if last.part == wrong.module else last  # on the wire: the pin itself lets go of it when it is lifted out
    # It stands so as long as the switch would: what keeps awake for some minutes comes anew by its wire, too.
    state = replace(parked.state, awake=wrong.state.awake, stood=wrong.state.stood, bridged=frozenset({(at, BODY)}))
    fault = _piece_at_fault(parked, wrong, piece, state)
    if wrong.of or not wrong.state.awake:
        return replace(fault, brings=parked.brought_in(state))
    return fault


def _told_at(parked: Parked, rubbed: Fault, pin: Terminal) -> Fault:
    """With the terminal of the watching pin lifted out of its plug, the module no longer hears of a wire that is on
    ground: that tells the wire from the module. What else the wire grounds goes on."""
    name = str(pin)
    if rubbed.state is None or not parked.circuit.hands_off.may_touch(name):
        return rubbed
    out = frozenset({name})
    alone = replace(rubbed.state, awake=frozenset())
    if parked.brought_without(alone, out, *parked.asleep_without(out)):
        return rubbed
    lives_by = tuple(supply | out for supply in rubbed.lives_by) or (out,)
    return replace(rubbed, lives_by=lives_by)


def is_told_at(wire: Fault, pin: Terminal) -> bool:
    """Whether what a wire says ends once the terminal of the pin is lifted out of its plug."""
    return bool(wire.lives_by) and all(str(pin) in supply for supply in wire.lives_by)


def _piece_at_fault(parked: Parked, wrong: Fault, piece: "_PieceOfWire", state: VehicleState | None) -> Fault:
    plugs = frozenset(name for cavity in piece.beyond for name in (cavity.part, str(cavity)))
    lives_by = tuple(supply | plugs for supply in parked.supplies_of(wrong.module)) or ((plugs,) if plugs else ())
    others = (wrong.module, wrong.part, *(name for name in wrong.others if name != wrong.module), *piece.places)
    return replace(
        wrong, part=_of_piece(piece), contact="", of=(), by_opening="", state=state, colour=piece.colour,
        lives_by=lives_by if state is not None and state.bridged else parked.supplies_of(wrong.module), others=others,
    )  # fmt: skip


class _PieceOfWire:
    """A piece of a wire between two plugs: its ends, the plugs at them, the cavities between it and the module, and its
    colour, or the colours of its stretches."""

    def __init__(
        self, ends: tuple[Terminal, Terminal], plugs: tuple[Terminal, ...], beyond: tuple[Terminal, ...], colour: str
    ) -> None:
        self.ends, self.plugs, self.beyond, self.colour = ends, plugs, beyond, colour

    @property
    def places(self) -> tuple[str, ...]:
        """Where it can be parted: at a connector as a whole, or at its own cavity alone."""
        return tuple(dict.fromkeys(name for cavity in self.plugs for name in (cavity.part, str(cavity))))


class PieceToGround(NamedTuple):
    """A piece of the wire from what is fed to what grounds it: its ends as typed in, the node by which it is on ground,
    the plugs and cavities between it and what is fed, without which nothing flows here, those at its own ends, and its
    colour."""

    ends: tuple[str, str]
    at: Terminal
    before: frozenset[str]
    places: tuple[str, ...]
    colour: str


def pieces_to_what_grounds(parked: Parked, end: Terminal) -> tuple[PieceToGround, ...]:
    """The wire from a terminal to what switches it to ground, piece by piece, once that was out, or a plug or diode on
    the way; empty before, and where nothing parts it."""
    platform, told = parked.platform, parked.told_apart
    passed = ("splice", "joint", "connector", "diode")
    drivers = [t for t in platform.nets.of(end) if t.part != end.part and platform.parts[t.part].kind not in passed]
    pieces: list[_PieceOfWire] = []
    for pin in sorted(drivers, key=lambda pin: pin.part not in told) if told else ():
        its = list(_pieces(platform, end.part, pin))
        if pin.part in told or any(name in told for piece in its for name in piece.places):
            pieces = its
            break
    found = []
    before: frozenset[str] = frozenset()
    for piece in pieces if len(pieces) > 1 else ():
        ends = (_name(piece.ends[0]), _name(piece.ends[-1]))
        found.append(PieceToGround(ends, piece.ends[0], before, piece.places, piece.colour))
        before = before.union(piece.places)
    return tuple(found)


def ground_side_pieces(parked: Parked, chafed: Fault, ground: Terminal) -> tuple[Fault, ...]:
    """A ground-side wire piece by piece, once what switches it was out and did not change anything; empty before, or
    where no plug parts it."""
    platform = parked.platform
    drivers = (t for t in platform.nets.of(ground) if t.part in parked.told_apart and t.part not in chafed.others)
    pin = next(
        (t for t in drivers if platform.parts[t.part].kind not in ("splice", "joint", "connector", "diode")), None
    )
    pieces = tuple(_pieces(platform, ground.part, pin)) if pin is not None else ()
    if len(pieces) < 2:
        return ()
    found = []
    before: frozenset[str] = frozenset()  # what lies between the load and this piece: without it nothing flows here
    for n, piece in enumerate(pieces):
        name = f"{chafed.part} to {_name(piece.ends[-1])}" if n == 0 else _of_piece(piece)
        state = replace(parked.state, bridged=frozenset({(piece.ends[0], BODY)}))
        lives_by = (before,) if before else ()
        others = (*chafed.others, *piece.places)
        found.append(replace(chafed, part=name, others=others, state=state, lives_by=lives_by, colour=piece.colour))
        before = before.union(piece.places)
    return tuple(found)


def _of_piece(piece: _PieceOfWire) -> str:
    return f"wire {_name(piece.ends[0])} to {_name(piece.ends[-1])}"


def _pieces(platform: Platform, switch: str, pin: Terminal) -> Iterator[_PieceOfWire]:
    """The pieces from the switch to the pin, cut at each connector on the way, and at each diode, which lets ground
    through to one of its sides only."""
    wires = _way(platform, switch, pin)
    plugs = [near for _, near, _ in wires if _parts_here(platform, near)]
    start: Terminal | None = None
    colours: dict[str, None] = {}
    for far, near, colour in wires:
        start = start or far
        colours |= {colour: None} if colour else {}
        if _parts_here(platform, near) or near.part == pin.part:
            own = tuple(end for end in (start, near) if _is_plug(platform, end))
            yield _PieceOfWire((start, near), own, tuple(plugs), ", then ".join(colours))
            plugs, start = plugs[1:] if _parts_here(platform, near) else plugs, None
            colours = {}


def _way(platform: Platform, switch: str, pin: Terminal) -> list[tuple[Terminal, Terminal, str]]:
    """The wires that a finger passes from a switch to a pin, each by its end at the switch's side, its other one, and
    its colour; empty where no drawn wire joins them."""
    came_from: dict[tuple[str, str], tuple[Terminal, Terminal, str]] = {}
    reached = [pin]
    for here in reached:
        if here.part == switch:
            found = []
            while _place(platform, here) != _place(platform, pin):
                found.append(came_from[_place(platform, here)])
                here = found[-1][1]
            return found
        for wire in platform.wires_at.get(here.part, ()) if _goes_on(platform, here, pin) else ():
            for near, far in ((wire.a, wire.b), (wire.b, wire.a)):
                at = _place(platform, far)
                its = _place(platform, near) == _place(platform, here) and wire.kind != "chart"
                if its and at not in came_from and at != _place(platform, pin):
                    came_from[at] = (far, near, wire.colour_written if wire.colour else "")
                    reached.append(far)
    return []


def _goes_on(platform: Platform, here: Terminal, pin: Terminal) -> bool:
    """Whether a wire that ends here goes on as the same wire: at the pin itself, in a splice, in a plug, behind a
    diode."""
    return here == pin or platform.parts[here.part].kind in ("splice", "joint", "connector", "diode")


def _place(platform: Platform, terminal: Terminal) -> tuple[str, str]:
    """The point where wires meet: both halves of a cavity, all ends at a splice, both of a diode."""
    meets = platform.parts[terminal.part].kind in ("splice", "joint", "diode")
    return terminal.part, "" if meets else terminal.pin


def parts_a_wire(platform: Platform, name: str) -> bool:
    """Whether a wire on its way is parted with this out: a plug as a whole or one of its cavities, or a diode."""
    part = platform.parts.get(name) or platform.parts.get(name.rpartition(".")[0])
    return part is not None and part.kind in ("connector", "diode")


def _parts_here(platform: Platform, terminal: Terminal) -> bool:
    """Whether a wire is open with what is at its end taken out: a plug, or a diode."""
    return _is_plug(platform, terminal) or _is_diode(platform, terminal)


def _is_plug(platform: Platform, terminal: Terminal) -> bool:
    return terminal.part in platform.parts and platform.parts[terminal.part].kind == "connector"


def _is_diode(platform: Platform, terminal: Terminal) -> bool:
    return terminal.part in platform.parts and platform.parts[terminal.part].kind == "diode"


def _name(terminal: Terminal) -> str:
    return f"{terminal.part}.{terminal.pin}" if terminal.pin else terminal.part
