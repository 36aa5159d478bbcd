"""Two faults that each took a share, tried one by one: told each by itself, and not as a pair of which one share came
back. Worked out by hand: 0.18 A with the contact, 0.36 A with the alternator, 0.54 A with both. A switch that is bad by
itself, and with which its share went, is proven: in again it would say nothing that is not known."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.jobs.job import Job
from circuitmap.jobs.trying import TryVerdict
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.reports.pages.report import Report, report_of
from circuitmap.reports.suspects.count import count_sentences
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_out_over_a_use import job

MOWER = """\
platform "Skelder 2 mower" supply 12V return body sleep 10min..15min limit 30mA
battery BAT 60Ah
fuse F1 80A bolted "alternator, box"
box BX
fuse BX.F1 10A mini "control", BX.F2 10A mini "lamps"
bar BX.B1 feeds BX.F1..F2
alternator ALT supply B+ ground 31
module CTRL "control" supply 1 ground 2 wake 5 by ground asleep 2mA awake 180mA
switch SEAT "seat contact" positions empty, sat closes 1 to 2 in sat
ground G1
BAT.- -> G1
BAT.+ -> F1
F1 -> ALT.B+
F1 -> BX.B1
BX.F1 -> CTRL.1
CTRL.5 -> SEAT.1
SEAT.2, CTRL.2, ALT.31 -> G1
"""
DREW = (
    'at: "08:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes',
    'at: "08:40", total: 0.54A, read: {F1: 0.54A, BX.F1: 0.18A}, steady: yes, looked: yes',
)
SEAT_OUT = ('at: "08:50", out: [SEAT]', 'at: "09:10", total: 0.36A, read: {BX.F1: 0.00A}, steady: yes')
BAD = 'at: "09:12", tested: {SEAT: bad}'
FINE = 'at: "09:12", tested: {SEAT: fine}'
ALT_OUT = ('at: "09:20", out: [ALT]', 'at: "09:40", total: 0.00A, read: {F1: 0.00A}, steady: yes')
SEAT_IN = ('at: "09:45", back: [SEAT]', 'at: "10:05", total: 0.18A, steady: yes')
ALT_IN = ('at: "10:10", back: [ALT]', 'at: "10:40", total: 0.54A, steady: yes')
MENDED = (
    'at: "11:00", cause: "SEAT stays closed, and ALT, a diode leaks"', 'at: "14:00", mended: "SEAT and ALT renewed"',
    'at: "14:10", state: key on', 'at: "14:30", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes',
    'at: "15:10", total: 2mA, steady: yes', 'at: "06:00", log: {floor: 2mA, mean: 2mA, peak: 3mA, for: 14h}',
)  # fmt: skip


@pytest.fixture(scope="module")
def mower() -> Platform:
    return circuit_from(MOWER).platform


def tried(found: Job, *parts: str) -> TryVerdict | None:
    return next((one for one in found.standing.tries if set(one.out) == set(parts)), None)


def said(platform: Platform, found: Job) -> str:
    return " ".join(" ".join(standing_text(platform, found.standing, Clock())).split())


def customer(found: Job) -> dict[str, str]:
    page: Report = report_of(found)
    return {section.heading: " ".join(section.sentences) for section in page.customer}


@pytest.mark.parametrize("tested", [(), (BAD,)])
@pytest.mark.parametrize("back", [SEAT_IN, (*SEAT_IN, *ALT_IN)])
def test_the_pair_is_no_try_of_its_own(mower: Platform, tested: tuple[str, ...], back: tuple[str, ...]) -> None:
    found = job(mower, *DREW, *SEAT_OUT, *tested, *ALT_OUT, *back)
    assert tried(found, "SEAT", "ALT") is None
    seat, alt = tried(found, "SEAT"), tried(found, "ALT")
    assert seat is not None and alt is not None
    assert seat.figures[:2] == (0.54, 0.36) and alt.figures[:2] == (0.54, 0.18)
    assert "GONE BY ITSELF" not in said(mower, found)


def test_a_pair_whose_shares_do_not_add_up_is_told(mower: Platform) -> None:
    less = ('at: "09:45", back: [SEAT]', 'at: "10:05", total: 0.02A, steady: yes')
    found = job(mower, *DREW, *SEAT_OUT, *ALT_OUT, *less, *ALT_IN)
    assert len(found.standing.tries) == 3  # each by itself, and what went with the second while the first was out


def test_what_is_left_is_what_the_other_takes(mower: Platform) -> None:
    found = job(mower, *DREW, *SEAT_OUT, BAD, *ALT_OUT, *SEAT_IN, *ALT_IN)
    text = said(mower, found)
    assert "0.18 A with it out, which is what SEAT takes" in text and "something else draws too" not in text
    told = {tuple(its["out"]): its["left_is_of"] for its in job_json(found)["tries"]}
    assert told == {("SEAT",): ["ALT"], ("ALT",): ["SEAT"]}
    first = job(mower, *DREW, *SEAT_OUT, BAD)
    assert "something else draws too" in said(mower, first)


def test_what_is_missing_behind_a_feeder_went_with_the_cable_that_was_out(mower: Platform) -> None:
    found = job(mower, *DREW, *SEAT_OUT, BAD, *ALT_OUT, *SEAT_IN, *ALT_IN)
    text = " ".join(count_sentences(diagnose(circuit_of(mower), found.evidence)))
    assert "The rest, 0.36 A, went with ALT out" in text and "on no sheet" not in text


def test_the_customer_is_told_of_each(mower: Platform) -> None:
    page = customer(job(mower, *DREW, *SEAT_OUT, BAD, *ALT_OUT, *SEAT_IN, *ALT_IN, *MENDED))
    assert "With ALT out" in page["We found"] and "With the seat contact (SEAT) out" in page["We found"]
    know = page["How we know"]
    assert "0.54 A with it in, 0.36 A with it out" in know and "0.54 A with it in, 0.18 A with it out" in know
    assert "0.002 A on average" in know


def test_needs_and_the_next_step_agree_where_one_came_back_first(mower: Platform) -> None:
    found = job(mower, *DREW, *SEAT_OUT, BAD, *ALT_OUT, *SEAT_IN)
    seat = tried(found, "SEAT")
    assert seat is not None and seat.verdict == "proven" and not seat.needs
    assert seat.figures == (0.54, 0.36, 0.18) and seat.beside == ("ALT",)
    untested = tried(job(mower, *DREW, *SEAT_OUT, *ALT_OUT, *SEAT_IN), "SEAT")
    assert untested is not None and "in-again" not in untested.needs


@pytest.mark.parametrize(
    ("entries", "verdict", "needs"),
    [
        ((BAD,), "proven", ()),
        ((), "involved", ("in-again", "out-again", "itself")),
        ((FINE,), "involved", ("in-again", "out-again", "inputs")),
    ],
)
def test_a_switch_bad_by_itself_with_its_share_gone_is_proven(
    mower: Platform, entries: tuple[str, ...], verdict: str, needs: tuple[str, ...]
) -> None:
    one = tried(job(mower, *DREW, *SEAT_OUT, *entries), "SEAT")
    assert one is not None and (one.verdict, one.needs) == (verdict, needs)


def test_but_not_where_the_draw_stayed_away_with_it_in_again(mower: Platform) -> None:
    away = ('at: "09:45", back: [SEAT]', 'at: "10:05", total: 0.36A, steady: yes')
    one = tried(job(mower, *DREW, *SEAT_OUT, BAD, *away), "SEAT")
    assert one is not None and one.verdict == "gone-by-itself"


def test_nor_where_nothing_went_with_it(mower: Platform) -> None:
    one = tried(job(mower, *DREW, SEAT_OUT[0], 'at: "09:10", total: 0.54A, steady: yes', BAD), "SEAT")
    assert one is not None and one.verdict == "cleared"
