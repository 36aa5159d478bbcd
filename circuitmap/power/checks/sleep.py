"""Modules that cannot go to sleep, and loads that nothing turns off."""

from collections.abc import Iterator

from circuitmap.circuit.links import Circuit
from circuitmap.power.checks.places import first_wire, listed, severity_by_sheets, wires_at
from circuitmap.power.evaluate import evaluate
from circuitmap.power.possible import Possible
from circuitmap.power.state import PARKED
from circuitmap.problems import Problem, Severity
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import WORKS_EITHER_WAY, Terminal, WakesBy


def wake_pins_always_live(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """A wake pin that is live when parked keeps its module awake, and every network that it is on."""
    parked = evaluate(circuit, PARKED)
    live: dict[tuple[int, WakesBy], list[Terminal]] = {}
    for sleeper in could_be.plan.sleepers:
        for pin in sleeper.wake_pins:
            terminal = circuit.nodes[pin.node]
            wakes = parked.run.pin_wakes(pin, parked.settled.reach) == Answer.YES
            if wakes and parked.awake.get(sleeper.name) == Answer.YES and pin.by != "opening":
                live.setdefault((could_be.nets.net_of[pin.node], pin.by), []).append(terminal)
    for (_, by), pins in live.items():
        span = first_wire(circuit, pins)
        if span is None or {pin.part for pin in pins} & circuit.platform.doubted:
            continue
        networks = dict.fromkeys(its for pin in pins for its in circuit.platform.networks_of.get(pin.part, ()))
        kept = f", and with it {listed(networks)}" if networks else ""
        many = len(pins) > 1
        are = f"{'are' if many else 'is'} {'live' if by == 'plus' else 'at ground'}"
        yield Problem(
            "wake-pin-always-live",
            Severity.WARNING,
            f"The wake pin{'s' if many else ''} {listed(map(str, pins))} {are} when parked: "
            f"{listed(pin.part for pin in pins)} never {'sleep' if many else 'sleeps'}{kept}.",
            span,
        )


def loads_always_on(circuit: Circuit, could_be: Possible) -> Iterator[Problem]:
    """Lamps, motors, heaters, solenoids and horns that run as long as the battery is connected."""
    parked = evaluate(circuit, PARKED)
    for name, power in parked.loads.items():
        part = circuit.platform.parts[name]
        if part.kind not in WORKS_EITHER_WAY or power.draws != Answer.YES or name in circuit.platform.doubted:
            continue
        pins = circuit.terminals_of.get(name, ())
        span = first_wire(circuit, pins)
        if span is not None:
            yield Problem(
                "load-always-on",
                severity_by_sheets(circuit, wires_at(circuit, pins)),
                f"{name} ({part.kind}) is on even when parked: nothing on its feed or ground switches it.",
                span,
            )
