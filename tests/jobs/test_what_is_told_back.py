"""What an entry is told back with, and where it stands in the report: the battery's checks, what goes on by itself, what is
expected of a switch that was turned, what is on no sheet; and that the customer is in none of it."""

from pathlib import Path

import pytest

from circuitmap.flows.job import Added, add_to_card, open_job
from circuitmap.jobs.without_customer import without_customer
from circuitmap.reports.job.job_text import added_text, job_text
from circuitmap.reports.pages.report import report_of

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB
fuse CAB.F22 20A mini, CAB.F23 15A mini
bar CAB.B1 feeds CAB.F22, CAB.F23
ground G1
BAT.+ -> CAB.B1
BAT.- -> G1
module SIREN "siren" supply 1 ground 2 care own-battery
CAB.F22 -> SIREN.1
SIREN.2 -> G1
network LOCKBUS lin members SIREN (3)
lamp BUNKL running 300mA
switch BUNKSW positions off, on closes 1 to 2 in on
CAB.F23 -> BUNKL -> BUNKSW.1
BUNKSW.2 -> G1
"""
CARD = """\
job: 7
platform: van
battery: 72Ah
customer: Ada Quill
entries:
  - {at: "2026-02-03 10:00", state: locked}
  - {at: "2026-02-03 10:50", total: 0.47A}
"""


@pytest.fixture
def card(tmp_path: Path) -> Path:
    (tmp_path / "van").mkdir()
    (tmp_path / "van" / "v.circuit").write_text(VAN, "utf-8")
    (tmp_path / "job.yaml").write_text(CARD, "utf-8")
    return tmp_path / "job.yaml"


def add(card: Path, line: str, at: str = "2026-02-03 11:00") -> tuple[Added, str]:
    added = add_to_card(card, line, at=at)
    return added, " ".join("\n".join(added_text(added.before, added.job, added.measured, [])).split())


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("battery rest 12.45V", "BAT at rest 12.45 V, about 75% full: not full: charge it before it is tested"),
        ("battery rest 12.7V", "BAT at rest 12.7 V, about 100% full: charged"),
        ("battery rest 10.4V", "empty, or one cell is shorted"),
        ("battery charging 14.2V", "BAT while charging 14.2 V: it is being charged (13.8 to 14.8 V for 12 V"),
        ("battery charging 12.9", "it is not charged"),
        ("battery charging 15.4V", "it is charged too high"),
        ("battery test bad", "BAT, battery test: failed"),
        ("battery test passed", "BAT, battery test: passed"),
    ],
)
def test_a_check_of_the_battery_is_told_with_what_it_says_and_stands_in_the_report(
    card: Path, line: str, told: str
) -> None:
    added, text = add(card, line)
    assert told in text
    assert told in " ".join("\n".join(job_text(added.job)).split())
    battery = next(section for section in report_of(added.job).customer if section.heading == "Battery")
    assert any(told in sentence for sentence in battery.sentences)


def test_volts_at_rest_count_in_the_arithmetic(card: Path) -> None:
    """What was not measured before is measured now, and the report no longer says that nobody wrote it down."""
    before = [s for section in report_of(open_job(card)).customer for s in section.sentences]
    assert any("were not written down" in said for said in before)
    added, _ = add(card, "battery rest 12.45V")
    assert added.job.intake.volts == 12.45
    assert "parked about 80 %" not in " ".join("\n".join(job_text(added.job)).split())
    assert not any("were not written down" in s for section in report_of(added.job).customer for s in section.sentences)


def test_a_fuse_before_something_with_a_battery_of_its_own(card: Path) -> None:
    _, text = add(card, "out F22; no change")
    assert "SIREN has a battery of its own: with CAB.F22 out it goes on, and may keep LOCKBUS awake." in text
    assert "not SIREN: unplug SIREN itself" in text
    _, text = add(card, "back all; out SIREN", at="2026-02-03 12:00")
    assert "SIREN has a battery of its own: unplugged it may go on, sound, and stay live." in text


def test_what_was_fitted_with_a_battery_of_its_own_by_the_card_alone(card: Path) -> None:
    add(card, "fitted COOLER from F23; own-battery COOLER")
    _, text = add(card, "out F23", at="2026-02-03 11:10")
    assert "COOLER has a battery of its own: with CAB.F23 out it goes on." in text


def test_what_is_expected_is_written_down_before_it_is_read(card: Path) -> None:
    """The limit is 0.05 A; a fall of less than a fifth of 0.47 A is none."""
    _, text = add(card, "turned BUNKSW off")
    assert (
        "Lock it, wait 20 min, and read BAT: 0.05 A or less, and it was BUNKSW; 0.38 A or more, and it was not" in text
    )
    added, text = add(card, "total 0.03A", at="2026-02-03 11:30")
    assert "EXPECT" not in text and "BUNKSW, turned to off: BAT 0.47 A before, 0.03 A since" in text
    assert added.job.standing.stage == "involved"
    sentences = [s for section in report_of(added.job).customer for s in section.sentences]
    assert any("With BUNKSW at off the draw is gone. It is left so." in s for s in sentences)
    assert any(s.startswith("We turned the switch, and read 0.47 A before, 0.03 A since") for s in sentences)


def test_set_otherwise_than_the_card_says_is_turned(card: Path) -> None:
    add(card, "set BUNKSW on")
    added, _ = add(card, "set BUNKSW off; total 0.03A", at="2026-02-03 11:30")
    assert added.job.evidence.positions == {"BUNKSW": "on"}
    assert added.job.evidence.tries[0].turned == (("BUNKSW", "off"),)


def test_the_whole_job_of_what_is_on_no_sheet(card: Path) -> None:
    add(card, "fitted COOLER from F23; COOLER=0.44A")
    add(card, "out COOLER; gone", at="2026-02-03 11:10")
    add(card, "back all", at="2026-02-03 11:12")
    add(card, "again", at="2026-02-03 11:40")
    added, text = add(card, "out cooler: gone", at="2026-02-03 11:45")
    assert "COOLER: BAT 0.47 A with it, gone without, there again with it again, gone without again" in text
    assert added.job.standing.stage == "proven"  # nothing of it can be tested apart: it is no part of the vehicle
    added, _ = add(card, "tested COOLER inputs fine outputs fine feed 0.05V ground 0.02V", at="2026-02-03 11:50")
    assert added.job.standing.stage == "proven" and added.job.standing.still_out == ("COOLER",)
    assert not added.job.problems


def test_the_customer_is_not_in_the_name_of_what_is_on_no_sheet(card: Path) -> None:
    add(card, "fitted QUILL-COOLER from F23")
    added, _ = add(card, "out QUILL-COOLER; total 0.03A", at="2026-02-03 11:10")
    shared = without_customer(added.job.platform, added.job.card)
    assert not shared.doubtful
    names = {text.value for entry in shared.card.entries for text in entry.out}
    names |= {pair.name.value for entry in shared.card.entries for pair in entry.added}
    assert names == {"[customer]-COOLER"}


def test_nothing_is_written_where_a_line_makes_no_sense(card: Path) -> None:
    from circuitmap.failures import WrongUse

    before = card.read_bytes()
    for line in ("gone", "found nobody warm", "battery test 12V", "fitted siren from F22", "out F22: again"):
        with pytest.raises(WrongUse):
            add(card, line)
    assert card.read_bytes() == before
