"""A load has a supply and a ground."""

from collections.abc import Iterator, Sequence

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.crossed import Cut, cuts_between
from circuitmap.wiring.checks.one_sided import Missing, told
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.parts import FIRST, SECOND, Battery, Fuse, Ground, Load, Role, Terminal, is_unnamed
from circuitmap.wiring.platform import Platform, Wire

# An alternator or starter is grounded by what it is bolted to, a sensor is fed by the module that reads it.
_OTHERWISE = ("alternator", "starter", "charger", "sensor")


_BY_NAME: dict[str, Role] = {"+": "supply", "-": "ground"}
"""Pins whose names say what they are, whatever the direction of their wires."""


def loads_with_one_side(platform: Platform) -> Iterator[Problem]:
    """A load whose supply is typed in and whose ground is not, or the reverse."""
    no_ground, no_supply = [], []
    stated = {its.part for its in platform.stated}
    for load in platform.loads:
        wired = wired_pins(platform, load.name)
        if load.kind in _OTHERWISE or all(w.kind == "chart" for wires in wired.values() for w in wires):
            continue
        if load.kind != "module" and len(wired) > 1:
            continue  # both sides are there; which is which does not matter here
        supplies = [wire for pin in load.pins_with("supply") for wire in wired.get(pin, ()) if wire.kind != "chart"]
        grounds = [wire for pin in load.pins_with("ground") for wire in wired.get(pin, ())]
        if supplies and not grounds:
            headline = f"{load.name} has a supply and no ground is typed in."
            no_ground.append(Missing(load.name, headline, tuple(supplies)))
        elif grounds and not supplies and not has_feed(platform, load, stated):
            headline = f"{load.name} has a ground and no supply is typed in."
            no_supply.append(Missing(load.name, headline, tuple(grounds)))
    yield from told(platform, "load-no-ground", no_ground, "No ground is typed in for")
    yield from told(platform, "load-no-supply", no_supply, "No supply is typed in for")


def has_feed(platform: Platform, load: Load, stated: set[str]) -> bool:
    """Whether anything at all says what feeds this load: a wire, a row of a fuse chart, the sheet's label."""
    wired = wired_pins(platform, load.name)
    return load.name in stated or any(map(is_unnamed, wired)) or any(pin in wired for pin in load.pins_with("supply"))


def pins_the_wrong_way_round(platform: Platform) -> Iterator[tuple[tuple[str, ...], Problem]]:
    """A pin that was declared a supply and is wired to ground, or a ground wired to a plus: one problem for everything
    that is joined there, and the loads that it puts in doubt."""
    wrong: dict[Terminal, list[tuple[bool, Load, str, str]]] = {}
    nets = platform.nets
    with_ground = nets.keys_with(lambda terminal: _is_ground(platform, terminal))
    with_plus = nets.keys_with(lambda terminal: _is_plus(platform, terminal, with_ground))
    for load in platform.loads:
        if load.name in platform.doubted:
            continue
        wired = wired_pins(platform, load.name)
        for pin, role in load.roles.items():
            role = _BY_NAME.get(pin, role)
            if (pin in load.assumed_roles and pin not in _BY_NAME) or pin not in wired:
                continue
            if role not in ("supply", "ground"):
                continue
            terminal = Terminal(load.name, pin)
            if nets.key(terminal) in (with_ground if role == "supply" else with_plus):
                others = [end for wire in wired[pin] for end in (wire.a, wire.b) if end != terminal]
                next_to_it = any(
                    _is_ground(platform, end) if role == "supply" else _is_plus(platform, end, with_ground)
                    for end in others
                )
                wrong.setdefault(nets.key(terminal), []).append((not next_to_it, load, pin, role))
    wires_of: dict[Terminal, list[Wire]] = {}
    for wire in platform.wires if wrong else ():
        if wire.kind != "chart":
            wires_of.setdefault(nets.key(wire.a), []).append(wire)
    for net, pins in wrong.items():
        names = tuple(its[1].name for its in pins)
        plus, ground = _ends_of_net(platform, net, with_ground)
        wires = wires_of.get(net, ())
        cuts = cuts_between(wires, plus, ground)
        lines = {cut.wire.spans[0].line for cut in cuts}
        at_a_pin = any(isinstance(platform.parts[end.part], Load) for cut in cuts for end in (cut.wire.a, cut.wire.b))
        if len(lines) == 1 or (cuts and not at_a_pin):
            yield names, _at_the_cut(platform, cuts, plus, ground)
            continue
        _, load, pin, declared = min(pins, key=lambda its: (its[0], its[1].name, its[2]))
        yield (
            names,
            Problem(
                "pin-wrong-way-round",
                Severity.ERROR,
                f"{load.name}.{pin} is {_said(pin, declared)} and wired to "
                f"{'ground' if declared == 'supply' else 'plus'}.",
                max(span for wire in wired_pins(platform, load.name)[pin] for span in wire.spans),
                related=tuple(Related(cut.wire.spans[0], "or here plus and ground are joined") for cut in cuts[:2]),
            ),
        )


def _ends_of_net(
    platform: Platform, net: Terminal, with_ground: set[Terminal]
) -> tuple[list[Terminal], list[Terminal]]:
    """What in a net is certainly plus, and what certainly ground."""
    plus, ground = [], []
    for terminal in platform.nets.of(net):
        part = platform.parts[terminal.part]
        role: Role = ""
        if isinstance(part, Load) and (terminal.pin in _BY_NAME or terminal.pin not in part.assumed_roles):
            role = _BY_NAME.get(terminal.pin) or part.roles.get(terminal.pin, "")
        if role == "supply" or _is_plus(platform, terminal, with_ground):
            plus.append(terminal)
        elif role == "ground" or _is_ground(platform, terminal):
            ground.append(terminal)
    return plus, ground


def _at_the_cut(
    platform: Platform, cuts: Sequence[Cut], plus: Sequence[Terminal], ground: Sequence[Terminal]
) -> Problem:
    """The wires in one line that join plus and ground. Where such a wire ends at a declared pin, the slip may equally
    be in the declaration."""
    cut = cuts[0]
    here = [its.wire.spans[0] for its in cuts if its.wire.spans[0].line == cut.wire.spans[0].line]
    span = min(here).to(max(here))
    sides = ((cut.plus_end, "supply", "ground"), (cut.ground_end, "ground", "plus"))
    for end, declared, other in sides if len(plus) <= len(ground) else sides[::-1]:  # the side with less is wrong
        if isinstance(platform.parts[end.part], Load) and end in (*plus, *ground):
            headline = f"{end} is {_said(end.pin, declared)} and wired to {other}."
            return Problem("pin-wrong-way-round", Severity.ERROR, headline, span)
    fed = next((end for end in plus if end.part == cut.plus_end.part), plus[0])
    grounded = next((end for end in ground if end.part == cut.ground_end.part), ground[0])
    headline = f"Plus and ground are joined here: {fed} and {grounded}."
    or_here = tuple(its.wire.spans[0] for its in cuts if its.wire.spans[0].line != cut.wire.spans[0].line)
    return Problem(
        "plus-to-ground", Severity.ERROR, headline, span,
        related=tuple(Related(place, "or here plus and ground are joined") for place in or_here[:2]),
    )  # fmt: skip


def _said(pin: str, role: str) -> str:
    return f"a {'plus' if pin == '+' else 'minus'} terminal" if pin in _BY_NAME else f"declared as {role}"


def _is_ground(platform: Platform, terminal: Terminal) -> bool:
    part = platform.parts[terminal.part]
    return isinstance(part, Ground) or (isinstance(part, Battery) and terminal.pin == "-")


_MOST_IN_A_ROW = 12
"""Fuses one behind another in a ground wire that are followed (judgement: no vehicle has three)."""


def _is_plus(platform: Platform, terminal: Terminal, with_ground: set[Terminal]) -> bool:
    """A battery's plus, or a fuse that is not in a ground wire: beyond it, and other such fuses, there is no ground."""
    part = platform.parts[terminal.part]
    if isinstance(part, Battery):
        return terminal.pin == "+"
    seen: set[str] = set()
    while isinstance(part, Fuse) and part.name not in seen and len(seen) < _MOST_IN_A_ROW:
        seen.add(part.name)
        beyond = Terminal(part.name, FIRST if terminal.pin == SECOND else SECOND)
        if platform.nets.key(beyond) in with_ground:
            return False
        fuses = [
            end
            for end in platform.nets.of(beyond)
            if end.part not in seen and isinstance(platform.parts[end.part], Fuse)
        ]
        if len(fuses) != 1:
            return True
        terminal = fuses[0]
        part = platform.parts[terminal.part]
    return bool(seen)
