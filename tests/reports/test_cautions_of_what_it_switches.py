"""What a step turns on or off belongs to the step: who is hurt by a burner that starts does not ask which part was
touched. Held over every sample and paper against the evaluation of the circuit, which knows nothing of the search that
the cautions rest on."""

from functools import cache
from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.circuit.switched import switching_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import written_reading
from circuitmap.flows.questions import Bench, open_bench
from circuitmap.power.evaluate import evaluate
from circuitmap.power.state import VehicleState
from circuitmap.reports.suspects.proving import proof_cautions
from circuitmap.reports.words.cautions import CAUTIONS, StepKind, caution_lines, cautions_at, cautions_of
from circuitmap.wiring.care import care_of
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import Care, Relay, Switch
from tests.diagnosis.test_wires_that_are_left import told as diagnosed
from tests.wiring.written import platform_from

ROOT = Path(__file__).parents[2]
VEHICLES = sorted(
    [*(p for p in (ROOT / "sample_vehicles").iterdir() if p.is_dir()), *(ROOT / "tests" / "papers").glob("*/text")]
)
HURTS: frozenset[Care] = frozenset(("starts-itself", "burns-fuel", "burns-gas", "holds-load"))
OF_GAS = {"burns-gas": "gas-and-its-alarm"}


@cache
def bench_of(folder: Path) -> Bench:
    return open_bench(folder)


def by_evaluation(bench: Bench, part: Switch | Relay) -> dict[str, frozenset[Care]]:
    """The loads that take current with a contact of a part closed, if they are fitted, and surely none in the same
    state without it; each with what of it can hurt."""
    circuit = bench.circuit
    rest = evaluate(circuit, VehicleState(), requests=Answer.NO)
    contacts = {circuit.links[i].contact for i in circuit.opened_by(part.name) if circuit.links[i].is_gate}
    states = [VehicleState(stuck=frozenset({contact})) for contact in sorted(contacts)]
    if isinstance(part, Switch) and part.positions:  # what no position closes at once, nobody closes by touching it
        states = [VehicleState(switches={part.name: position}) for position in part.positions]
    found: dict[str, frozenset[Care]] = {}
    for state in states:
        closed = evaluate(circuit, state, requests=Answer.NO)
        for name, power in closed.loads.items():
            care = HURTS & care_of(bench.platform.parts[name])
            if care and power.draws is not Answer.NO and rest.loads[name].draws is Answer.NO:
                found[name] = care
    return found


@pytest.mark.parametrize("folder", VEHICLES, ids=lambda its: its.parent.name if its.name == "text" else its.name)
def test_what_a_contact_brings_stands_at_each_step_with_it(folder: Path) -> None:
    bench = bench_of(folder)
    seen = 0
    for part in bench.platform.parts.values():
        if not isinstance(part, Switch | Relay) or not bench.circuit.hands_off.may_touch(part.name):
            continue
        if isinstance(part, Switch) and part.is_key:  # is turned by nobody for a test, and never unplugged
            continue
        cares = frozenset[Care]().union(*by_evaluation(bench, part).values())
        seen += len(cares)
        steps: tuple[StepKind, ...] = ("pull-relay", "prove") if isinstance(part, Relay) else ("unplug", "prove-switch")
        for step in steps:
            switched = switching_of(bench.circuit).by(part.name)
            codes = {one.code for one in cautions_at(bench.platform, step, (part.name,), switched=switched)}
            missing = {care for care in cares if care not in codes and OF_GAS.get(care) not in codes}
            assert missing == set(), (part.name, step, by_evaluation(bench, part))
    assert seen > 0


def diagnoses_of(bench: Bench) -> list[Diagnosis]:
    """A vehicle of which only the total was read, and with each fuse in turn carrying most of it."""
    platform, meter = bench.platform, meter_named("clamp")
    battery = next(part.name for part in platform.parts.values() if part.kind == "battery")
    its_fuses = [fuse.name for fuse in platform.fuses if bench.circuit.hands_off.may_touch(fuse.name)]
    every = max(1, len(its_fuses) // 3)
    words = [(f"{battery}=2.60A",), *((f"{battery}=2.60A", f"{fuse}=2.58A") for fuse in its_fuses[::every])]
    return [
        diagnose(bench.circuit, Evidence(readings=tuple(written_reading(platform, w, meter, total=2.6) for w in one)))
        for one in words
    ]


@pytest.mark.slow
@pytest.mark.parametrize("folder", VEHICLES, ids=lambda its: its.parent.name if its.name == "text" else its.name)
def test_every_step_says_what_it_sets_in_motion_and_nothing_twice(folder: Path) -> None:
    bench = bench_of(folder)
    at = {caution.code: caution.at for caution in CAUTIONS}
    for diagnosis in diagnoses_of(bench):
        for test in diagnosis.tests.choices:
            told = cautions_of(bench.platform, diagnosis.switching, test.action)
            assert len({one.code for one in told}) == len(told)
            assert len(caution_lines(told)) <= 12
            for name in test.action.parts:
                part = bench.platform.parts.get(name)
                if not isinstance(part, Switch | Relay) or (isinstance(part, Switch) and part.is_key):
                    continue
                for care in frozenset[Care]().union(*by_evaluation(bench, part).values()):
                    codes = {one.code for one in told}
                    assert test.action.doing not in at[care] or codes & {care, OF_GAS.get(care, care)}, test.action
        for chance in diagnosis.parts[:6]:
            texts = [one.text for one in proof_cautions(bench.platform, diagnosis, chance.part)]
            assert len(set(texts)) == len(texts)


HEATED = """\
platform "Teal" supply 12V return body sleep 10min..20min limit 50mA
battery BAT 70Ah
fuse F1 15A mini, F2 5A mini
heater HEAT "cab heater" supply 1 ground 2 control 3 running 30W asleep 1mA care burns-fuel, hot, starts-itself
switch HSW "heater switch" positions off, on closes 1 to 2 in on
relay K1 "plate relay" make
heater PLATE "plate heater" running 3A
ground G0
BAT.- -> G0
BAT.+ -> F1 -> HEAT.1
HEAT.2 -> G0
F1 -> HSW.1
HSW.2 -> HEAT.3
F2 -> K1.30
BAT.+ -> F2
K1.87 -> PLATE -> G0
"""


def test_a_burner_is_told_of_at_its_switch_and_never_read_at_once() -> None:
    platform = platform_from(HEATED)
    circuit = circuit_of(platform)
    told = cautions_at(platform, "prove-switch", ("HSW",), switched=switching_of(circuit).by("HSW"))
    codes = [one.code for one in told]
    assert codes[0] == "switched" and {"burns-fuel", "starts-itself", "hot"} <= set(codes)
    assert told[0].text == "HEAT starts or stops with it."
    assert codes.index("burns-fuel") < codes.index("switch")
    read = tuple(written_reading(platform, w, meter_named("clamp"), total=2.5) for w in ("BAT=2.50A", "F1=2.50A"))
    tests = diagnose(circuit, Evidence(readings=read)).tests.choices
    its = [one.action for one in tests if one.action.parts == ("HSW",) and one.action.takes_out]
    assert its and all(action.wait > 0.0 for action in its)


def test_what_is_only_called_after_what_it_switches_is_not_told_as_hot_itself() -> None:
    platform = platform_from(HEATED)
    told = cautions_at(platform, "unplug", ("HSW",), switched=switching_of(circuit_of(platform)).by("HSW"))
    assert [one.code for one in told].count("hot") == 1
    assert [one.code for one in told].index("hot") > [one.code for one in told].index("switched")


def test_without_anything_that_can_hurt_nothing_is_said() -> None:
    platform = platform_from(HEATED.replace('heater PLATE "plate heater"', 'lamp PLATE "plate lamp"'))
    switched = switching_of(circuit_of(platform)).by("K1")
    assert dict(switched) == {"PLATE": True}
    assert cautions_at(platform, "prove", ("K1",), switched=switched) == cautions_at(platform, "prove", ("K1",))


def test_freeing_a_wire_stops_what_it_feeds() -> None:
    text = HEATED.replace("K1.87 -> PLATE -> G0", "F3 -> LAMP -> G0\nK1.87 -> PLATE -> G0").replace(
        "fuse F1", 'lamp LAMP running 0.4A\nfuse F3 10A mini\nfuse F1'
    ).replace("BAT.+ -> F2\n", "BAT.+ -> F2\nBAT.+ -> F3\n")  # fmt: skip
    entries = (
        'at: "07:00", state: locked', 'at: "07:40", total: 3.00A, read: {F1: 0.00A, F2: 0.00A, F3: 3.00A}, steady: yes',
        "volts: {K1.87: 12.1V}", 'at: "07:50", out: [F3]', 'at: "08:05", total: 0.00A, volts: {K1.87: 0.0V}, steady: yes',
    )  # fmt: skip
    found, platform = diagnosed(circuit_of(platform_from(text)), *entries)[0], platform_from(text)
    first = found.parts[0].part
    assert first.startswith("wire at K1.87, against")
    codes = [one.code for one in proof_cautions(platform, found, first)]
    assert {"switched", "hot", "freed"} <= set(codes)


FILTER = """\
platform "Siskin Roller" supply 12V return body sleep 10min..20min limit 50mA
battery BAT 70Ah
fuse F1 15A mini "fuel filter heater", F2 15A mini
relay K1 "fuel filter heater relay" make
heater FILT "filter heater" running 5A at "in the fuel filter"
heater BURN "cab heater" running 5A at "beside the fuel tank" care burns-fuel
ground G0
BAT.- -> G0
BAT.+ -> F1 -> K1.30
K1.87 -> FILT -> G0
BAT.+ -> F2 -> BURN -> G0
"""


def test_fuel_stands_at_the_part_it_runs_through_and_at_the_relay_that_sets_it_going() -> None:
    platform = platform_from(FILTER)
    switching = switching_of(circuit_of(platform))
    own = {one.code: one.text for one in cautions_at(platform, "unplug", ("FILT",))}
    assert own["holds-fuel"].startswith("Fuel is there: no flame, no spark")
    by_relay = [one.code for one in cautions_at(platform, "prove", ("K1",), switched=switching.by("K1"))]
    assert by_relay.index("switched") < by_relay.index("holds-fuel")
    assert "holds-fuel" not in [one.code for one in cautions_at(platform, "read-fuse", ("F1",))]


def test_what_burns_fuel_says_more_than_that_it_is_there() -> None:
    codes = [one.code for one in cautions_at(platform_from(FILTER), "unplug", ("BURN",))]
    assert "burns-fuel" in codes and "holds-fuel" not in codes
