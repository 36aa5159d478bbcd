"""How long it stands once it was mended; and of a battery that starts nothing, when it is half empty."""

from circuitmap.circuit.links import circuit_of
from circuitmap.jobs.starts import starts_the_engine
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.job_text import battery_lines
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_found_cause import NIGHT, READ, SINCE, bus, job, mended, tried  # noqa: F401

CAUSE = mended("K1 welded", "new relay K1")
TWO = """\
platform "Orvane Heath" sleep 10min..20min limit 40mA
battery BAT 80Ah
battery HUT 100Ah
starter ST supply 30 ground 31
relay K9 "joining relay" make
fuse F1 100A bolted
switch ISOL "isolator" positions on, off closes 1 to 2 in on
lamp L1 supply 1 ground 2
lamp L2 supply 1 ground 2
ground G
BAT.+ -> ISOL.1
ISOL.2 -> ST.30
BAT.+ -> F1 -> K9.30
K9.87 -> HUT.+
HUT.+ -> L1.1
BAT.+ -> L2.1
ST.31, L1.2, L2.2 -> G
BAT.- -> G
HUT.- -> G
"""


def lines(bus: Platform, *entries: str) -> str:  # noqa: F811
    return " ".join(battery_lines(job(bus, *entries)))


def test_what_was_read_since_is_told_beside_how_it_came_in(bus: Platform) -> None:  # noqa: F811
    """0.2 of 90 Ah at 0.010 A, which may be 0.017 A by this meter."""
    said = lines(bus, *READ, *tried("K1"), CAUSE, *SINCE)
    assert "As it came in: at 0.9" in said and "At the 0.010 A read since it was mended" in said
    assert "As it came in" not in lines(bus, *READ, *tried("K1"))


def test_a_night_says_more_than_a_look(bus: Platform) -> None:  # noqa: F811
    said = lines(bus, *READ, *tried("K1"), CAUSE, *SINCE, NIGHT)
    assert "Mended, and parked" in said and "read since it was mended" not in said


def test_what_still_draws_is_told_as_it_is(bus: Platform) -> None:  # noqa: F811
    said = lines(bus, *READ, *tried("K1"), CAUSE, SINCE[0], 'at: "23:00", total: 0.93A')
    assert "read since it was mended" not in said and "As it came in" not in said


def test_a_second_battery_starts_nothing() -> None:
    read, problems = read_text(SourceFile("t.circuit", TWO))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    platform = platform_of([read])
    circuit = circuit_of(platform)
    assert starts_the_engine(circuit, "BAT") and not starts_the_engine(circuit, "HUT")
    entries = ('at: "10:00", state: locked, meter: low-current clamp', 'at: "11:00", read: {HUT: 0.50A, BAT: 0.01A}')
    said = " ".join(battery_lines(job(platform, *entries)))
    assert "HUT: at 0.49 to 0.51 A it is half empty after" in said and "flat below 50%" in said
    assert "starts" not in said and "no start" not in said
