"""How much flows through loads and coils in series: against Kirchhoff's laws, and what is said where it is not known."""

from random import Random

import numpy as np
import pytest

from circuitmap.power.carried import Carried, carried
from circuitmap.power.classes import classes_of
from circuitmap.power.evaluate import Powered
from circuitmap.power.series_currents import currents_in_series
from circuitmap.reports.live.live_text import live_text
from circuitmap.volts.net import ResistanceNet, net_of
from circuitmap.volts.operating import Solver, usual_values
from tests.power.vehicle import live, vehicle

HEAD = """
platform "In series" supply 24V
naming SP* splice, F* fuse, G* ground, L* lamp
battery BAT
BAT.- -> G1
BAT.+ -> F1 -> SP0
"""


def filament(share: float) -> float:
    """Amperes per volt of a lamp at a share of its volts: its current goes as the 0.55th power (memory), below a
    twentieth in proportion."""
    return float(max(share, 0.05) ** -0.45)


@pytest.mark.parametrize("kind", ["heater", "lamp"])
@pytest.mark.parametrize("seed", range(40))
def test_random_loads_obey_kirchhoff(seed: int, kind: str) -> None:
    """Loads between any of some splices, fed at one and grounded at another, by numpy on its own."""
    random = Random(seed)
    size = random.randint(3, 7)
    lamps = []
    for n in range(random.randint(size, 3 * size)):
        a, b = random.sample(range(size), 2)
        lamps.append((f"L{n}", a, b, random.randint(100, 3000)))
    text = "".join(f"{kind} {name} running {ma}mA\nSP{a} -> {name} -> SP{b}\n" for name, a, b, ma in lamps)
    powered = live(vehicle(HEAD + text + f"SP{size - 1} -> G1 in BK 4\n"))
    volts = np.full(size, 24.0)
    volts[1:] = 0.0
    for _ in range(200 if kind == "lamp" else 1):
        matrix, held = np.zeros((size, size)), np.zeros(size)
        for _, a, b, ma in lamps:
            siemens = ma / 1000 / 24 * (filament(abs(volts[a] - volts[b]) / 24) if kind == "lamp" else 1.0)
            matrix[a, a] += siemens
            matrix[b, b] += siemens
            matrix[a, b] -= siemens
            matrix[b, a] -= siemens
        for place, known in ((0, 24.0), (size - 1, 0.0)):
            matrix[place] = 0
            matrix[place, place], held[place] = 1.0, known
        if np.linalg.matrix_rank(matrix) < size:
            return  # a splice that no load joins to the others
        volts = np.linalg.solve(matrix, held)
    found = {its.name: its for its in currents_in_series(powered)}
    rated = {ma for *_, ma in lamps}
    for name, a, b, ma in lamps:
        share = abs(volts[a] - volts[b]) / 24
        amps = share * ma / 1000 * (filament(share) if kind == "lamp" else 1.0)
        if name in found and len(rated) > 1:
            assert found[name].amps == pytest.approx(amps, rel=1e-4, abs=1e-6)
            assert found[name].volts == pytest.approx(24 * share, rel=1e-4, abs=1e-4)
        elif {a, b} != {0, size - 1}:
            assert amps == pytest.approx(0, abs=1e-6) or len(rated) == 1


@pytest.mark.parametrize("seed", range(40))
def test_what_leaves_the_battery_comes_back(seed: int) -> None:
    random = Random(seed)
    text = "resistor RS\nBAT.- -> G2\nG1 -> RS -> G2\nground G2 wired\nground G1 wired\n"
    for n in range(random.randint(1, 4)):
        text += f"lamp L{n}A running {random.randint(1, 9)}W\nlamp L{n}B running {random.randint(1, 9)}W\n"
        text += f"SP0 -> L{n}A -> L{n}B -> G1\n"
    its = amounts(live(vehicle(HEAD.replace("BAT.- -> G1\n", "") + text)))
    back = pytest.approx(its["RS",].amps.low, rel=1e-4)
    assert its["F1",].amps.low == back and its["BAT",].amps.low == back


def amounts(powered: Powered) -> dict[tuple[str, ...], Carried]:
    return {its.names: its for its in carried(powered, {})}


def told(powered: Powered) -> str:
    return " ".join(live_text(powered, classes_of(powered.circuit, {})).split())


def test_two_alike_that_are_always_in_a_row_are_made_for_it() -> None:
    text = HEAD + "lamp L1 running 5W\nlamp L2 running 5W\nSP0 -> L1 -> L2 -> G1\n"
    powered = live(vehicle(text))
    assert [its.amps for its in currents_in_series(powered)] == pytest.approx([5 / 24] * 2)
    assert amounts(powered)["F1",].parts == ("L1",)
    # With a contact between them each can be alone, and then each has half of its volts: 0.5 ** 0.55 of its current.
    text += "switch S positions off, on closes 1 to 2 in on\nL1.2 -> S.1\nS.2 -> G1\n"
    assert [its.amps for its in currents_in_series(live(vehicle(text)))] == pytest.approx(
        [5 / 24 * 0.683] * 2, rel=1e-3
    )
    assert currents_in_series(live(vehicle(text), switches={"S": "on"})) == ()


COIL = HEAD + "relay K make running 80mA\nlamp L1 running 3W\nSP0 -> L1 -> K.86\nK.85 -> G1\n"


def test_the_volts_of_a_coil_behind_a_lamp_are_told() -> None:
    """By hand: the lamp at 6.2 V takes 125 mA x 0.258 ** 0.55 = 59 mA, and so does a coil of 300 ohm at 17.8 V."""
    text = told(live(vehicle(COIL)))
    assert "K, coil about 17.8 V of 24 V (59 mA); through L1" in text
    assert "K may be: about 17.8 V of 24 V (59 mA) across its coil; by how much it pulls in is not typed in" in text
    assert amounts(live(vehicle(COIL)))["F1",].amps.low == pytest.approx(0.0593, rel=5e-3)


def test_the_same_volts_as_where_volts_are_asked_for() -> None:
    """A coil behind a lamp, and lamps fed backwards: `live`, `volts` and a probe of `dead` go by one law."""
    for text in (
        COIL,
        HEAD + "heater H running 5A\nlamp L1 running 10W\nlamp L2 running 21W\nSP0 -> H -> L1 -> L2 -> G1\n",
    ):
        powered = live(vehicle(text))
        net = net_of(powered, (), {})
        assert isinstance(net, ResistanceNet)
        volts = Solver(net).solve(usual_values(net), roughly=True).volts
        number, source = powered.circuit.number, max(v for v in volts if v is not None)
        for its in currents_in_series(powered):
            across = abs((volts[number[its.a]] or 0.0) - (volts[number[its.b]] or 0.0))
            assert its.volts is not None and across / source == pytest.approx(its.volts / 24, abs=0.01)


def test_a_resistor_across_the_coil_counts() -> None:
    powered = live(vehicle(COIL.replace("K make", "K make with resistor 300ohm")))
    by_name = {its.name: its for its in currents_in_series(powered)}
    # By hand: at 11.5 V the lamp takes 125 mA x 0.479 ** 0.55 = 83 mA, and so do 150 ohm at 12.5 V.
    assert by_name["K"].volts == pytest.approx(12.5, abs=0.05)


@pytest.mark.parametrize(
    "more",
    ["relay K make\n", "relay K make with diode running 80mA\n", "relay K make with resistor running 80mA\n"],
)
def test_where_a_coil_cannot_be_worked_out_it_is_not_known(more: str) -> None:
    powered = live(vehicle(COIL.replace("relay K make running 80mA\n", more)))
    assert all(its.amps is None for its in currents_in_series(powered))
    assert "coil in series with others, as above: how much comes to it is not known" in told(powered)
    assert amounts(powered)["F1",].shared == ("L1",) if ("F1",) in amounts(powered) else True


def test_a_motor_a_diode_and_a_made_voltage_are_not_worked_out() -> None:
    for text in (
        "motor M running 2A\nlamp L1 running 1A\nSP0 -> M -> L1 -> G1\n",
        "lamp L1 running 1A\nlamp L2 running 2A\ndiode D\nSP0 -> L1 -> D -> L2 -> G1\n",
        "module C supply 1 ground 2\noutput C.3 feeds 12V from 1 always\nlamp L1 running 1A\nlamp L2 running 2A\n"
        "SP0 -> C.1\nC.2 -> G1\nC.3 -> L1 -> L2 -> C.2\n",
    ):
        found = currents_in_series(live(vehicle(HEAD + text)))
        assert found and all(its.amps is None for its in found)


def test_what_is_not_typed_is_said_at_the_fuse() -> None:
    powered = live(vehicle(HEAD + "lamp L1\nlamp L2 running 2A\nSP0 -> L1 -> L2 -> G1\n"))
    assert "not typed in: L1" in told(powered) or amounts(powered)["F1",].untyped == ("L1",)
