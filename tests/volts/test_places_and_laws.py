"""Where the black lead is held, what a bad ground point lifts, and how the current of a load follows the volts."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.flows.states import state_of
from circuitmap.flows.volts import volts_at
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.quantities import Band
from circuitmap.reports.volts.volts_json import volts_json
from circuitmap.reports.volts.volts_text import volts_text
from circuitmap.volts.net import NoBattery, net_of
from circuitmap.volts.operating import Operating, Solver, usual_values
from circuitmap.volts.takers import Takes, takes_of
from circuitmap.wiring.parts import Load, Terminal
from tests.dead.complaints import ROOT
from tests.power.random_platforms import platform_from

TWO_IN_A_ROW = """platform "Made up" supply 24V return body
naming SP* splice, G* ground
battery BAT 70Ah 24V series
BAT.- -> G1
fuse F1 10A
lamp L1 running 2A
BAT.+ -> F1 -> L1 -> G1
"""


def test_of_two_batteries_in_a_row_the_black_lead_is_at_the_lower_minus() -> None:
    circuit = circuit_of(platform_from(TWO_IN_A_ROW))
    net = net_of(evaluate(circuit, VehicleState()), ("L1",), {})
    assert not isinstance(net, NoBattery)
    assert str(circuit.nodes[net.reference]) == "BAT.-"
    volts = Solver(net).solve(usual_values(net)).volts
    at = {str(node): its for node, its in zip(circuit.nodes, volts, strict=True)}
    assert at["L1.1"] is not None and 24.0 < at["L1.1"] < 25.5
    assert at["L1.2"] is not None and 0.0 < at["L1.2"] < 0.3


def sample(name: str, *switches: str, key: str = "") -> tuple[Bench, VehicleState]:
    bench = open_bench(ROOT / "sample_vehicles" / name, (), ())
    return bench, state_of(bench, key=key, switches=switches)


def test_a_bad_ground_point_lifts_all_that_sits_on_it() -> None:
    """The ring, not the one wire that leads to it: the point itself rises with the load."""
    bench, state = sample("sweeper", key="run")
    its = volts_at(bench, state, "SCREEN.2", ["SCREEN"], (), ["CABBODY=0.25ohm"]).expected
    assert its is not None and its.supposed is not None
    at = {str(point): volts for point, volts in its.supposed.at}
    assert at["CABBODY"] is not None and 1.6 <= at["CABBODY"] <= 2.6
    assert at["SCREEN.2"] is not None and at["CABBODY"] <= at["SCREEN.2"] <= at["CABBODY"] + 0.3
    assert at["G1"] is not None and at["G1"] < 0.1


def test_the_wire_to_it_is_said_by_the_load_s_pin() -> None:
    bench, state = sample("sweeper", key="run")
    its = volts_at(bench, state, "SCREEN.2", ["SCREEN"], (), ["SCREEN.2=0.25ohm"]).expected
    assert its is not None and its.supposed is not None
    at = {str(point): volts for point, volts in its.supposed.at}
    assert at["SCREEN.2"] is not None and at["SCREEN.2"] > 1.6
    assert at["CABBODY"] is not None and at["CABBODY"] < 0.2


def test_a_data_line_has_levels_and_no_drop() -> None:
    bench, state = sample("sweeper", key="run")
    its = volts_at(bench, state, "CTRL.9")
    assert its.line is not None and its.line.name == "BODY" and its.expected is None
    text = " ".join(volts_text(bench.platform, its).split())
    assert "about 2.5 V on each wire" in text and "battery off" in text
    assert "worst joint" not in text
    line = volts_json(bench.platform, its)["line"]
    assert line is not None and line["told"][0] in text


def takes(law: str) -> Takes:
    found = takes_of(Load(kind="load", name="L", law=law, running=Band(5.0, 5.0)), 12.0, True)  # type: ignore[arg-type]
    assert found is not None
    return found


def amps(its: Takes, volts: float) -> float:
    return volts * its.conductance(volts)


def test_a_regulated_load_takes_the_same_power() -> None:
    its = takes("regulated")
    assert amps(its, 12.0) == pytest.approx(5.0)
    for volts in (9.0, 10.5, 13.5):
        assert volts * amps(its, volts) == pytest.approx(60.0)
    assert amps(its, 4.0) < amps(its, 8.4)  # below its least volts it fades


def test_leds_with_resistors_take_much_less_at_fewer_volts() -> None:
    its = takes("led")
    assert amps(its, 12.0) == pytest.approx(5.0)
    assert amps(its, 9.6) == pytest.approx(2.5)
    assert amps(its, 7.0) < 1e-6


@pytest.mark.parametrize(("law", "amperes"), [("regulated", "0.5A"), ("led", "0.2A"), ("led", "2A")])
@pytest.mark.parametrize("ohms", [0.5, 2.0])
def test_currents_add_up_with_any_law(law: str, amperes: str, ohms: float) -> None:
    text = (
        TWO_IN_A_ROW.replace("24V", "12V")
        .replace("12V series", "12V")
        .replace("running 2A", f"running {amperes} {law}")
    )
    circuit = circuit_of(platform_from(text))
    net = net_of(evaluate(circuit, VehicleState()), ("L1",), {})
    assert not isinstance(net, NoBattery)
    values = usual_values(net)
    number = next(n for n, r in enumerate(net.resistances) if circuit.links[r.link].kind == "fuse")
    worse = values._replace(ohms=tuple(o + ohms * (n == number) for n, o in enumerate(values.ohms)))
    found: Operating = Solver(net).solve(worse)
    assert found.settled
    assert found.amps[number] == pytest.approx(found.taken[0], rel=1e-6)
    supply, ground = (found.volts[circuit.number[Terminal("L1", pin)]] for pin in ("1", "2"))
    assert supply is not None and ground is not None
    across = supply - ground
    nominal = {"0.5A": 0.5, "0.2A": 0.2, "2A": 2.0}[amperes]
    expected = nominal * 12 / across if law == "regulated" else nominal * (across / 12 - 0.6) / 0.4
    assert found.taken[0] == pytest.approx(expected, rel=1e-6)
