"""The simulator by hand: a vehicle small enough to add up in the head."""

from random import Random

import pytest

from tests.benchmarks.diagnosis.simulator import Meter, Truth, Wrong, something_wrong
from tests.benchmarks.diagnosis.vehicles import Fuse, Lamp, Module, Relay, Vehicle, made_up

FUSES = (Fuse("B0.F0", 10, "mini", 0), Fuse("B0.F1", 10, "mini", 0), Fuse("B0.R0", 20, "regular", 0, switched=True))
VEHICLE = Vehicle(
    1, FUSES,
    (
        Module("M0", ("B0.F0", "B0.F1"), (0,), 0.001, 0.1, True, 2.0),
        Module("M1", ("B0.F1",), (0,), 0.002, 0.2, True, 2.0, inputs=("SW1_0", "SW1_1")),
    ),
    (Lamp("L0", "B0.F0", "LSW0", 0.4),),
    (Relay("B0.K0", "B0.F1", "B0.F0", "B0.R0", "H0", 2.0, "M0"),),
    1, "", (), fuse_named={fuse.name: fuse for fuse in FUSES},
)  # fmt: skip


def truth(*wrongs: Wrong) -> Truth:
    its = Truth(VEHICLE, wrongs, Random(1))
    its.awake = {"M0": 0.1, "M1": 0.2}
    its.asleep = {"M0": 0.001, "M1": 0.002}
    its.split["M0"] = 0.6
    its.running = {"L0": 0.4, "H0": 2.0}
    return its


def test_a_sound_vehicle_draws_what_its_modules_take_asleep() -> None:
    assert truth().flowing()["BAT"] == pytest.approx(0.003)


def test_one_member_keeps_all_awake_and_one_fuse_alone_does_not_end_it() -> None:
    its = truth(Wrong("keeps-awake", "M0", "M0", 0))
    assert its.flowing()["B0.F0"] == pytest.approx(0.06)
    assert its.flowing()["B0.F1"] == pytest.approx(0.04 + 0.2)
    assert its.flowing(frozenset({"B0.F0"}))["BAT"] == pytest.approx(0.3)
    assert its.flowing(frozenset({"M0"}))["BAT"] == pytest.approx(0.002)


def test_relays_lamps_and_own_currents() -> None:
    assert truth(Wrong("contact", "B0.K0")).flowing()["B0.F0"] == pytest.approx(2.0006)
    held = truth(Wrong("coil", "control wire of B0.K0", fuse="B0.K0", current=0.14))
    assert held.flowing()["B0.F1"] == pytest.approx(0.0004 + 0.002 + 0.14)
    assert held.flowing(frozenset({"B0.F1"}))["B0.R0"] == 0.0
    assert truth(Wrong("lamp", "LSW0")).flowing(frozenset({"L0"}))["BAT"] == pytest.approx(0.003)
    assert truth(Wrong("unfused", "ALT", current=0.5)).flowing()["MAIN0"] == pytest.approx(0.003)


def test_a_stuck_switch_or_output_lets_go_with_its_plug_or_pin_out_and_a_wire_that_touches_does_not() -> None:
    woken = Wrong("wrong-input", "SW1_0", "M1")
    all_up = truth(woken).flowing()["BAT"]
    assert all_up == pytest.approx(0.3)
    for out in ("SW1_0", "M1.S0"):
        assert truth(woken).flowing(frozenset({out}))["BAT"] == pytest.approx(0.003)
    assert truth(woken).flowing(frozenset({"SW1_1", "M1.S1"}))["BAT"] == pytest.approx(all_up)
    inside = Wrong("wrong-input", "M0", "M0")
    assert truth(inside).flowing(frozenset({"M0.S0"}))["BAT"] == pytest.approx(all_up)
    driven = Wrong("output", "M0", "M0", fuse="B0.K0", current=0.14)
    assert truth(driven).flowing()["B0.R0"] == pytest.approx(2.0)
    assert truth(driven).flowing(frozenset({"M0.C9"}))["BAT"] == pytest.approx(0.003)
    held = Wrong("coil", "control wire of B0.K0", fuse="B0.K0", current=0.14)
    assert truth(held).flowing(frozenset({"M0.C9"}))["B0.R0"] == pytest.approx(2.0)


def test_displays_round_and_zeros_stay() -> None:
    meter = Meter(Random(3), "series", 0.01, misreads=0.0)
    assert meter.amps(0.5)[:3] in ("0.4", "0.5")
    clamp = Meter(Random(4), "clamp", 0.01, misreads=0.0)
    shown = [float(clamp.amps(0.0).removesuffix("A")) for _ in range(5)]
    assert len(set(shown)) == 1


@pytest.mark.parametrize("seed", range(20))
def test_every_fault_shows_somewhere(seed: int) -> None:
    vehicle = made_up(seed, 24, 14, 2)
    wrong = something_wrong(vehicle, Random(seed))
    sound, faulty = Truth(vehicle, (), Random(seed)), Truth(vehicle, (wrong,), Random(seed))
    assert faulty.flowing()["BAT"] > sound.flowing()["BAT"]
