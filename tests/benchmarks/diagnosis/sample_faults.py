"""The three sample vehicles with faults put in, one after the other.

Which currents a fault sets flowing is the circuit's affair; how large they are is drawn here, and what the meter shows
of them. No probability is asked for.
"""

from functools import cache
from math import exp, log1p
from pathlib import Path
from random import Random

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.car.picture import Flow
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.prepared import Prepared, prepared_for
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.fuse_drop import cold_resistance
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.parts import Fuse

SAMPLES = Path(__file__).parents[3] / "sample_vehicles"
NAMES = ("truck", "van", "motorhome")


@cache
def ready(name: str) -> tuple[Circuit, Prepared]:
    circuit = circuit_of(open_platform(SAMPLES / name))
    return circuit, prepared_for(circuit, {}, Evidence())


def sample_cases(quick: bool) -> list[list[str]]:
    """Rows of the table: name, cases, first, in three, first line right."""
    rows = []
    for name in NAMES:
        circuit, its = ready(name)
        random = Random(f"samples {name}")
        candidates = [fault for fault in its.faults if fault.brings and not fault.perhaps]
        first = three = subject = cases = 0
        for _ in range(12 if quick else 80):
            fault = random.choices(candidates, [fault.odds for fault in candidates])[0]
            diagnosis = diagnose(circuit, evidence_with(circuit, its, fault, random))
            place = next(
                (n for n, row in enumerate(diagnosis.rows, 1)
                 if any(len(m) == 1 and m[0].identity == fault.identity for m in row.faults)), None
            )  # fmt: skip
            cases += 1
            first += place == 1
            three += place is not None and place <= 3
            subject += diagnosis.subjects[0].about == fault.about
        rows.append([name, str(cases), *(f"{100 * part / cases:.0f} %" for part in (first, three, subject))])
    return rows


def evidence_with(circuit: Circuit, its: Prepared, fault: Fault, random: Random) -> Evidence:
    """Every fuse: in millivolts where the cold resistance is published, else its cable with a low-current clamp; the
    batteries with a clamp."""
    flowing: dict[str, float] = {}
    amount: dict[tuple[str, str], float] = {}
    for flow in (*its.parked.asleep.values(), *fault.brings):
        its_owner = (flow.owner, flow.key.taken)
        if its_owner not in amount:
            amount[its_owner] = drawn(flow, random)
        current = amount[its_owner] / flow.pins
        for place in dict.fromkeys(flow.way.places):
            flowing[place] = flowing.get(place, 0.0) + current
    platform = circuit.platform
    clamp, zero = meter_named("clamp"), random.gauss(0.0, 0.03)
    fine_clamp, fine_zero = meter_named("low-current-clamp"), random.gauss(0.0, 0.003)
    readings = []
    for part in platform.parts.values():
        if isinstance(part, Fuse) and not part.empty:
            resistance = cold_resistance(part.style, part.rating)
            true = flowing.get(part.name, 0.0)
            if resistance is not None:
                counts = round(true * resistance.milliohms * random.lognormvariate(0.0, 0.08) / 0.1)
                readings.append(written_reading(platform, f"{part.name}={counts * 0.1:.1f}mV", clamp))
            else:
                shown = max(true + fine_zero, 0.0)
                readings.append(written_reading(platform, f"{part.name}={shown:.3f}A", fine_clamp))
        elif part.kind == "battery":
            shown = max(flowing.get(part.name, 0.0) + zero, 0.0)
            readings.append(written_reading(platform, f"{part.name}={shown:.2f}A", clamp))
    return Evidence(readings=tuple(readings))


def drawn(flow: Flow, random: Random) -> float:
    """A current for this flow: somewhere about its middle, two thirds of the spread reckoned with."""
    mean, variance = flow.whole if flow.pins > 1 else (flow.mean, flow.variance)
    sigma_squared = max(0.02, _log_variance(mean, variance))
    middle = mean * exp(-sigma_squared / 2.0)
    return middle * random.lognormvariate(0.0, (sigma_squared**0.5) * 2.0 / 3.0)


def _log_variance(mean: float, variance: float) -> float:
    return log1p(variance / mean**2) if mean > 0.0 else 0.0
