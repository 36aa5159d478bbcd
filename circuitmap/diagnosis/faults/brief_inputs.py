"""Inputs that keep their module awake for some minutes only, by the sheet: what they do to a draw, and for how long."""

from math import isfinite

from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.quantities import Band
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform


def wakes_for_a_time(module: Load, pin: str) -> bool:
    """Whether a sheet says that what comes to a wake pin keeps the module awake for some minutes only."""
    lasts = module.lasts.get(pin)
    return lasts is not None and isfinite(lasts.high)


def brief_pins(platform: Platform, fault: Fault) -> tuple[str, ...]:
    """The pins of its module, by their full names, at which a wrong input or plus on its wire comes in, if all of them
    wake for some minutes only; else none."""
    module = platform.parts.get(fault.module)
    if fault.kind not in ("wrong-input", "chafed") or not isinstance(module, Load):
        return ()
    its = [name for name in fault.others if name.startswith(f"{module.name}.")]
    return tuple(its) if all(wakes_for_a_time(module, name[len(module.name) + 1 :]) for name in its) else ()


def awake_by_it(platform: Platform, fault: Fault) -> Band | None:
    """How many minutes its module, and whoever that keeps awake, is awake each time that such an input comes: what the
    sheet says of the pin, and the networks' run-on; None where it is none, or stays."""
    pins, module = brief_pins(platform, fault), platform.parts.get(fault.module)
    if not pins or not isinstance(module, Load):
        return None
    lasts = [module.lasts[name[len(module.name) + 1 :]] for name in pins]
    run_on = [
        its for n in platform.networks_of.get(module.name, ()) if (its := platform.networks[n].run_on) is not None
    ]
    more = max((its.high for its in run_on), default=0.0)
    return Band(min(its.low for its in lasts), max(its.high for its in lasts) + more)
