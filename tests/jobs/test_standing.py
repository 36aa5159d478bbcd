"""Where a job stands, from the card alone: each verdict, from the first reading to the night's log."""

import pytest

from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.jobs.standing import JobStanding, standing_of
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F14 15A mini, CAB.F22 20A mini
module LIFT supply 1 ground 2
module HEATER supply 1 ground 2
"""


@pytest.fixture(scope="module")
def van() -> Platform:
    notation, _ = read_text(SourceFile("van.circuit", VAN))
    return platform_of([notation])


def standing(van: Platform, *entries: str) -> JobStanding:
    text = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in entries)
    card, problems = read_card(SourceFile("job.yaml", text))
    assert not problems, problems
    evidence, more = evidence_on(van, card)
    assert not more, more
    return standing_of(van, card, evidence)


LOCKED = "at: 10:00, state: locked, meter: low-current clamp"
READ = "at: 10:50, total: 0.470A"
OUT = "at: 11:00, out: [LIFT]"
DOWN = "at: 11:30, total: 0.040A"
BACK = "at: 11:31, back: [LIFT]"
UP = "at: 12:00, total: 0.465A"
AGAIN = ("at: 12:01, out: [LIFT]", "at: 12:40, total: 0.041A")
TESTED = "tested: {LIFT inputs: fine, LIFT outputs: fine, LIFT feed: 0.08V, LIFT ground: 0.03V}"


def test_nothing_read_yet(van: Platform) -> None:
    assert standing(van, LOCKED).stage == "not-read"


def test_a_reading_before_sleep_is_not_a_reading_of_the_parked_car(van: Platform) -> None:
    found = standing(van, LOCKED, "at: 10:10, total: 3.10A")
    assert found.stage == "not-read"
    assert [reading.written for reading in found.early] == ["3.10A"] or len(found.early) == 1


def test_it_draws(van: Platform) -> None:
    found = standing(van, LOCKED, READ)
    assert found.stage == "draws"
    assert found.total is not None and found.total.amps == pytest.approx(0.47)
    assert found.limit == 0.05 and van.limit == 0.05


def test_cured_by_unplugging_is_involved_not_guilty(van: Platform) -> None:
    found = standing(van, LOCKED, READ, OUT, DOWN)
    (one,) = found.tries
    assert found.stage == one.verdict == "involved"
    assert one.needs == ("in-again", "out-again", "inputs", "outputs", "feed", "ground")
    assert one.left == pytest.approx(0.04)


def test_out_in_out_still_needs_the_part_tested_apart(van: Platform) -> None:
    (one,) = standing(van, LOCKED, READ, OUT, DOWN, BACK, UP, *AGAIN).tries
    assert (one.verdict, one.needs) == ("involved", ("inputs", "outputs", "feed", "ground"))


def test_proven(van: Platform) -> None:
    found = standing(van, LOCKED, READ, OUT, DOWN, BACK, UP, *AGAIN, TESTED)
    assert found.stage == "proven"
    assert found.tries[0].needs == ()


def test_a_part_that_is_fed_badly_is_not_proven(van: Platform) -> None:
    bad = TESTED.replace("0.03V", "0.6V")
    (one,) = standing(van, LOCKED, READ, OUT, DOWN, BACK, UP, *AGAIN, bad).tries
    assert one.verdict == "involved"
    assert [(test.what, test.volts) for test in one.failed] == [("ground", 0.6)]


def test_a_fuse_is_a_place_not_a_part(van: Platform) -> None:
    out_in_out = (OUT, DOWN, BACK, UP, *AGAIN)
    (one,) = standing(van, LOCKED, READ, *(line.replace("LIFT", "F22") for line in out_in_out)).tries
    assert (one.verdict, one.needs) == ("involved", ("which-part",))


def test_still_drawing_with_the_part_out_clears_it(van: Platform) -> None:
    (one,) = standing(van, LOCKED, READ, OUT, "at: 11:30, total: 0.468A").tries
    assert one.verdict == "cleared"


def test_read_again_too_soon_waits(van: Platform) -> None:
    (one,) = standing(van, LOCKED, READ, OUT, "at: 11:05, total: 0.468A").tries
    assert (one.verdict, one.wait) == ("too-early", 15.0)


def test_a_rise_just_after_is_a_woken_car(van: Platform) -> None:
    (one,) = standing(van, LOCKED, READ, OUT, "at: 11:05, total: 2.30A").tries
    assert one.verdict == "woke-it"


def test_a_draw_that_does_not_come_back_is_not_repaired(van: Platform) -> None:
    (one,) = standing(van, LOCKED, READ, OUT, DOWN, BACK, "at: 12:00, total: 0.041A").tries
    assert one.verdict == "gone-by-itself"


def test_a_draw_that_comes_and_goes_needs_three_periods(van: Platform) -> None:
    log = "at: 10:45, log: {floor: 0.04A, peak: 0.47A, mean: 0.2A, period: 20min, for: 40min}"
    (one,) = standing(van, LOCKED, log, READ, OUT, "at: 11:25, total: 0.041A").tries
    assert (one.verdict, one.reason, one.wait) == ("too-early", "period", 35.0)


def test_normal_but_not_watched_long_enough(van: Platform) -> None:
    quiet = "at: 10:50, total: 0.040A"
    assert standing(van, LOCKED, quiet).stage == "watch"
    watched = "at: 12:30, log: {floor: 0.03A, peak: 0.09A, mean: 0.041A, for: 90min}"
    assert standing(van, LOCKED, quiet, watched).stage == "no-draw"


def test_repaired_needs_a_nights_log_within_the_limit(van: Platform) -> None:
    proven = (LOCKED, READ, OUT, DOWN, BACK, UP, *AGAIN, TESTED)
    mended = (
        *proven,
        "at: 13:50, back: [LIFT]",
        "at: 14:00, cause: LIFT keeps the network awake, mended: new controller",
    )
    assert standing(van, *mended).stage == "mended"
    short = "at: 18:00, log: {floor: 0.03A, peak: 0.1A, mean: 0.04A, for: 3h}"
    assert standing(van, *mended, short).stage == "mended"
    night = "at: 23:55, log: {floor: 0.03A, peak: 0.1A, mean: 0.04A, for: 9h}"
    assert standing(van, *mended, night).stage == "repaired"


@pytest.mark.parametrize(
    ("meter", "shows", "stage"),
    [
        ("clamp", 0.04, "watch"), ("clamp", 0.06, "cannot-tell"), ("clamp", 0.11, "cannot-tell"),
        ("clamp", 0.12, "draws"), ("low-current clamp", 0.055, "cannot-tell"), ("low-current clamp", 0.06, "draws"),
        ("clamp", -0.3, "cannot-tell"),
    ],
)  # fmt: skip
def test_what_the_meter_can_be_off_is_not_to_the_vehicles_credit(
    van: Platform, meter: str, shows: float, stage: str
) -> None:
    """The limit is 0.05 A; the clamp can be off 0.065 A, the low-current clamp 0.0065 A."""
    assert standing(van, "at: 10:00, state: locked", f"at: 10:50, meter: {meter}, total: {shows}A").stage == stage


def test_a_log_above_the_limit_outlives_a_quiet_moment(van: Platform) -> None:
    log = "at: 12:00, log: {floor: 0.03A, peak: 1.2A, mean: 0.3A, for: 70min}"
    found = standing(van, LOCKED, log, "at: 12:10, total: 0.04A")
    assert found.stage == "draws" and found.total is not None and found.total.log is not None


CAMPER = """\
platform "Ostrey Dunlin" sleep 5min..20min limit 40mA
battery BAT 95Ah
battery LEIS 100Ah
"""


def test_of_two_batteries_the_one_that_draws_counts() -> None:
    camper = platform_of([read_text(SourceFile("c.circuit", CAMPER))[0]])
    found = standing(camper, LOCKED, "at: 10:50, read: {BAT: 4.3A, LEIS: 0.01A}")
    assert found.stage == "draws" and found.total is not None and found.total.place == "BAT"
    quiet = (LOCKED, "at: 10:50, read: {LEIS: 0.01A}")
    log = "at: 12:10, log: {place: LEIS, floor: 0.01A, peak: 0.02A, mean: 0.01A, for: 80min}"
    found = standing(camper, *quiet, log)
    assert (found.stage, found.unread) == ("watch", ("BAT",))
    found = standing(camper, *quiet, "at: 10:55, read: {BAT: 0.01A}", log)
    assert (found.stage, found.unlogged) == ("watch", ("BAT",))
    assert standing(camper, *quiet, "at: 10:55, read: {BAT: 0.01A}").unlogged == ()
    assert standing(camper, *quiet, log, log.replace("LEIS", "BAT").replace("12:10", "14:00")).stage == "no-draw"


def test_codes_that_stayed_went_and_came(van: Platform) -> None:
    found = standing(
        van, "codes: [U0140 stored LIFT, U0101 stored LIFT, P0562 low-voltage HEATER]",
        "codes: [U0140 back LIFT, U0155 back HEATER]",
    )  # fmt: skip
    assert {(c.code, c.story) for c in found.codes} == {
        ("U0140", "stayed"), ("U0101", "went"), ("P0562", "low-voltage"), ("U0155", "came"),
    }  # fmt: skip


def test_a_struck_entry_does_not_count(van: Platform) -> None:
    assert standing(van, LOCKED, READ + ", struck: wrong van").stage == "not-read"


TAPPED = """\
platform "Tarn Hauler" sleep 20min..40min limit 80mA
battery BAT "two in series, tapped" 225Ah 24V series
fuse F9 30A maxi
module EQ supply 1 ground 2
"""
BOTH_POSTS = "at: 10:50, read: {BAT.-: 0.561A, BAT: 0.382A, BAT.mid: 0.179A}"


@pytest.fixture(scope="module")
def truck() -> Platform:
    notation, problems = read_text(SourceFile("truck.circuit", TAPPED))
    assert not problems
    return platform_of([notation])


def test_the_minus_post_of_two_in_series_carries_the_whole_current(truck: Platform) -> None:
    found = standing(truck, LOCKED, BOTH_POSTS)
    assert found.stage == "draws"
    assert found.total is not None and (found.total.place, found.total.amps) == ("BAT.-", pytest.approx(0.561))


def test_the_tap_alone_is_not_the_whole_current(truck: Platform) -> None:
    assert standing(truck, LOCKED, "at: 10:50, read: {BAT.mid: 0.179A}").stage == "not-read"


def test_a_later_total_counts_whichever_post_it_was_read_at(truck: Platform) -> None:
    found = standing(truck, LOCKED, BOTH_POSTS, "at: 11:30, total: 0.060A")
    assert found.stage == "watch"
    assert found.total is not None and (found.total.place, found.total.amps) == ("BAT", pytest.approx(0.060))


def test_a_try_read_at_the_minus_post_is_judged_there(truck: Platform) -> None:
    fuse = "at: 10:52, read: {F9: 0.9A}"
    out = ("at: 11:00, out: [EQ]", "at: 11:40, read: {F9: 0.1A, BAT.-: 0.058A}")
    (one,) = standing(truck, LOCKED, BOTH_POSTS, fuse, *out).tries
    assert (one.place, one.verdict, one.figures) == ("BAT.-", "involved", (0.561, 0.058))
