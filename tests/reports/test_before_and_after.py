"""The report's figures before and after are of the same battery; each battery has its own, and each thing that was found
stands among what was found."""

from circuitmap.flows.job import job_from
from circuitmap.flows.questions import platform_from
from circuitmap.reports.pages.report import Report, report_of
from circuitmap.reports.pages.report_html import report_html
from circuitmap.reports.pages.report_md import report_md
from circuitmap.source import SourceFile
from circuitmap.wiring.platform import Platform

LIBRARY_VAN = """\
platform "Library van" sleep 5min..10min limit 50mA
battery START "starter battery" 90Ah
battery SHELF "shelf battery" 70Ah
box CAB, REAR
fuse CAB.F1 10A mini, CAB.F2 10A mini, REAR.F1 10A mini, REAR.F2 10A mini
bar CAB.B1 feeds CAB.F1, CAB.F2
bar REAR.B1 feeds REAR.F1, REAR.F2
module LOCKS "locks" supply 1 ground 2 asleep 1mA awake 800mA
module HEATER "parking heater" supply 1 ground 2 asleep 1mA awake 300mA
lamp SHELVES "shelf lamps" supply 1 ground 2 draws 1.5A
module COOLER "cool box" supply 1 ground 2 asleep 1mA awake 300mA
START.+ -> CAB.B1
SHELF.+ -> REAR.B1
START.-, SHELF.- -> case
CAB.F1 -> LOCKS.1
CAB.F2 -> HEATER.1
REAR.F1 -> SHELVES.1
REAR.F2 -> COOLER.1
LOCKS.2, HEATER.2, SHELVES.2, COOLER.2 -> case
"""
ONE_BATTERY = "\n".join(
    line.replace("SHELF.+", "START.+").replace("START.-, SHELF.-", "START.-")
    for line in LIBRARY_VAN.splitlines() if not line.startswith("battery SHELF")
)  # fmt: skip
LOCKED = "at: 08:00, state: locked, meter: low-current-clamp"
MENDED = ('at: 10:10, cause: "LOCKS"', 'at: 10:20, mended: "new LOCKS"', "at: 10:30, state: locked")


def job_report(van: str, *entries: str) -> Report:
    platform: Platform = platform_from((SourceFile("p.circuit", van),))
    card = "job: X\nentries:\n" + "".join(f"- {{{entry}}}\n" for entry in entries)
    return report_of(job_from(platform, card, "card.yaml"))


def found(its: Report) -> str:
    return " ".join(next(part.sentences for part in its.customer if part.heading == "We found"))


def figures(its: Report) -> list[tuple[str, str, str]]:
    return [(one.battery, one.before, one.after) for one in its.figures]


def test_before_and_after_are_of_the_same_battery() -> None:
    read = "at: 09:00, read: {START: 0.80A, SHELF: 0.20A}, steady: yes"
    since = "at: 11:30, read: {START: 0.03A, SHELF: 0.01A}, steady: yes"
    its = job_report(LIBRARY_VAN, LOCKED, read, *MENDED, since)
    assert figures(its) == [("START", "0.80 A", "0.030 A"), ("SHELF", "0.20 A", "0.010 A")]
    assert "it drew 0.80 A from the starter battery (START) and 0.20 A from the shelf battery (SHELF);" in found(its)
    page = report_md(its)
    assert r"START: before **0\.80 A**; after **0\.030 A**" in page
    assert r"SHELF: before **0\.20 A**; after **0\.010 A**" in page
    boxes = report_html(its)
    assert "Parked, from START<b>0.80 A</b>" in boxes and "START, since it was mended<b>0.030 A</b>" in boxes


def test_a_battery_that_was_not_read_since_has_no_after() -> None:
    read = "at: 09:00, read: {START: 0.80A, SHELF: 0.20A}, steady: yes"
    its = job_report(LIBRARY_VAN, LOCKED, read, *MENDED, "at: 11:30, read: {SHELF: 0.01A}, steady: yes")
    assert figures(its) == [("START", "0.80 A", ""), ("SHELF", "0.20 A", "0.010 A")]


def test_with_a_part_out_at_one_battery_the_other_keeps_its_own() -> None:
    tried = (
        "at: 09:00, read: {START: 0.80A, SHELF: 0.20A}, steady: yes", "at: 09:05, out: [LOCKS]",
        "at: 09:30, read: {START: 0.02A}, steady: yes", "at: 09:35, back: [LOCKS]",
        "at: 10:00, read: {START: 0.80A}, steady: yes",
    )  # fmt: skip
    since = "at: 11:30, read: {SHELF: 0.01A}, steady: yes"
    assert figures(job_report(LIBRARY_VAN, LOCKED, *tried)) == [("START", "0.80 A", "0.020 A"), ("SHELF", "0.20 A", "")]
    its = job_report(LIBRARY_VAN, LOCKED, *tried, *MENDED, since)
    assert figures(its) == [("START", "0.80 A", "0.020 A"), ("SHELF", "0.20 A", "0.010 A")]


def second(all_of_it: str) -> tuple[str, ...]:
    """A charger on no sheet takes its share beside the locks' 0.82 A."""
    return (
        f"at: 09:00, read: {{START: {all_of_it}}}, steady: yes", "at: 09:02, added: {torch charger: CAB.F2}",
        "at: 09:05, out: [torch charger]", "at: 09:30, read: {START: 0.82A}, steady: yes", "at: 09:35, out: [LOCKS]",
        "at: 10:00, read: {START: 0.02A}, steady: yes", "at: 10:02, back: [LOCKS]",
        "at: 10:07, read: {START: 0.82A}, steady: yes",
    )  # fmt: skip


def test_what_it_drew_is_all_that_it_drew_as_it_came_in() -> None:
    its = job_report(ONE_BATTERY, LOCKED, *second("0.97A"))
    assert figures(its) == [("", "0.97 A", "0.020 A")]
    assert "it drew 0.97 A;" in found(its)
    assert r"Before: **0\.97 A**; after: **0\.020 A**" in report_md(its)


def test_a_second_cause_stands_among_what_was_found() -> None:
    charger = "With torch charger out it went from 0.97 A to 0.82 A."
    assert charger in found(job_report(ONE_BATTERY, LOCKED, *second("0.97A")))
    its = job_report(ONE_BATTERY, LOCKED, *(one for one in second("0.97A") if "torch" not in one and "0.97" not in one))
    assert "it went from" not in found(its) and figures(its) == [("", "0.82 A", "0.020 A")]


def test_of_two_large_shares_both_are_told() -> None:
    told = found(job_report(ONE_BATTERY, LOCKED, *second("1.60A")))
    assert "With torch charger out the draw goes down to 0.82 A." in told
    assert "With the locks (LOCKS) out it went from 0.82 A to 0.020 A." in told


def test_what_led_to_the_same_cause_is_told_once() -> None:
    again = (
        "at: 10:12, out: [CAB.F1]", "at: 10:20, read: {START: 0.02A}, steady: yes", "at: 10:22, back: [CAB.F1]",
        "at: 10:30, read: {START: 0.82A}, steady: yes",
    )  # fmt: skip
    told = found(job_report(ONE_BATTERY, LOCKED, *second("0.97A"), *again))
    assert told.count("it went from") == 1 and "With torch charger out it went from" in told


def test_of_what_comes_and_goes_the_mean_stands_against_the_mean() -> None:
    """A peak of 4.66 A and a night's mean of 0.01 A are not of the same: the mean before was 1.56 A."""
    comes = "at: 09:00, log: {floor: 0.01A, peak: 4.66A, mean: 1.56A, for: 12h, every: 60min}"
    night = "at: 23:50, log: {floor: 0.01A, peak: 0.01A, mean: 0.01A, for: 12h}"
    up = "at: 09:10, total: 4.66A, during: event"
    its = job_report(ONE_BATTERY, LOCKED, comes, up, *MENDED, night)
    assert figures(its) == [("", "1.56 A on average (4.66 A at times)", "0.010 A on average")]
    steady = job_report(ONE_BATTERY, LOCKED, "at: 09:00, total: 0.80A, steady: yes", *MENDED, night)
    assert figures(steady) == [("", "0.80 A", "0.010 A")]


def test_what_goes_into_one_of_two_batteries_is_told_as_that() -> None:
    read = "at: 09:00, read: {START: 0.80A, SHELF: -0.20A}, steady: yes"
    since = "at: 11:30, read: {START: 0.03A, SHELF: 0.01A}, steady: yes"
    its = job_report(LIBRARY_VAN, LOCKED, read, *MENDED, since)
    assert ("SHELF", "0.20 A into it", "0.010 A") in figures(its) and ("START", "0.80 A", "0.030 A") in figures(its)
    assert "0.20 A went into the shelf battery (SHELF)" in found(its) and "-0.20" not in found(its)


def test_few_milliamperes_stand_in_the_chart_as_on_the_page() -> None:
    """What a meter of milliamperes shows is not rounded to nothing in one place and told in the other."""
    tried = ("at: 08:40, total: 0.095A", "at: 08:50, out: [LOCKS]", "at: 09:10, total: 0.002A")
    its = job_report(ONE_BATTERY, f"{LOCKED}, resolution: 1mA, zeroed: yes", *tried)
    assert [bar.words for bar in its.bars] == [("0.095 A", "0.002 A")]
    assert "| 0.095 A | 0.002 A |" in report_md(its)
    assert "0.002 A with it out" in report_html(its)
    coarse = job_report(ONE_BATTERY, "at: 08:00, state: locked, meter: clamp, resolution: 10mA, zeroed: yes",
                        "at: 08:40, total: 0.30A", "at: 08:50, out: [LOCKS]", "at: 09:10, total: 0.01A")  # fmt: skip
    assert [bar.words for bar in coarse.bars] == [("0.30 A", "0.01 A")]
