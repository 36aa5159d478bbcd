"""A load has a supply and a ground."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.one_sided import Missing, told
from circuitmap.wiring.checks.switching import wired_pins
from circuitmap.wiring.parts import ANY_PIN, Battery, Fuse, Ground, Load, Terminal
from circuitmap.wiring.platform import Platform

# An alternator or starter is grounded by what it is bolted to, a sensor is fed by the module that reads it.
_OTHERWISE = ("alternator", "starter", "charger", "sensor")


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
    return load.name in stated or ANY_PIN in wired or any(pin in wired for pin in load.pins_with("supply"))


def pins_the_wrong_way_round(platform: Platform) -> Iterator[tuple[tuple[str, ...], Problem]]:
    """A pin that was declared a supply and is wired to ground, or a ground wired to a plus: one problem for all that is
    joined there, and the loads that it puts in doubt."""
    wrong: dict[Terminal, list[tuple[bool, Load, str, str]]] = {}
    nets = platform.nets
    with_ground = nets.keys_with(lambda terminal: _is_ground(platform, terminal))
    with_plus = nets.keys_with(lambda terminal: _is_plus(platform, terminal))
    for load in platform.loads:
        if load.name in platform.doubted:
            continue
        wired = wired_pins(platform, load.name)
        for pin, role in load.roles.items():
            if pin in load.assumed_roles or role not in ("supply", "ground") or pin not in wired:
                continue
            terminal = Terminal(load.name, pin)
            if nets.key(terminal) in (with_ground if role == "supply" else with_plus):
                is_wrong = _is_ground if role == "supply" else _is_plus
                next_to_it = any(
                    is_wrong(platform, end) for wire in wired[pin] for end in (wire.a, wire.b) if end != terminal
                )
                wrong.setdefault(nets.key(terminal), []).append((not next_to_it, load, pin, role))
    for pins in wrong.values():
        _, load, pin, declared = min(pins, key=lambda its: (its[0], its[1].name, its[2]))
        yield (
            tuple(its[1].name for its in pins),
            Problem(
                "pin-wrong-way-round",
                Severity.ERROR,
                f"{load.name}.{pin} is declared as {declared} and wired to "
                f"{'ground' if declared == 'supply' else 'plus'}.",
                max(span for wire in wired_pins(platform, load.name)[pin] for span in wire.spans),
            ),
        )


def _is_ground(platform: Platform, terminal: Terminal) -> bool:
    part = platform.parts[terminal.part]
    return isinstance(part, Ground) or (isinstance(part, Battery) and terminal.pin == "-")


def _is_plus(platform: Platform, terminal: Terminal) -> bool:
    part = platform.parts[terminal.part]
    return isinstance(part, Fuse) or (isinstance(part, Battery) and terminal.pin == "+")
