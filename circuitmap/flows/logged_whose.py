"""The flow from a recorder's night and a platform, or a job's card, to whose its events may be."""

from pathlib import Path
from typing import NamedTuple

from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.whose import Whose, whose_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.failures import WrongUse
from circuitmap.flows.diagnosis import open_for
from circuitmap.flows.job import open_job
from circuitmap.flows.logged import LoggedFile
from circuitmap.flows.logged_line import logged_night
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.platform import Platform


class LoggedVehicle(NamedTuple):
    """The vehicle that was logged: its platform, equipment, what its card says, and its battery if that is known."""

    platform: Platform
    fitting: Fitting
    evidence: Evidence
    battery: ParkedBattery | None = None


def logged_vehicle(
    folder: Path | None, card: Path | None, fitted: tuple[str, ...], absent: tuple[str, ...]
) -> LoggedVehicle:
    """By a card, or by a platform and its equipment. Raises WrongUse for equipment without a platform."""
    if card is not None:
        job = open_job(card, folder)
        return LoggedVehicle(job.platform, job.evidence.options, job.evidence, job.intake.battery)
    if folder is None:
        raise WrongUse("The equipment of which vehicle?", "Name its platform: --platform sample_vehicles/van.")
    bench, parts = open_for(folder, fitted, absent)
    return LoggedVehicle(bench.platform, bench.fitting, Evidence(absent=parts))


def whose_events(vehicle: LoggedVehicle, log: LoggedFile) -> tuple[Whose, ...]:
    """Whose each kind of event may be, in the order in which the card would keep them; none where the log is too short
    to say anything of them."""
    if log.night is None or log.night.floor is None:
        return ()
    circuit = circuit_of(vehicle.platform)
    ready = prepared_for(circuit, vehicle.fitting, vehicle.evidence)
    return whose_of(vehicle.platform, ready.faults, logged_night("", "", log))
