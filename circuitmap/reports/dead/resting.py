"""What an answer about dead loads rests on that nobody knows: the same sentences for text and data."""

import math
from collections.abc import Iterator

from circuitmap.dead.dead_loads import DeadLoads
from circuitmap.power.functions import levels_of_functions
from circuitmap.reports.dead.handing_over import not_touched_told
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Output


def dead_rests_on(its: DeadLoads) -> list[str]:
    """Grounds and wires not typed in, outputs taken as on, what was not tried."""
    powered = its.watched.main
    levels = powered.derived(levels_of_functions)
    told = []
    names = [one.told.name for one in its.watched.items]
    grounds = [name for name in names if name in powered.loads and powered.loads[name].ground_assumed]
    if grounds:
        told.append(f"The ground of {joined(grounds)}: not typed in, so it counts as sound and is not among the rows.")
    perhaps = [
        one.told.name
        for one in its.watched.items
        if not one.told.works and one.state == 0 and 0 < levels[one.function] < 2
    ]
    if perhaps:
        told.append(f"That {joined(perhaps)} should work in this state: a module, or equipment, decides it.")
    told += not_touched_told(its) if its.steps else []  # else it stands in the place of the next step
    told += [_asked_for(its, output) for output in dict.fromkeys(_outputs(its))]
    latching = sorted(
        {its.circuit.links[i].part for one, _ in its.suspects for i in one.links if _is_latching(its, i)}
    )  # fmt: skip
    if latching:
        told.append(
            f"That {joined(latching)} was set: a latching relay stays as it was left. If it did not throw over, ask "
            f"for its coils: circuitmap dead PLATFORM {latching[0]}."
        )
    charts = sorted(
        {one.name for one, _ in its.suspects if one.kind == "wire" and _is_chart(its, one.links[0])}
    )  # fmt: skip
    if charts:
        told.append(f"Known from a fuse chart only: {shortened(charts, 4)}.")
    if its.found.cut_off:
        told.append("Not everything was interrupted one after another (cut off).")
    told.append("How often each kind of thing is interrupted: judgement; so the chances rank, they do not measure.")
    return told


def _outputs(its: DeadLoads) -> Iterator[Output]:
    """Outputs among the suspects that a module puts on when it sees fit, or for a while only."""
    for one, _ in its.suspects:
        output = its.circuit.links[one.links[0]].output if one.kind == "output" else None
        if output is not None and (output.when == "request" or output.lasts is not None):
            yield output


def _asked_for(its: DeadLoads, output: Output) -> str:
    """`BCM.C14 grounds only when BCM wants it, for 12 min at most ("..."): ask for it right before each probe.`"""
    lasts = output.lasts
    for_ = "" if lasts is None or math.isinf(lasts.high) else f", for {lasts.high:g} min at most"
    said = f' ("{output.description}")' if output.description else ""
    when = f"only when {output.module} wants it" if output.when == "request" else "at times only"
    return f"{output.contact} {output.action} {when}{for_}{said}: ask for it again right before each probe."


def _is_chart(its: DeadLoads, link: int) -> bool:
    wire = its.circuit.links[link].wire
    return wire is not None and wire.kind == "chart"


def _is_latching(its: DeadLoads, link: int) -> bool:
    part = its.circuit.platform.parts.get(its.circuit.links[link].part)
    return isinstance(part, Switch) and bool(part.coils)
