"""The total was watched and did not move: the vehicle sleeps, whatever the clock says. What is read next, with nothing
opened or moved since, is read of a sleeping vehicle, too. And what is read while an event is up is of that event."""

import pytest

from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

TRUCK = """\
platform "Tarn Wigeon" sleep 20min..60min limit 50mA
battery BAT 110Ah
box CAB
fuse CAB.F3 20A mini
fuse CAB.F4 15A mini
module COOLER supply 1 ground 2
module HEATER supply 1 ground 2
CAB.F3 feeds COOLER
CAB.F4 feeds HEATER
"""
TWO = TRUCK.replace("battery BAT 110Ah\n", "battery BAT 110Ah\nbattery LIV 95Ah\n")
LOCKED = 'at: "9:00", state: locked'
STEADY = 'at: "9:30", total: 0.62A, steady: yes'


def told(*entries: str, truck: str = TRUCK) -> Evidence:
    notation, found = read_text(SourceFile("truck.circuit", truck))
    assert not found
    card, problems = read_card(SourceFile("job.yaml", "entries:\n" + "".join(f"  - {{{e}}}\n" for e in entries)))
    evidence, more = evidence_on(platform_of([notation]), card)
    assert (problems, more) == ((), ())
    return evidence


def last(*entries: str, truck: str = TRUCK) -> str:
    return told(*entries, truck=truck).readings[-1].speaks


def test_what_is_read_ten_minutes_after_a_steady_total() -> None:
    assert last(LOCKED, STEADY, 'at: "9:40", read: {F3: 0.62A}') == "parked"
    assert last(LOCKED, STEADY, 'at: "9:40", total: 0.62A, read: {F4: draws}') == "parked"
    assert last(LOCKED, STEADY, 'at: "9:35", read: {F4: 0.0mV}', 'at: "9:50", read: {F3: 0.60A}') == "parked"


def test_before_it_and_without_it_the_clock_counts() -> None:
    assert last(LOCKED, 'at: "9:30", total: 0.62A', 'at: "9:40", read: {F3: 0.62A}') == "early"
    assert told(LOCKED, 'at: "9:20", read: {F3: 0.62A}', STEADY).readings[0].speaks == "early"
    assert last(LOCKED, 'at: "9:30", read: {F3: 0.62A}, steady: yes', 'at: "9:40", total: 0.62A') == "early"


@pytest.mark.parametrize(
    ("done", "speaks"),
    [
        ("state: opened", "woken"),
        ("state: locked", "early"),
        ("state: charger on", "woken"),
        ("out: [COOLER]", "woken"),
        ("scan: {answers: [HEATER]}", "woken"),
        ("codes: [P0562]", "early"),
        ("mended: a wire", "woken"),
        ("remark: dry", "parked"),
        ("volts: {COOLER.1: 12.3V}", "parked"),
    ],
)
def test_what_was_done_since_ends_it(done: str, speaks: str) -> None:
    assert last(LOCKED, STEADY, f'at: "9:36", {done}', 'at: "9:40", total: 0.62A') == speaks


def test_open_or_on_the_charger_it_vouches_for_nothing() -> None:
    opened = ('at: "9:10", state: opened', STEADY, 'at: "9:32", state: locked', 'at: "9:40", total: 0.62A')
    assert last(LOCKED, *opened) == "early"
    charged = ('at: "9:25", state: charger on', STEADY, 'at: "9:40", read: {F3: 0.62A}')
    assert last(LOCKED, *charged) == "early"


def test_of_two_batteries_the_one_that_was_watched_speaks_for_itself_only() -> None:
    one = (LOCKED, 'at: "9:30", read: {BAT: 0.62A}, steady: yes')
    assert last(*one, 'at: "9:40", read: {BAT: 0.62A}', truck=TWO) == "parked"
    assert last(*one, 'at: "9:40", read: {LIV: 0.62A}', truck=TWO) == "early"
    both = (*one, 'at: "9:33", read: {LIV: 0.30A}, steady: yes')
    assert last(*both, 'at: "9:40", read: {F3: 0.62A}', truck=TWO) == "parked"


def test_a_network_line_read_after_it_is_that_of_a_sleeping_vehicle() -> None:
    bus = TRUCK + "network BODY can members COOLER, HEATER\n"
    line = 'at: "9:40", network: {BODY: 2.5V}'
    assert [told(LOCKED, *look, line, truck=bus).lines[0].speaks for look in ((STEADY,), ())] == ["parked", "early"]


def test_from_when_it_counts_as_asleep() -> None:
    assert told(LOCKED).asleep_from == 600.0
    assert told(LOCKED, STEADY).asleep_from == 570.0
    assert told(LOCKED, STEADY, 'at: "9:36", out: [COOLER]').asleep_from == 596.0
    assert told(LOCKED, STEADY, 'at: "9:36", state: locked').asleep_from == 636.0


@pytest.mark.parametrize(("during", "speaks"), [("event", "parked"), ("floor", "early")])
def test_an_event_is_no_matter_of_sleep(during: str, speaks: str) -> None:
    assert last(LOCKED, f'at: "9:10", total: 0.83A, during: {during}') == speaks


def test_what_comes_back_in_an_event_has_come_back() -> None:
    trial = (LOCKED, 'at: "10:05", total: 0.83A, during: event', 'at: "10:10", out: [COOLER]',
             'at: "10:20", total: 0.01A, steady: yes', 'at: "10:22", back: [COOLER]')  # fmt: skip
    for during, came_back in (("event", True), ("floor", None)):
        for seen in ("total: 0.83A", "change: again"):
            (attempt,) = told(*trial, f'at: "10:26", {seen}, during: {during}').tries
            assert attempt.came_back is came_back


@pytest.mark.parametrize("state", ["opened", "key on", "charger on"])
def test_an_event_of_an_open_vehicle_or_on_the_charger_is_none_of_the_parked_one(state: str) -> None:
    assert last(LOCKED, f'at: "10:20", state: {state}', 'at: "10:25", total: 0.83A, during: event') == "woken"
