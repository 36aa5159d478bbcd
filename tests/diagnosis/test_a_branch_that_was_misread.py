"""A reading that hardly can be right under an explanation is a slip under it, and says nothing of the place above.

The law is restated from `test_a_zero_that_must_be_a_slip.py`, the other way round: there a branch shows nothing where
something must flow, here it shows far more than an explanation brings to it.
"""

import numpy as np
import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.weighing.reading_chance import MISREAD, Strip, chance_of, chance_of_slip
from circuitmap.diagnosis.weighing.sightings import Brought, CurrentSighting, MisreadBranch, ReadBehind
from circuitmap.diagnosis.weighing.tables import tables_of
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from tests.wiring.written import platform_from

PLATFORM = platform_from(
    """\
platform "Dotterel" supply 12V return body sleep 10min limit 40mA
battery BAT 70Ah
fuse F1 10A mini, F2 20A mini, F3 10A mini, F4 10A mini
relay K "heater relay" make
motor H "pipe heater" running 1A
lamp L running 0.4A
switch S "heater switch" positions off, on closes 1 to case in on
module M supply 1 ground 2 asleep 1mA awake 300mA
BAT.- -> case
BAT.+ -> F1 -> K.86
K.85 -> S.1
BAT.+ -> F2 -> K.30
K.87 -> H.1
BAT.+ -> F3 -> M.1
BAT.+ -> F4 -> L.1
H.2, L.2, M.2 -> case
"""
)


def odds_of_kinds(total: float, *words: str) -> dict[str, float]:
    """How likely each kind of fault about the relay is."""
    readings = tuple(
        written_reading(PLATFORM, word, meter_named("clamp"), total=total) for word in (f"BAT={total}A", *words)
    )
    found: dict[str, float] = {}
    for part in diagnose(circuit_of(PLATFORM), Evidence(readings=readings)).parts:
        for fault in part.faults[:1]:
            if fault.about == "K" and fault.part != "S":  # a stuck switch holds the relay as the wire does
                found[fault.kind] = max(found.get(fault.kind, 0.0), part.probability)
    return found


@pytest.mark.parametrize("misread", ["F1=1.43A", "F1=2.60A", "F1=1.30A"])
def test_a_coil_fuse_read_ten_times_too_high_does_not_acquit_what_holds_the_relay(misread: str) -> None:
    """The coil takes its tenth or two of an ampere; what was read at its fuse is more than the total."""
    without = odds_of_kinds(1.27, "F2=1.02A", "F3=0.00A", "F4=0.00A")
    found = odds_of_kinds(1.27, "F2=1.02A", "F3=0.00A", "F4=0.00A", misread)
    assert found["coil"] / found["contact"] == pytest.approx(without["coil"] / without["contact"], rel=0.3)


def test_a_coil_fuse_that_can_be_right_still_tells_them_apart() -> None:
    found = odds_of_kinds(1.17, "F2=1.02A", "F3=0.00A", "F4=0.00A", "F1=0.15A")
    assert found.get("contact", 0.0) < 0.1 * found["coil"]


@pytest.mark.parametrize("seed", range(40))
def test_a_slip_below_is_weighed_as_listed_the_long_way(seed: int) -> None:
    """For one fault: the branch is taken off or, where it is a slip, it is not, and what the fault brings flows here."""
    rng = np.random.default_rng(seed)
    branch = ReadBehind(float(rng.uniform(0.2, 2.0)), 0.005, 0.02, 0.0, 0.003, 1e-6)
    total = float(rng.uniform(0.5, 2.0))
    beside = Brought("beside", float(rng.uniform(0.05, 0.8)), 0.04)
    through = Brought("through", float(rng.uniform(0.05, 0.8)), 0.04)
    slip = MisreadBranch(0, round(float(rng.uniform(0.0, 1.0)), 2), (beside, through))
    sighting = CurrentSighting(
        "BAT", Strip(total - 0.005, total + 0.005, 0.0, 0.05), 0.01, 1e-5, {0: (beside,)}, branches=(branch,),
        taken={0: 1}, slips={0: slip},
    )  # fmt: skip
    plain = CurrentSighting(
        "BAT", sighting.strip, 0.01, 1e-5, {0: (beside,)}, branches=(branch,), taken={0: 1}
    )  # fmt: skip
    [table] = tables_of((sighting,), 1)
    [taken_off] = tables_of((plain,), 1)
    mean, variance = 0.01 + 0.003 + beside.mean + through.mean, 1e-5 + 1e-6 + 0.08
    whole = float(chance_of(sighting.strip, np.array([mean]), np.array([variance]))[0])
    left = (1.0 - MISREAD) * whole + chance_of_slip(sighting.strip, MISREAD, 0.0)
    right = float(np.exp(taken_off.log_chance[taken_off.columns[0], 0]))
    expected = (1.0 - slip.chance) * right + slip.chance * left
    assert float(np.exp(table.log_chance[table.columns[0], 0])) == pytest.approx(expected, rel=1e-6)
