"""Something is out that may keep others awake, and the vehicle was locked just now: how long to wait, that nothing else is
done meanwhile, and how much a draw weighs that goes on so soon."""

import pytest

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.trying import ASLEEP_SO_SOON, asleep_by_then
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.quantities import Band
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

TIPCART = """\
platform "Plover Tipcart" sleep 20min..40min limit 50mA
sheet "8" "All" whole
battery BAT 90Ah
fuse F1 10A mini, F2 15A mini, F3 10A mini
module BODYM supply 1 ground 2 sense 3 sense 4 asleep 2mA awake 300mA
module SEATM supply 1 ground 2 asleep 1mA awake 200mA
switch LATCH "gate latch switch" positions shut, open closes 1 to 2 in open
switch HOOD "hood switch" positions shut, open closes 1 to 2 in open
heater PADH running 3A
switch PADSW positions off, on closes 1 to 2 in on
network CART can members BODYM, SEATM
ground G
BAT.+ -> F1 -> BODYM.1
BAT.+ -> F2 -> SEATM.1
BAT.+ -> F3 -> PADSW.1
PADSW.2 -> PADH -> G
BODYM.3 -> LATCH.1
LATCH.2 -> G
BODYM.4 -> HOOD.1
HOOD.2 -> G
BODYM.2 -> G
SEATM.2 -> G
BAT.- -> G
"""


def job(*entries: str) -> Job:
    notation, found = read_text(SourceFile("t.circuit", TIPCART))
    assert not found
    lines = ["job: 2", "platform: t", "entries:", '  - {at: "10:00", state: locked}', *entries]
    its = job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))
    assert not its.problems
    return its


READ = (
    '  - {at: "10:50", total: 0.50A, network: {CART: awake}}',
    '  - {at: "10:52", read: {F1: 0.30A, F2: 0.20A, F3: 0A}}',
)
SEEN = '  - {at: "10:55", inputs: {LATCH: wrong}}'


def out_at_eleven(name: str, *entries: str, locked: bool = True) -> Job:
    lock = ('  - {at: "11:08", state: locked}',) if locked else ()
    return job(*READ, SEEN, '  - {at: "11:05", state: opened}', f'  - {{at: "11:07", out: [{name}]}}', *lock, *entries)


def so_far(its: Job) -> tuple[Diagnosis, str]:
    found = diagnose(its.circuit, its.evidence)
    return found, " ".join(suspects_text(its.platform, found).split())


@pytest.mark.parametrize("at", ["11:20", "11:31", "11:44"])
def test_the_only_next_step_is_to_leave_it_out_until_all_sleeps(at: str) -> None:
    found, said = so_far(out_at_eleven("LATCH", f'  - {{at: "{at}", total: 0.50A}}'))
    assert found.tests.waits == ("LATCH",) and not found.tests.choices
    assert "NEXT Leave LATCH out" in said and "read BAT again at 11:48" in said


def test_the_wait_told_at_the_try_ends_when_a_reading_counts_and_not_before() -> None:
    for at, wait in (("11:20", 28.0), ("11:44", 4.0)):
        one = out_at_eleven("LATCH", f'  - {{at: "{at}", total: 0.50A}}').standing.tries[0]
        assert (one.verdict, one.wait) == ("too-early", wait)
    assert out_at_eleven("LATCH", '  - {at: "11:48", total: 0.50A}').standing.tries[0].verdict == "cleared"


def test_what_keeps_nobody_awake_or_what_is_hardly_suspected_is_not_waited_for() -> None:
    for name in ("PADH", "PADSW"):
        found, said = so_far(out_at_eleven(name, '  - {at: "11:20", total: 0.50A}'))
        assert not found.tests.waits and "NEXT Leave" not in said


def test_of_a_vehicle_that_stands_open_nothing_is_waited_for() -> None:
    found, _ = so_far(out_at_eleven("LATCH", '  - {at: "11:20", total: 0.50A}', locked=False))
    assert not found.tests.waits


def test_the_later_it_goes_on_the_more_it_speaks_against_it() -> None:
    def odds(*entries: str) -> float:
        found, _ = so_far(out_at_eleven("LATCH", *entries) if entries else job(*READ, SEEN))
        return next((its.probability for its in found.parts if its.part == "LATCH"), 0.0)

    at = {time: odds(f'  - {{at: "{time}", total: 0.50A}}') for time in ("11:10", "11:26", "11:40", "11:47", "11:48")}
    assert abs(at["11:10"] - odds()) < 0.02  # at once it says nothing of what keeps others awake
    its = [at["11:10"], at["11:26"], at["11:40"], at["11:47"], at["11:48"]]
    assert its == sorted(its, reverse=True) and its[0] > its[2] + 0.05 and its[-1] < 0.1


@pytest.mark.parametrize(
    ("minutes", "chance"),
    [
        (None, 0.5),
        (0.0, 0.0),
        (10.0, ASLEEP_SO_SOON / 2),
        (20.0, ASLEEP_SO_SOON),
        (30.0, 0.55),
        (40.0, 1.0),
        (90.0, 1.0),
    ],
)
def test_the_chance_that_all_sleeps_grows_with_the_minutes(minutes: float | None, chance: float) -> None:
    reading = Reading(place="BAT", meter=meter_named("clamp"), amps=0.5, minutes=minutes)
    assert asleep_by_then(reading, Band(20.0, 40.0)) == pytest.approx(chance)


def test_a_time_to_sleep_without_a_band_is_over_at_that_time() -> None:
    reading = Reading(place="BAT", meter=meter_named("clamp"), amps=0.5, minutes=15.0)
    assert asleep_by_then(reading, Band(15.0, 15.0)) == 1.0
