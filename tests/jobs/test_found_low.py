"""A battery found low: no time is told from there, but how long a charged one lasts at this draw, and so whether the draw
can have emptied it. Hours by hand from 0.7 to 0.9 of the charge down to 0.5."""

import pytest

from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.intake import Intake
from circuitmap.quantities import Band
from circuitmap.reports.job.battery_text import PLAIN, BatteryTold, battery_sentences

LOW, HELD = Band(0.31, 0.31), Band(0.8, 0.8)
LASTS = "Charged as vehicles are parked (70% to 90%) it lasts"


def said(amps: float, flat_after: Band | None = None, charge: Band = LOW, told: BatteryTold = PLAIN) -> str:
    intake = Intake(battery=ParkedBattery(rated=Band(50, 50), charge=charge), flat_after=flat_after)
    drawn = Reading(place="BAT", meter=meter_named("low-current-clamp"), amps=amps)
    return " ".join(battery_sentences(intake, drawn, told=told))


def test_a_small_draw_did_not_empty_it_unless_it_stood_as_long() -> None:
    """10 to 20 of 50 Ah at 20 mA: 500 to 1000 h; the meter is off by 6.5 mA: 377 to 1481 h, 16 to 62 days."""
    text = said(0.020)
    assert f"{LASTS} 16 to 62 days at 0.01 to 0.03 A." in text
    assert "Unless it stood as long, this draw did not empty it: something else did, its use," in text
    assert text.index("How long it stands is not reckoned from there") < text.index(LASTS)


def test_a_large_one_can_have() -> None:
    """10 to 20 Ah at 6 A: 1.7 to 3.3 hours."""
    text = said(6.0)
    assert f"{LASTS} 1.7 to 3.3 hours at 5.99 to 6.01 A." in text
    assert "So this draw can have emptied it." in text and "something else" not in text


@pytest.mark.parametrize(
    ("amps", "hours", "says"),
    [
        (0.02, Band(20, 28), "So this draw did not empty it in 20 to 28 hours, something else did: its use,"),
        (0.80, Band(20, 28), "So this draw can have emptied it in 20 to 28 hours."),
        (4.00, Band(20, 28), "So this draw can have emptied it in 20 to 28 hours."),
    ],
)
def test_it_is_held_against_the_time_complained_of(amps: float, hours: Band, says: str) -> None:
    assert says in said(amps, hours)


def test_far_off_the_time_is_told_at_what_the_meter_shows_and_at_the_most() -> None:
    """At 5 mA 2000 to 4000 h; it may be off by 6.5 mA: at 11.5 mA 870 h, 36 days."""
    assert f"{LASTS} 83 to 170 days at 0.005 A; " in said(0.005)
    assert "the meter can be off, and at 0.00 to 0.01 A that is 36 days or more." in said(0.005)


def test_of_one_that_is_being_charged_nothing_is_reckoned() -> None:
    assert LASTS not in said(-5.0) and "empt" not in said(-5.0)


def test_what_is_not_low_or_not_of_that_battery_is_told_as_before() -> None:
    assert LASTS not in said(0.02, charge=HELD) and "no longer starts after" in said(0.02, charge=HELD)
    assert LASTS not in said(0.02, told=BatteryTold(is_new=True))  # the old one went flat, not this one
    assert LASTS not in said(0.02, told=BatteryTold(starts=False))
