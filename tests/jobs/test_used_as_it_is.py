"""What is read with the key on is kept, look by look, told by what takes it, and held against the complaint: where nothing
draws while it is parked, how it is used comes before another log of the locked vehicle. Figures by hand."""

import pytest

from circuitmap.jobs.in_use import is_of_use
from circuitmap.jobs.job import Job, job_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.in_use_words import in_use_lines, use_steps
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.job.mended_text import because_sentences
from circuitmap.reports.job.standing_text import headline
from circuitmap.reports.pages.report import report_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

LIBRARY_BUS = """\
platform "Brisling Bookbus" sleep 10min..20min limit 50mA
naming SP* splice
battery BAT 100Ah
fuse F1 10A mini, F2 15A mini, F3 20A mini
key KEY positions off, on closes 30 to 15 in on
switch READSW positions off, on closes 1 to 2 in on
heater PANE "heated pane" running 96W
lamp READL "reading lamp" running 12W
lamp READR "reading lamp" running 12W
module DESK "lending desk" supply 1 ground 2 asleep 5mA awake 600mA
ground G
BAT.+ -> F1 -> DESK.1
BAT.+ -> KEY.30
KEY.15 -> F2 -> PANE -> G
KEY.15 -> F3 -> READSW.1
READSW.2 -> SP3
SP3 -> READL -> G
SP3 -> READR -> G
DESK.2 -> G
BAT.- -> G
"""
CARD = """\
job: 4
platform: bus
complaint: does not start after a stop
{more}
battery: 100Ah
entries:
  - {{at: "08:00", state: locked, meter: low-current clamp, zeroed: yes}}
  - {{at: "10:30", log: {{floor: 0.005A, mean: 0.006A, peak: 0.010A, for: 2h}}}}
{entries}"""
AT_WORK = """\
  - {at: "10:40", state: key on, remark: "pane heated, reading lamps on"}
  - {at: "10:42", total: 10.6A, read: {F2: 8.0A, F3: 2.0A}}
  - {at: "10:43", read: {F1: 0.3A}}
"""
LESS = '  - {at: "10:50", total: 2.6A, remark: "pane off"}\n'


def job(entries: str, more: str = "happens-when: after lending at a village stop") -> Job:
    platform = platform_of([read_text(SourceFile("b.circuit", LIBRARY_BUS))[0]])
    its = job_of(platform, SourceFile("j.yaml", CARD.format(more=more, entries=entries)))
    assert not its.problems, its.problems
    return its


def told(its: Job) -> str:
    return " ".join(" ".join(job_text(its)).split())


def lines(its: Job) -> list[str]:
    return list(in_use_lines(its.platform, its.intake, its.standing.in_use, its.drained[1]))


def test_every_look_is_kept_with_its_time_its_remark_and_what_is_less() -> None:
    first, of_that, second = lines(job(AT_WORK + LESS))
    assert first.startswith(
        "At 10.60 A with the key on (10:42; pane heated, reading lamps on) it no longer starts after"
    )
    assert "an hour of it takes 10.6 Ah" in first
    assert second.startswith("At 2.60 A with the key on (10:50; pane off)") and "8.00 A less than" in second
    assert of_that.startswith("Of that: F2 8.00 A")


def test_what_takes_it_stands_beside_each_fuse_by_its_figure_alone() -> None:
    """96 W at 12 V are 8 A; two lamps of 12 W 2 A; 0.3 A is half of what the desk takes awake: it fits nothing."""
    _, of_that = lines(job(AT_WORK))
    assert "F2 8.00 A, what PANE running (8.00 A) takes" in of_that
    assert "F3 2.00 A, what READL running (1.00 A) and READR running (1.00 A) take" in of_that
    assert "F1 0.30 A (there: DESK)" in of_that and "no fault" not in of_that
    (_, whole) = lines(job(AT_WORK.replace("F1: 0.3A", "F1: 0.6A")))
    assert "DESK awake (0.60 A)" in whole and whole.endswith("All of it as typed in: use, no fault.")


def test_how_it_is_used_is_asked_before_another_log_of_the_locked_vehicle() -> None:
    said = told(job(AT_WORK))
    assert "with the key on it takes 10.60 A, and that may be all it is" in said
    assert said.index("Ask how long it is used as it was at 10:42 (10.60 A, so 10.6 Ah an hour)") < said.index(
        "If it was not used so: lock it, and log it once more"
    )
    assert "with a clamp, no meter in series" in said and "What is switched on may move or get hot" in said
    less = told(job(AT_WORK + LESS))
    assert "With less on it took 2.60 A (pane off): if that will do, it is the remedy" in less
    assert "Set it so once more" not in less


def test_a_use_that_takes_no_more_than_parked_asks_nothing() -> None:
    its = job('  - {at: "10:40", state: key on}\n  - {at: "10:42", total: 0.020A}\n')
    assert not list(use_steps(its.platform, its.standing))
    assert "Lock it, and log it once more when it is so" in told(its)


@pytest.mark.parametrize(
    ("when", "use"),
    [("after lending at a stop", True), ("when it rains", False), ("after a night outside", False), ("", False)],
)
def test_what_happens_while_nobody_uses_it_is_still_logged(when: str, use: bool) -> None:
    assert is_of_use(when) == use
    if when and not use:
        its = job(AT_WORK, f"happens-when: {when}")
        assert "Lock it, and log it once more when it is so" in told(its) and "may be all it is" not in told(its)


def test_it_is_held_against_the_time_complained_of() -> None:
    """20 to 40 of 100 Ah at 10.6 A: two to four hours."""
    enough = lines(job(AT_WORK, "flat-after: 3 hours"))[0]
    assert "Used so all that time it is enough to go flat in" in enough or "perhaps enough" in enough
    assert "not enough to go flat in" in lines(job(LESS.replace("10:50", "10:51").join(
        ['  - {at: "10:40", state: key on}\n', ""]), "flat-after: 2 hours"))[0]  # fmt: skip


def test_the_report_has_it_once_and_as_no_gap() -> None:
    its = job(AT_WORK + LESS)
    record = {part.heading: part.sentences for part in report_of(its).record}
    assert "Read too early, or woken" not in record
    assert record["Read with the key on: in use, no draw"][0].startswith("10:42: BAT 10.60 A; F2 8.00 A, what PANE")


def test_the_same_as_data() -> None:
    first, second = job_json(job(AT_WORK + LESS))["in_use"]
    assert (first["at"], first["total"]["amps"], second["remark"]) == ("10:42", 10.6, "pane off")
    assert [one["place"] for one in first["fuses"]] == ["F2", "F3", "F1"]
    assert first["fuses"][0]["fits"] == [[{"part": "PANE", "taken": "running", "amps": 8.0}]]
    assert first["fuses"][2] == {"place": "F1", "amps": 0.3, "fits": [], "behind": ["DESK"]}


def test_a_fuse_belongs_to_the_total_of_its_own_use() -> None:
    later = '  - {at: "10:55", state: key off}\n  - {at: "11:00", state: key on}\n  - {at: "11:01", read: {F2: 8.0A}}\n'
    looks = job(AT_WORK + later).standing.in_use
    assert [look.total is None for look in looks] == [False, True]
    assert lines(job(AT_WORK + later))[-1].startswith("With the key on: F2 8.00 A, what PANE")


HABIT = """\
  - {at: "11:00", battery: {test: fine}}
  - {at: "11:05", cause: "pane and lamps on while lending; kind habit", until-then: "pane off while lending"}
  - {at: "11:06", mended: "told the driver"}
"""


def test_a_habit_is_no_fault_and_goes_on_if_it_is_used_so() -> None:
    its = job(AT_WORK + LESS + HABIT)
    head = headline(its.platform, its.standing)
    assert its.standing.stage == "no-draw-mended" and "MENDED" not in head
    assert head.startswith("NO FAULT, USED MORE THAN IT IS FILLED: pane and lamps on while lending. BAT test passed.")
    assert "Parked it draws no more than it should" in head and head.endswith("It goes on if it is used so.")
    because = list(because_sentences(its.platform, its.standing))
    assert because == [
        "With the key on it takes 10.60 A (pane heated, reading lamps on).", "With less on 2.60 A (pane off).",
    ]  # fmt: skip


def test_the_customer_keeps_the_advice_and_reads_what_takes_it_by_its_description() -> None:
    page = {part.heading: part.sentences for part in report_of(job(AT_WORK + LESS + HABIT)).customer}
    assert page["So that it does not come back"][0] == "pane off while lending"
    assert "it goes on if it is used so" in page["So that it does not come back"][1]
    assert "To mend" not in page and "Until then" not in page and page["Done"] == ("Done: told the driver",)
    found = " ".join(page["We found"])
    assert "At 10.60 A with the key on" in found and "what the heated pane (PANE) running (8.00 A) takes" in found
    assert "with the key on" not in " ".join(page["Battery"])


def test_a_battery_that_fails_is_not_its_use_alone() -> None:
    its = job(AT_WORK + HABIT + '  - {at: "11:10", battery: {test: bad}}\n')
    assert headline(its.platform, its.standing).startswith("NOT BY ITS USE ALONE")
    assert "So that it does not come back" not in {part.heading for part in report_of(its).customer}
    unread = job(AT_WORK + HABIT.replace('  - {at: "11:00", battery: {test: fine}}\n', ""))
    assert headline(unread.platform, unread.standing).startswith("NO FAULT FOUND, NOT YET SHOWN")


def test_what_was_mended_is_still_called_mended() -> None:
    other = HABIT.replace("pane and lamps on while lending; kind habit", "G green; kind charging").replace(
        "battery: {test: fine}", "battery: {charging: 12.2V}"
    )
    its = job(AT_WORK + other + '  - {at: "11:10", battery: {charging: 14.2V}}\n')
    assert headline(its.platform, its.standing).startswith("MENDED AND SHOWN")
    assert "So that it does not come back" not in {part.heading for part in report_of(its).customer}
