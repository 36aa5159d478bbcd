"""How long the car can stand, in sentences: as it came in, and once it is mended."""

import pytest

from circuitmap.battery.parked_time import ParkedBattery
from circuitmap.evidence.logs import Log
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.jobs.intake import Intake
from circuitmap.quantities import Band
from circuitmap.reports.job.battery_text import PLAIN, battery_sentences, share_sentence
from circuitmap.reports.words.parked_time_words import parked_time_words

DRAW = Reading(place="BAT", meter=meter_named("series"), amps=11.4)
NIGHT = Reading(place="BAT", meter=meter_named("series"), amps=0.03, log=Log(0.02, 0.4, 0.03, 660.0))


def sentences(charge: Band | None, night: Reading | None = None) -> list[str]:
    battery = ParkedBattery(rated=Band(95, 95), charge=charge)
    return list(battery_sentences(Intake(battery=battery, flat_after=Band(9, 15)), DRAW, night))


def test_mended_it_is_reckoned_from_a_charged_battery_whatever_it_came_in_with() -> None:
    """0.2 of 95 Ah at 0.035 A: 543 h."""
    stands = "Mended, and parked with the battery charged (at least 70%), it stands for about 23 days at the least."
    assert stands in sentences(Band(0.0, 0.0), NIGHT) and stands in sentences(None, NIGHT)
    assert "Charge it before it goes home: it came in about 0% full, by its volts." in sentences(Band(0.0, 0.0), NIGHT)
    assert not any("Charge it" in s for s in sentences(Band(0.75, 0.75), NIGHT))
    assert not any("Mended" in s for s in sentences(None))


def test_a_battery_measured_flat_says_nothing_of_the_draw() -> None:
    assert any("say nothing of the draw" in s for s in sentences(Band(0.0, 0.25)))


def test_a_charge_from_nothing_on_is_an_upper_bound() -> None:
    """Half to three quarters full: 0 to 23.75 Ah, in 9 to 15 hours."""
    text = " ".join(sentences(Band(0.5, 0.75)))
    assert "takes a mean draw of up to 2.64 A;" in text and "no longer starts after at most 2.1 hours" in text
    assert "0.00" not in text


@pytest.mark.parametrize(
    ("hours", "words"),
    [(Band(0, 1.8), "at most 1.8 hours"), (Band(360, float("inf")), "15 days or more"), (Band(9, 15), "9 to 15 hours")],
)
def test_times(hours: Band, words: str) -> None:
    assert parked_time_words(hours) == words


def test_what_took_its_share_is_told_by_itself() -> None:
    """A fifth to a half of 100 Ah at 0.30 A: 67 to 167 h, 2.8 to 6.9 days."""
    intake = Intake(battery=ParkedBattery(rated=Band(100, 100), charge=Band(0.7, 1.0)))
    said = share_sentence(intake, "hand-lamp chargers", 0.30)
    assert said == "At the 0.30 A of hand-lamp chargers alone it no longer starts after 2.8 to 6.9 days."
    assert share_sentence(Intake(battery=ParkedBattery(rated=None)), "hand-lamp chargers", 0.30) == ""


@pytest.mark.parametrize(
    ("amps", "stands"),
    [
        (0.001, "more than 3 months; the meter can be off, and at 0.008 A that is about 12 days at the least."),
        (
            0.002,
            "about 46 days at the least; the meter can be off, and at 0.009 A that is about 11 days at the least.",
        ),
        (0.05, "about 39 hours at the least."),
        (0.0, "about 14 days at the least."),
    ],
    ids=str,
)
def test_after_mending_the_figure_is_told_and_how_far_it_may_be_off(amps: float, stands: str) -> None:
    """By hand: 0.2 of 11 Ah is 2.2 Ah; the meter is off by 6.5 mA at most, half a digit and twice its zero. At 1 mA
    2200 h, 92 days, at 7.5 mA 293 h; at 2 mA 1100 h, at 8.5 mA 259 h; at 56.5 mA 39 h; nothing shown, 338 h."""
    intake = Intake(battery=ParkedBattery(rated=Band(11, 11)))
    seen = Reading(place="BAT", meter=meter_named("low-current-clamp"), amps=amps)
    told = list(battery_sentences(intake, DRAW, None, PLAIN, seen))
    said = next(one for one in told if "since it was mended" in one)
    assert said.endswith(f"parked with the battery charged (at least 70%), it stands for {stands}")
