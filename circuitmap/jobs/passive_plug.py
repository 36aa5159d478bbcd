"""A plug that parts nothing by which a module is fed, told something or talks: out, it makes no module take more."""

from collections.abc import Collection, Iterable
from dataclasses import replace

from circuitmap.circuit.links import Circuit
from circuitmap.jobs.trying import TryVerdict
from circuitmap.wiring.parts import Load, Terminal


def cleared_while_up(circuit: Circuit, tries: Iterable[TryVerdict]) -> tuple[TryVerdict, ...]:
    """The same verdicts; what comes and goes was up before, and up higher without such a plug: it does without it."""
    return tuple(
        replace(one, verdict="cleared", reason="")
        if one.reason == "rose-asleep" and _was_up_each_time(one) and is_passive(circuit, one.out)
        else one
        for one in tries
    )


def _was_up_each_time(one: TryVerdict) -> bool:
    return one.before is not None and one.before.during == one.after.during == "event"


def is_passive(circuit: Circuit, out: Collection[str]) -> bool:
    """Whether all that is out are plugs in whose wires no module ends but with what it turns on."""
    parts = circuit.platform.parts
    plugs = [parts[name] for name in out if name in parts and parts[name].kind == "connector"]
    if not plugs or len(plugs) < len(out):
        return False
    outputs = {end for link in circuit.links if link.kind == "output" for end in (link.a, link.b)}
    ends = {
        end
        for plug in plugs
        for cavity in circuit.terminals_of.get(plug.name, ())
        for end in circuit.platform.nets.of(cavity)
    }
    return not any(_is_of_a_module(circuit, end) and end not in outputs for end in ends)


def _is_of_a_module(circuit: Circuit, end: Terminal) -> bool:
    part = circuit.platform.parts.get(end.part)
    return isinstance(part, Load) and part.kind == "module"
