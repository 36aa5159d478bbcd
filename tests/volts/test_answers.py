"""Whole answers about the volts of the van."""

from pathlib import Path

from circuitmap.flows.questions import Bench, open_bench
from circuitmap.flows.states import state_of
from circuitmap.flows.volts import picture_of_way, volts_at
from circuitmap.reports.volts.volts_text import volts_text
from circuitmap.volts.answer import VoltsThere
from circuitmap.volts.expected_volts import ExpectedVolts

VAN = Path(__file__).parents[2] / "sample_vehicles" / "van"
BENCH = open_bench(VAN, (), ("TOW", "AUXHEAT", "COLDBOX"))


def asked(
    point: str, running: str = "", saw: str = "", bad: str = "", key: str = "run", bench: Bench = BENCH
) -> VoltsThere:
    state = state_of(bench, key=key)
    return volts_at(bench, state, point, running.split(), saw.split(), bad.split())


def told(there: VoltsThere) -> str:
    return " ".join(volts_text(BENCH.platform, there).split())


def expected(there: VoltsThere) -> ExpectedVolts:
    assert there.expected is not None
    return there.expected


def test_nine_in_ten_lies_in_at_most_and_the_ground_side_is_low() -> None:
    its = expected(asked("SCRL.1", "SCRL SCRR"))
    for at in its.way:
        assert at.bounds.most.low <= at.bounds.ninety.low <= at.bounds.ninety.high <= at.bounds.most.high
    here = its.way[its.point_at].bounds
    assert 10.0 < here.ninety.low < here.usual <= here.ninety.high < 12.5
    ground = next(at for at in its.way if str(at.terminal) == "SCRL.2")
    assert ground.bounds.ninety.high < 1.0


def test_a_reading_points_to_the_stretch_between_two_points() -> None:
    its = expected(asked("SCRL.1", "SCRL SCRR", "SCRL.1=9.7V F72.1=12.25V"))
    assert its.pointing is not None and its.foreground is not None and its.pointing.sound < 0.05
    links = [its.foreground.resistances[n].link for place in its.pointing.places[:2] for n in place.numbers]
    names = {its.powered.circuit.links[i].part or "wire" for i in links}
    assert names <= {"REAR.F72", "X31", "wire"}
    (lost,) = its.lost
    assert lost.volts > lost.sound.high


def test_the_ground_side_high_points_behind_the_load() -> None:
    there = asked("SCRL.2", "SCRL", "SCRL.2=2.4V BAT=12.4V")
    its = expected(there)
    assert its.pointing is not None and its.foreground is not None
    first = {
        its.foreground.net.circuit.links[its.foreground.resistances[n].link] for n in its.pointing.places[0].numbers
    }
    assert all("SCRL.1" not in (str(link.a), str(link.b)) for link in first)
    assert "too high" in told(there)


def test_without_current_it_proves_nothing() -> None:
    there = asked("SCRL.1", "HEADL.56b", key="run")
    assert not expected(there).flows
    assert "proves nothing" in told(there)


def test_an_open_ground_stands_at_battery_volts() -> None:
    its = expected(asked("SCRL.2", "SCRL", bad="SCRL.2=open"))
    assert its.supposed is not None
    at = {str(terminal): volts for terminal, volts in its.supposed.at}
    assert at["SCRL.2"] is not None and at["SCRL.2"] > 11.5
    assert "battery volts: it is not dead" in told(asked("SCRL.2", "SCRL"))


def test_what_is_hands_off_is_not_measured() -> None:
    there = asked("CAB.F46")
    assert there.expected is None and there.untouchable is not None
    assert told(there).startswith("HANDS OFF")


def test_a_length_narrows_the_bounds(tmp_path: Path) -> None:
    for file in VAN.glob("*.circuit"):
        text = file.read_text("utf-8").replace(
            "SP31 -> X31.1 -> SCRL.1 in BK/RD 1.5", "SP31 -> X31.1 -> SCRL.1 in BK/RD 1.5 length 1.2m"
        )
        (tmp_path / file.name).write_text(text, "utf-8")
    shorter = open_bench(tmp_path, (), ("TOW", "AUXHEAT", "COLDBOX"))
    wide, narrow = (expected(asked("SCRL.1", "SCRL SCRR", bench=its)) for its in (BENCH, shorter))
    assert narrow.way[narrow.point_at].bounds.most.low > wide.way[wide.point_at].bounds.most.low + 0.3


def test_the_sheet_has_a_field_for_each_point_that_may_be_probed() -> None:
    there = asked("SCRL.1", "SCRL SCRR", "SCRL.1=9.7V")
    svg = picture_of_way(BENCH, there, "svg").decode()
    for words in ("SCRL.1", "hands off", "in the loom", "9.7 V", "never across a fuse"):
        assert words in svg
