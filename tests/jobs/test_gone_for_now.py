"""A draw that has gone although nothing was mended: that is said, the time to flat is that of the draw, and it is made to
come back as the driver says it happens."""

from pathlib import Path

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.flows.job import job_from
from circuitmap.flows.questions import open_platform
from circuitmap.jobs.job import Job
from circuitmap.reports.job.battery_text import mean_draw
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.suspects.suspects_text import suspects_text
from circuitmap.wiring.platform import Platform


@pytest.fixture(scope="module")
def truck() -> Platform:
    return open_platform(Path(__file__).parents[2] / "sample_vehicles" / "truck")


DREW = (
    'at: "06:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes',
    'at: "07:00", read: {BAT: 0.90A, MAIN.F1: 0.06A, MAIN.F2: 0.01A, MAIN.F5: 0.00A, MAIN.F6: 0.80A}, steady: yes',
)
GONE = 'at: "09:00", read: {BAT: 0.04A}, steady: yes'
BACK = 'at: "11:00", read: {BAT: 0.88A}, steady: yes'
MENDED = 'at: "10:00", mended: "new relay"'


def job(truck: Platform, *entries: str, when: str = "") -> Job:
    head = f"happens-when: {when}\n" if when else ""
    text = f"job: 1\nplatform: x\n{head}entries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    found = job_from(truck, text, "job.yaml")
    assert not found.problems, found.problems
    return found


def next_steps(truck: Platform, *entries: str, when: str = "") -> str:
    its = diagnose(circuit_of(truck), job(truck, *entries, when=when).evidence)
    return " ".join(suspects_text(truck, its).partition("\nNEXT")[2].split())


def test_it_is_gone_for_now_and_what_it_drew_is_kept(truck: Platform) -> None:
    standing = job(truck, *DREW, GONE).standing
    assert standing.stage == "draws"
    assert headline(truck, standing).startswith("GONE FOR NOW, NOT REPAIRED: it draws 0.04 A, and drew 0.90 A;")
    assert mean_draw(standing.total) == mean_draw(job(truck, *DREW).standing.total)


def test_the_same_once_more_and_not_watched_changes_nothing(truck: Platform) -> None:
    again = 'at: "07:20", read: {BAT: 0.89A, MAIN.F6: 0.80A}'
    assert headline(truck, job(truck, *DREW, again, GONE).standing).startswith("GONE FOR NOW")


def test_once_it_is_back_it_draws(truck: Platform) -> None:
    assert headline(truck, job(truck, *DREW, GONE, BACK).standing).startswith("IT DRAWS 0.88 A")


def test_a_look_that_was_not_watched_ends_nothing(truck: Platform) -> None:
    assert job(truck, *DREW, GONE.replace(", steady: yes", "")).standing.gone is None


def test_what_went_after_it_was_mended_had_not_gone_by_itself(truck: Platform) -> None:
    its = job(truck, *DREW, MENDED, GONE.replace("09:00", "10:40"))
    assert not its.evidence.gone


@pytest.mark.parametrize(
    ("when", "said"),
    [
        ("wet", "(it happens, the driver says: wet): wet it as rain does"),
        ("after towing", "couple a trailer, its lamps on, drive, and uncouple it as he does"),
        ("frosty nights", "let it stand in the cold"),
        ("Fridays", "(it happens, the driver says: Fridays): do just that"),
        ("", "Make it come back first: use what leads"),
    ],
)
def test_it_is_made_to_come_back_as_the_driver_says(truck: Platform, when: str, said: str) -> None:
    told = next_steps(truck, *DREW, GONE, when=when)
    assert said in told and "The draw went with nothing mended" in told
    assert ("no jet" in told) is (when == "wet") and ("nobody between vehicle and trailer" in told) is ("tow" in when)


def test_what_is_measured_is_for_when_it_is_back(truck: Platform) -> None:
    told = next_steps(truck, *DREW, GONE)
    assert "ONCE IT IS BACK" in told and "NEXT (keep" not in told
