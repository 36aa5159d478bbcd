"""Volts for a job: those to expect at a point of its car, with what its card says of the state and of what was read."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from circuitmap.failures import WrongUse
from circuitmap.flows.dead import said_on
from circuitmap.flows.questions import Bench, bench_with
from circuitmap.flows.volts import volts_at
from circuitmap.jobs.job import Job

if TYPE_CHECKING:
    from circuitmap.drawings.scene.scene import Scene
    from circuitmap.power.state import VehicleState
    from circuitmap.volts.answer import VoltsThere
    from circuitmap.wiring.parts import Terminal


def bench_of(job: Job) -> Bench:
    """The platform of a job for its car."""
    return bench_with(job.circuit, job.evidence.options)


def volts_on(job: Job, point: str, key: str = "", saw: "Mapping[Terminal, float] | None" = None) -> "VoltsThere":
    """The volts at a point while what is dead is switched on, if its current would pass there; else while what the
    point feeds is. `key` is a position of the key; empty: as the card says, or whatever lets it run; `saw` is
    what was read, if not what the card says of the vehicle as it is now. Raises WrongUse for a point that does not
    exist."""
    bench = bench_of(job)
    said = _said(job, key)
    read = _readings(job, job.dead.probed if saw is None else saw)
    dead = [one.name for one in job.dead.complaint.dead]
    if dead:
        there = volts_at(bench, said, point, dead, read)
        if there.untouchable is not None or (there.expected is not None and there.expected.flows):
            return there
    return volts_at(bench, said, point, (), read)


def scene_of_dead(job: Job) -> "Scene | None":
    """The way of the current of what is dead, with its volts, read as it came in; None where none would flow."""
    from circuitmap.flows.volts_drawn import scene_with_volts
    from circuitmap.power.functions import function_named

    found = (function_named(job.circuit, one.name) for one in job.dead.complaint.dead)
    proven = job.dead.shown.name if job.dead.shown is not None else ""
    for function in found:
        for pin in function.supplies if function is not None else ():
            try:
                there = volts_on(job, str(pin), saw=job.dead.complaint.probed)
            except WrongUse:
                continue
            scene = scene_with_volts(bench_of(job), there, proven)
            if scene is not None:
                return scene
    return None


def _said(job: Job, key: str) -> "VehicleState":
    from circuitmap.dead.watched import said_of_all
    from circuitmap.power.state import keys_of
    from circuitmap.power.state_for import changed

    said = changed(job.circuit, said_on(job), said_of_all(job.dead.complaint.told))
    if not key:
        return said
    known = [position for its in keys_of(job.platform) for position in its.positions]
    if key not in known:
        raise WrongUse(f"The key has no position {key}.")
    return replace(said, key=key)


def _readings(job: Job, saw: "Mapping[Terminal, float]") -> Sequence[str]:
    """What a probe showed, as it is typed; not where nobody may probe."""
    touchable = job.circuit.hands_off.may_probe
    return [f"{point}={volts:g}V" for point, volts in saw.items() if touchable(str(point))]
