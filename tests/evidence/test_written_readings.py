"""Readings as people type them, on a small made-up platform."""

from pathlib import Path

import pytest

from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.written_readings import amount_of, written_reading
from circuitmap.failures import WrongUse
from circuitmap.flows.questions import open_platform
from circuitmap.wiring.platform import Platform

NOTATION = """
platform "Marlow Linnet" supply 12V return body
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F22 10A mini, CAB.F9 20A mini, CAB.F30 40A cartridge, CAB.F31 10A, CAB.F90 100A bolted, CAB.F91 bolted
fuse CAB.F92 60A
module HEATER supply A1
alternator GEN "charger" supply B+ ground 31
CAB.F22 feeds HEATER
BAT.+ -> GEN.B+
"""


@pytest.fixture(scope="module")
def platform(tmp_path_factory: pytest.TempPathFactory) -> Platform:
    folder: Path = tmp_path_factory.mktemp("linnet")
    (folder / "a.circuit").write_text(NOTATION)
    return open_platform(folder)


CLAMP = meter_named("clamp")


def test_amps_keep_the_meters_step(platform: Platform) -> None:
    reading = written_reading(platform, "F22=0.46A", CLAMP)
    assert (reading.place, reading.amps) == ("CAB.F22", 0.46)
    assert (reading.lowest, reading.highest) == pytest.approx((0.455, 0.465))
    assert reading.zero == 0.030


def test_a_finer_digit_than_the_meter_is_known_for_is_believed(platform: Platform) -> None:
    assert written_reading(platform, "F22=463mA", CLAMP).half_step == pytest.approx(0.0005)
    assert written_reading(platform, "F22=0A", CLAMP).half_step == pytest.approx(0.005)


def test_millivolts_become_a_current_with_two_counts_either_way(platform: Platform) -> None:
    reading = written_reading(platform, "F22=1.6mV", CLAMP)
    assert reading.amps == pytest.approx(0.0016 / 0.00742)
    assert reading.half_step == pytest.approx(0.0002 / 0.00742)
    assert reading.zero == 0.0
    assert reading.shows_current


def test_nothing_on_a_twenty_is_not_quiet(platform: Platform) -> None:
    reading = written_reading(platform, "F9=0.0mV", CLAMP)
    assert reading.hides == pytest.approx(0.063, abs=5e-4)
    assert reading.resistance is not None and reading.resistance.is_estimate


def test_a_drop_across_a_blade_of_unknown_style_is_a_figure_by_its_rating(platform: Platform) -> None:
    """The styles differ by less than one fuse from the next; what shows nothing there clears no more for it."""
    reading, styled = (written_reading(platform, f"{place}=1.6mV", CLAMP) for place in ("F31", "F22"))
    assert reading.amps is not None and styled.amps is not None
    assert reading.amps == pytest.approx(styled.amps, rel=0.05) and reading.relative > styled.relative
    assert reading.resistance is not None and reading.resistance.is_estimate
    zero = written_reading(platform, "F31=0.0mV", CLAMP)
    assert (zero.amps, zero.draws, zero.hides) == (None, False, 0.15)


def test_without_a_rating_a_drop_says_only_that_it_draws(platform: Platform) -> None:
    reading = written_reading(platform, "F91=1.6mV", CLAMP)
    assert (reading.amps, reading.draws) == (None, True)
    assert written_reading(platform, "F91=0.1mV", CLAMP).draws is False


@pytest.mark.parametrize(
    ("typed", "amps", "low", "high"),
    [("F90=0.3mV", 0.65, 0.2, 1.1), ("F30=1.6mV", 1.15, 0.9, 1.4), ("F92=1.0mV", 1.2, 0.8, 1.5)],
)
def test_by_its_rating_alone_a_drop_is_a_rough_figure(
    platform: Platform, typed: str, amps: float, low: float, high: float
) -> None:
    """30 to 70 mV at the rated current: 0.3 mV at 100 A is 0.4 to 1.0 A."""
    reading = written_reading(platform, typed, CLAMP)
    assert reading.amps == pytest.approx(amps, rel=0.2) and reading.draws is None
    assert low <= reading.lowest < reading.highest <= high and reading.relative >= 0.4
    assert reading.shows_current


def test_the_last_digit_alone_is_no_nothing(platform: Platform) -> None:
    """0.2 mV at 100 A bolted may be 0.4 A, and may be nothing."""
    doubtful = written_reading(platform, "F90=0.2mV", CLAMP)
    assert doubtful.amps == pytest.approx(0.44, rel=0.2) and not doubtful.shows_current
    assert doubtful.hides is not None and doubtful.hides == pytest.approx(0.85, rel=0.2)
    assert written_reading(platform, "F90=0.1mV", CLAMP).draws is False


@pytest.mark.parametrize(
    ("place", "hides"), [("F90", 0.42), ("F92", 0.23), ("F30", 0.15), ("F31", 0.15), ("F91", 0.15)]
)
def test_what_nothing_hides_goes_by_the_rating(platform: Platform, place: str, hides: float) -> None:
    """And is never told to be less than before: a small blade of unknown style clears no more for it."""
    reading = written_reading(platform, f"{place}=0.0mV", CLAMP)
    assert (reading.amps, reading.draws) == (None, False)
    assert reading.hides == pytest.approx(hides, rel=0.1)


def test_a_finer_display_hides_less_in_a_large_fuse(platform: Platform) -> None:
    assert written_reading(platform, "F90=0.00mV", CLAMP).hides == pytest.approx(0.15)
    assert written_reading(platform, "F90=0.05mV", CLAMP).amps == pytest.approx(0.11, rel=0.2)


def test_the_sign_is_kept(platform: Platform) -> None:
    assert written_reading(platform, "BAT=-0.2A", CLAMP).amps == -0.2
    assert written_reading(platform, "F22=-1.6mV", CLAMP).amps == pytest.approx(-0.0016 / 0.00742)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("F22", "is not a reading"),
        ("F22=", "is not a reading"),
        ("=0.4A", "is not a reading"),
        ("F22=0.46", "has no unit"),
        ("F22=0,46A", "has a comma"),
        ("F22=O.46A", "letter O"),
        ("F22=1.6kV", "not a unit"),
        ("F22=12V", "not a drop"),
        ("F22=4000A", "out of range"),
        ("F22=nan", "not a reading"),
        ("F22=1e3A", "not a reading"),
        ("F22=1.0000000000000001A", "15 digits"),
        ("F99=0A", "There is no part F99"),
        ("HEATER=0.4A", "not a place to read a current"),
        ("HEATER.A1=0.4A", "HEATER.A1 is a pin: no current is read there by itself"),
        ("GEN.31=0.4A", "GEN.31 is a pin"),
        ("HEATER.Q9=0.4A", "There is no part HEATER.Q9"),
        ("BAT=1.6mV", "is not a fuse"),
    ],
)
def test_what_is_not_a_reading_is_told(platform: Platform, text: str, says: str) -> None:
    with pytest.raises(WrongUse, match=says):
        written_reading(platform, text, CLAMP)


@pytest.mark.parametrize(
    ("text", "place"), [("GEN.B+=0.4A", "GEN"), ("GEN=0.4A", "GEN"), ("F22.2=0.4A", "CAB.F22"), ("BAT.+=0.4A", "BAT")]
)
def test_a_pin_through_which_all_of_it_flows_is_the_place(platform: Platform, text: str, place: str) -> None:
    assert written_reading(platform, text, CLAMP).place == place


@pytest.mark.parametrize("text", ["HEATER.A1=0.4A", "GEN.31=0.4A", "HEATER.Q9=0.4A"])
def test_a_pin_elsewhere_is_refused_with_what_can_be_read(platform: Platform, text: str) -> None:
    with pytest.raises(WrongUse) as raised:
        written_reading(platform, text, CLAMP)
    assert "a fuse, the feeder of a box, a post of a battery (BAT.+)" in raised.value.advice
    assert "the plus cable of an alternator or starter (GEN)" in raised.value.advice


@pytest.mark.parametrize("word", ["draws", "quiet"])
def test_words_instead_of_a_number(word: str) -> None:
    assert amount_of(word).draws is (word == "draws")


def test_meters_by_kind() -> None:
    assert meter_named("clamp", 0.001).step == 0.001
    with pytest.raises(WrongUse, match="no kind of meter"):
        meter_named("thumb")


def test_no_meter_goes_in_series_above_its_range(platform: Platform) -> None:
    assert written_reading(platform, "BAT=9.9A", meter_named("series")).amps == 9.9
    with pytest.raises(WrongUse, match="no meter goes in series above 10 A"):
        written_reading(platform, "BAT=14.8A", meter_named("series"))
