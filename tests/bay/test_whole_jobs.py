"""Whole jobs of the samples, played on the page by two phones: the card is that of the same lines through `card add`,
but for who wrote an entry, what the phone calls it, and the seconds."""

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from itertools import cycle
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from circuitmap.evidence.job_card import Entry, read_card
from circuitmap.flows.job import add_to_card
from circuitmap.jobs.card_writing import bare
from circuitmap.jobs.job import card_source
from tests.bay.as_lines import lines_of
from tests.bay.phones import paired_phone, wait_until_empty
from tests.bay.served import ROOT, Served
from tests.pages.browser import browser

ON_DEMAND = (pytest.mark.slow, pytest.mark.on_demand)
JOBS = sorted((ROOT / "sample_vehicles").glob("*/jobs/*.yaml"))
PLAYED_IN_TIME = """
import os
from datetime import datetime, timedelta
from pathlib import Path
import circuitmap.web.application as application
from circuitmap.cli.main import run
class Played(datetime):
    @classmethod
    def now(cls, tz=None):
        return cls.fromisoformat(Path(os.environ["PLAYED_NOW"]).read_text())
application.datetime = Played
run()
"""
"""The same program, but that its clock stands at what is written in the file that PLAYED_NOW names."""
TAPPED_STATES = ("locked", "opened", "key on", "key off")


def played(entries: tuple[Entry, ...]) -> Iterator[tuple[datetime, str]]:
    """Every line of a job, with its time; one a minute, where an entry is two."""
    day = "2026-11-09"
    for entry in entries:
        assert entry.at is not None
        written = entry.at.value.rpartition(" ")
        day = written[0] or day
        for line in lines_of(entry):
            yield datetime.fromisoformat(f"{day} {written[2]}"), line


def begun(card: Path, name: str) -> Path:
    """The card as it was before anything was written on it."""
    text = card.read_text("utf-8")
    new = card.with_name(name)
    new.write_text(text[: text.index("entries:")] + "entries:\n", "utf-8")
    return new


def write(page: Any, line: str) -> None:
    """As it is written with the fewest taps: a button, the number pad, or typed."""
    fuse = re.fullmatch(r"(?:total|(\S+)=?)[ =]?([0-9.]+)(mV|mA|A)", line)
    if line in TAPPED_STATES:
        page.click("#tabs >> text=Read")
        page.click(f".taps button:text-is('{line}')")
    elif fuse is not None and line.startswith("total "):
        page.click("#tabs >> text=Read")
        page.click("#view .fuse button.about >> nth=0")
        _press(page, fuse[2], fuse[3])
    else:
        page.click("#tabs >> text=Card")
        page.fill("#typed", line)
        page.click("text=Write it down")


def _press(page: Any, digits: str, unit: str) -> None:
    page.click(f"#pad button:text-is('{unit}')")
    for digit in digits:
        page.click(f".keys button:text-is('{digit}')")
    page.click("#pad .main")


@pytest.mark.parametrize(
    "job",
    [pytest.param(job, marks=() if job.name == "0366.yaml" else ON_DEMAND, id=job.stem) for job in JOBS],
)
def test_a_whole_job_on_two_phones(job: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copytree(job.parent.parent, tmp_path / "vehicle")
    jobs = tmp_path / "vehicle" / "jobs"
    card, typed = begun(jobs / job.name, "played.yaml"), begun(jobs / job.name, "typed.yaml")
    clock = tmp_path / "now"
    monkeypatch.setenv("PLAYED_NOW", str(clock))
    lines = [*played(read_card(card_source(job))[0].entries)]
    clock.write_text(lines[0][0].isoformat())
    server = Served(card, program=("-c", PLAYED_IN_TIME))
    server.start()
    try:
        with browser() as found:
            phones = [paired_phone(found, server, who) for who in ("Ida", "Tom")]
            for (at, line), page in zip(lines, cycle(phones), strict=False):
                clock.write_text((at + timedelta(seconds=30)).isoformat())  # what a tap takes stays in its minute
                write(page, line)
                wait_until_empty(page)
            assert [page.errors for page in phones] == [[], []]
            for page in phones:
                page.click("#tabs >> text=Card")
                page.wait_for_selector(f".entry >> nth={len(lines) - 1}")
    finally:
        server.kill()
    for at, line in lines:
        add_to_card(typed, line, at=f"{at:%Y-%m-%d %H:%M}")
    got, wanted = (read_card(card_source(path)) for path in (card, typed))
    assert not got[1] and len(got[0].entries) == len(lines)
    assert [but_who(entry) for entry in got[0].entries] == [but_who(entry) for entry in wanted[0].entries]
    assert [entry.by.value for entry in got[0].entries if entry.by] == [
        who for _, who in zip(lines, cycle(("Ida", "Tom")), strict=False)
    ]
    assert got[0].intake.keys() == wanted[0].intake.keys()


def but_who(entry: Entry) -> object:
    said = {name: value for name, value in bare(entry) if name not in ("by", "id")}  # type: ignore[attr-defined]
    return {**said, "at": str(said["at"])[:16]}
