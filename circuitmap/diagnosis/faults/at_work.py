"""A module that is not only awake but at work: a heater that heats, by its own doing or because an input of its own
tells it to. Told where the sheet says what it takes then."""

from collections.abc import Iterable
from dataclasses import replace

from circuitmap.diagnosis.car.currents import drawn_by_pin, drawn_running, on_each_pin
from circuitmap.diagnosis.car.picture import Flow, moments
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.wiring.parts import Load, Part

OWN_SWITCHES = ("thermostat", "float switch", "pressure switch")
"""What switches a load from inside (common practice, no source)."""


def may_work(fault: Fault, module: Part | None) -> bool:
    """Whether the module that a fault keeps awake may be at work as well, and takes more then by what is typed in; or a
    load that switches itself runs by its own switch."""
    if fault.kind == "by-itself" and switches_itself(module):
        return True
    if not isinstance(module, Load) or module.kind != "module" or module.running is None:
        return False
    if fault.of or fault.half_awake:
        return False
    if fault.kind not in ("keeps-awake", "wrong-input", "chafed", "by-itself") or fault.module != module.name:
        return False
    more = module.awake is None or module.running.high > module.awake.high
    return more and any(_is_its(flow, module.name) for flow in fault.brings)


def switches_itself(part: Part | None) -> bool:
    """Whether a load has a switch of its own inside, by its description, and it is typed in what it takes."""
    if not isinstance(part, Load) or part.kind == "module" or part.running is None:
        return False
    return any(word in part.description.lower() for word in OWN_SWITCHES)


def working(fault: Fault, module: Part) -> Fault:
    """The same fault with its module at work."""
    return replace(fault, works=True, brings=taking_more(fault.brings, module))


def taking_more(flows: Iterable[Flow], module: Part) -> tuple[Flow, ...]:
    """Currents in which a module takes what it takes at work instead of what it takes awake."""
    return tuple(_running(flow, module) if _is_its(flow, module.name) else flow for flow in flows)


def _is_its(flow: Flow, module: str) -> bool:
    return flow.owner == module and flow.key.taken in ("awake", "own")


def _running(flow: Flow, module: Part) -> Flow:
    whole = drawn_running(module)
    if whole is None:
        return flow
    of_pin = drawn_by_pin(module, "running").get(flow.key.pin)
    mean, variance = moments(of_pin or on_each_pin(whole.spread, flow.pins))
    key = flow.key._replace(taken="running")
    return flow._replace(key=key, mean=mean, variance=variance, whole=moments(whole.spread), assumed=whole.assumed)
