"""The customer's page is in the customer's words: parts by what they do, one verdict, doubts in the record."""

from pathlib import Path

from circuitmap.drawings.scene.scene import Mark
from circuitmap.drawings.scene.wanted import Wanted
from circuitmap.flows.job import open_job
from circuitmap.flows.page import report_on
from circuitmap.flows.questions import open_platform
from circuitmap.reports.pages.customer_words import plain_part
from circuitmap.reports.pages.report import Report
from circuitmap.reports.pages.report_html import report_html
from tests.wiring.written import platform_from

VAN = Path(__file__).parents[2] / "sample_vehicles" / "van"


def customer_page(report: Report) -> str:
    sections = (sentence for section in report.customer for sentence in section.sentences)
    return "\n".join((report.verdict, *sections))


def test_the_doubts_of_the_trade_are_in_the_record_only() -> None:
    report = report_on(open_job(VAN / "jobs" / "0405.yaml"))
    text = customer_page(report)
    record = "\n".join(sentence for section in report.record for sentence in section.sentences)
    for words in ("not cleared", "not transcribed", "(this platform's)"):
        assert words not in text and words in record
    assert "the limit for this vehicle is" in text and "the record lists" in text


def test_the_verdict_is_said_once() -> None:
    report = report_on(open_job(VAN / "jobs" / "0405.yaml"))
    assert customer_page(report).count(report.verdict) == 1


def test_a_part_is_told_by_what_it_does() -> None:
    platform = open_platform(VAN)
    assert plain_part(platform, "REAR.K2") == "the heated screens relay (REAR.K2)"
    assert plain_part(platform, "BCM") == "the body computer (BCM)"
    assert plain_part(platform, "SOMETHING") == "SOMETHING"
    text = customer_page(report_on(open_job(VAN / "jobs" / "0405.yaml")))
    assert "With the heated screens relay (REAR.K2) out the draw is gone" in text and "at the battery" in text


def test_what_is_proven_is_not_called_a_suspect() -> None:
    assert Wanted(suspect=("K2",)).mark_of("K2") is Mark.SUSPECT
    assert Wanted(suspect=("K2",), proven=True).mark_of("K2") is Mark.FAULTY
    assert str(Mark.FAULTY) == "found faulty"


def test_day_and_time_stand_below_each_other() -> None:
    html = report_html(report_on(open_job(VAN / "jobs" / "0388.yaml")))
    assert '<td class="time">' in html and "min-width:46em}" not in html.partition("<body")[0].partition("@media")[0]


def test_what_is_called_after_something_is_not_told_as_that() -> None:
    text = (
        'battery BAT\ndiode D1 "door"\nfuse F1 5A "horn", F2 60A "main fuse"\nlamp L "door lamp"\nconnector X1 "sill"\n'
    )
    platform = platform_from(text)
    said = [plain_part(platform, name) for name in ("D1", "F1", "F2", "X1", "L")]
    assert said[:2] == ["the diode D1 (door)", "the fuse F1 (horn)"]
    assert said[2:] == ["the main fuse (F2)", "the connector X1 (sill)", "the door lamp (L)"]
