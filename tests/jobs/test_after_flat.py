"""A battery that went flat is tested once more after what emptied it was mended. Invented sheets."""

import pytest

from circuitmap.jobs.after_flat import to_test_after_flat
from circuitmap.jobs.job import Job
from circuitmap.reports.job.job_json import job_json
from circuitmap.reports.job.job_text import job_text
from circuitmap.reports.pages.report import report_of
from tests.jobs.test_checks_done import job

FOUND = (
    'at: "2026-02-01 20:00", state: locked, meter: low-current clamp, zeroed: yes',
    'at: "2026-02-01 21:00", total: 0.30A', 'at: "2026-02-01 21:10", out: [BOOT]',
    'at: "2026-02-01 22:00", total: 0.01A', 'at: "2026-02-01 22:10", back: [BOOT]',
    'at: "2026-02-01 23:00", total: 0.30A',
)  # fmt: skip
PROVEN = (
    'at: "2026-02-01 23:10", out: [BOOT]', 'at: "2026-02-01 23:30", total: 0.01A, steady: yes, tested: {BOOT: bad}',
)  # fmt: skip
MENDED = (
    'at: "2026-02-02 08:00", cause: "BOOT, stays on", mended: lamp renewed', 'at: "2026-02-02 08:10", state: locked',
    'at: "2026-02-02 09:00", total: 0.01A',
)  # fmt: skip
FLAT = ("flat-after: 3 days", "done-before: battery charged, tested good")


def told(*entries: str, intake: tuple[str, ...] = FLAT) -> tuple[Job, str]:
    found = job(*entries, intake=intake)
    assert not found.problems
    return found, " ".join(" ".join(job_text(found)).split())


@pytest.mark.parametrize(
    ("entries", "intake", "asked"),
    [
        ((*FOUND, *MENDED), FLAT, True),
        ((*FOUND, *MENDED, 'at: "2026-02-02 10:00", battery: {test: good}'), FLAT, False),
        ((*FOUND, *MENDED, 'at: "2026-02-02 10:00", battery: {charging: 14.2V}'), FLAT, True),
        ((*FOUND, *MENDED), (), False),  # nobody says that it went flat
        (FOUND, FLAT, False),  # nothing is mended yet, nor proven
        ((*FOUND, *PROVEN), FLAT, True),
        ((*FOUND, *PROVEN, 'at: "2026-02-01 23:40", battery: {test: good}'), FLAT, False),
        ((*FOUND, *MENDED[:-1], 'at: "2026-02-02 09:00", total: 0.30A'), FLAT, False),  # it still draws
    ],
)
def test_it_is_tested_again_where_no_test_is_on_the_card(
    entries: tuple[str, ...], intake: tuple[str, ...], asked: bool
) -> None:
    found, text = told(*entries, intake=intake)
    assert to_test_after_flat(found) == (("BAT",) if asked else ())
    assert ("BAT went flat: charge it full" in text) == asked
    assert job_json(found)["battery_so_far"]["to_test_after_flat"] == ("BAT" if asked else "")
    customer = " ".join(said for one in report_of(found).customer for said in one.sentences)
    assert ("BAT went flat" in customer) == asked
