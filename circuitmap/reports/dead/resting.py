"""What an answer about dead loads rests on that nobody knows: the same sentences for text and data."""

from circuitmap.dead.dead_loads import DeadLoads
from circuitmap.reports.words.paragraphs import joined, shortened


def dead_rests_on(its: DeadLoads) -> list[str]:
    """Grounds and wires not typed in, outputs taken as on, what was not tried."""
    powered = its.state.powered
    plan = powered.plan
    told = []
    watched = (*its.complaint.dead, *its.complaint.works)
    grounds = [name for name in watched if powered.loads[name].ground_assumed]
    if grounds:
        told.append(f"The ground of {joined(grounds)}: not typed in, so it counts as sound and is not among the rows.")
    perhaps = [name for name in its.complaint.dead if 0 < powered.draws[plan.loads.index(name)] < 2]
    if perhaps:
        told.append(f"That {joined(perhaps)} should work in this state: a module, or equipment, decides it.")
    charts = sorted(
        {one.name for one, _ in its.suspects if one.kind == "wire" and _is_chart(its, one.links[0])}
    )  # fmt: skip
    if charts:
        told.append(f"Known from a fuse chart only: {shortened(charts, 4)}.")
    if its.found.cut_off:
        told.append("Not everything was interrupted one after another (cut off).")
    told.append("How often each kind of thing is interrupted: judgement; so the chances rank, they do not measure.")
    return told


def _is_chart(its: DeadLoads, link: int) -> bool:
    wire = its.state.powered.circuit.links[link].wire
    return wire is not None and wire.kind == "chart"
