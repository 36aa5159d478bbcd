"""The intake as numbers, where possible."""

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.jobs.intake import Intake, intake_of
from circuitmap.notation.reading import read_text
from circuitmap.quantities import Band
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.diagnosis.cards import circuit

VAN = platform_of([read_text(SourceFile("v.circuit", 'platform "L"\nbattery BAT 72Ah\nbattery AUX 95Ah if T\n'))[0]])


def intake(text: str) -> Intake:
    card, problems = read_card(SourceFile("job.yaml", text))
    assert not problems
    return intake_of(VAN, card)


def test_a_full_intake() -> None:
    found = intake(
        "battery: 80Ah\nbattery-type: flooded\nbattery-age: 7 years\nbattery-volts: 12.24V\n"
        "temperature: -5C\nflat-after: two days\n"
    )
    assert not found.problems
    assert found.battery.rated == Band(80, 80)
    assert found.battery.worn and found.battery.celsius == -5.0
    assert found.battery.charge == pytest.approx((0.5, 0.5))
    assert found.flat_after == Band(36.0, 60.0)


def test_what_is_not_on_the_card_comes_from_the_sheet_and_says_so() -> None:
    found = intake("job: 1\n")
    assert found.battery.rated == Band(72, 72) and found.rating_from_sheet
    assert found.flat_after is None and found.battery.charge is None


@pytest.mark.parametrize(
    ("said", "hours"),
    [("36h", (27, 45)), ("2..3 days", (48, 72)), ("a week", (126, 210)), ("one night", (9, 15))],
)
def test_times_as_people_say_them(said: str, hours: tuple[float, float]) -> None:
    assert intake(f"flat-after: {said}\n").flat_after == pytest.approx(hours)


def test_reserve_minutes() -> None:
    found = intake("battery: RC 120min\n")
    assert found.battery.reserve == 120 and found.battery.rated is None and not found.rating_from_sheet


@pytest.mark.parametrize(
    "line", ["battery: big", "battery: 72A", "battery-type: wet", "battery-age: old", "battery-volts: 12",
             "temperature: cold", "flat-after: soon", "flat-after: 3..2 days", "flat-after: 0 days"],
)  # fmt: skip
def test_nonsense_is_a_problem_at_its_place(line: str) -> None:
    (problem,) = intake(f"job: 1\n{line}\n").problems
    assert problem.span.line == 2 and problem.span.text == line.split(": ")[1]
    assert problem.expected


@pytest.mark.parametrize(
    ("age", "worn"), [("3 weeks", False), ("10 days", False), ("1 day", False), ("400 weeks", True)]
)
def test_a_battery_of_some_weeks_or_days_has_an_age(age: str, worn: bool) -> None:
    card, problems = read_card(SourceFile("job.yaml", f"battery: 95Ah\nbattery-age: {age}\nentries: []\n"))
    its = intake_of(circuit("van").platform, card)
    assert (*problems, *its.problems) == () and its.battery.worn is worn
