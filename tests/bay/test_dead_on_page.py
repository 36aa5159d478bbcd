"""What does not work, chosen by taps; the probe's reading by a tap or typed; volts asked for at a point: what is then on
the card is what the same lines put there, and the answer is that of the command line."""

import re
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from shutil import rmtree
from typing import Any

import pytest

from circuitmap.failures import WrongUse
from circuitmap.flows.desk import Desk
from circuitmap.flows.job import add_to_card, next_steps, open_job
from circuitmap.flows.page import report_on
from circuitmap.flows.sent import Sent
from circuitmap.reports.bay.boxes import part_key
from circuitmap.reports.job.dead_told_text import verdict_of
from circuitmap.reports.pages.report_md import report_md
from tests.bay.phones import box_of, paired_phone, wait_until_empty
from tests.bay.served import Served
from tests.bay.test_bay_ends import caution_over_pad, press
from tests.bay.test_bay_page import said
from tests.bay.test_bay_views import SMALL, cautions_above, sub

PLATFORM = """\
platform "Ostrey Dunlin" sleep 10min..15min limit 40mA
battery BAT 95Ah
key IGN "key" positions off, run closes 30 to 15 in run
box HAB "Living box" at "under the seat"
fuse HAB.F1 15A mini "screens", HAB.F2 10A mini "lamps", HAB.F3 5A mini "airbag"
heater SCRL "left screen" running 6A at "left door"
heater SCRR "right screen" running 6A at "right door"
lamp DOME "cab lamp" running 800mA
module SRS "airbag module" hands-off restraint
ground G1 "at the step"
ground G2 "at the door"
bar HAB.B1 feeds HAB.F2, HAB.F3, IGN.30
BAT.+ -> HAB.B1 in RD 10
BAT.- -> G1 in BK 10
IGN.15 -> HAB.F1 in BK 2.5
HAB.F1 -> SP1 in RD 2.5
splice SP1
connector X1
SP1 -> X1.1 -> SCRL.1 in RD 1.5
SP1 -> SCRR.1 in RD 1.5
SCRL.2 -> X1.2 -> G2 in BN 1.5
SCRR.2 -> G2 in BN 1.5
HAB.F2 -> DOME.1 in RD 1
DOME.2 -> G1 in BN 1
HAB.F3 -> SRS.1 in YE 1
"""
CARD = "job: {}\nplatform: {}\nvehicle: camper\ncomplaint: screens stay fogged\nentries:\n"
LINES = (
    "dead SCRL@key=run SCRR@key=run; works DOME@key=run", "probe HAB.F1.2 0.0V", "probe HAB.F1.1 12.6V",
    "mended F1 renewed", "works SCRL SCRR",
)  # fmt: skip


@pytest.fixture
def desk(tmp_path: Path) -> tuple[Desk, str]:
    (tmp_path / "screens").mkdir()
    (tmp_path / "screens" / "all.circuit").write_text(PLATFORM)
    (tmp_path / "job.yaml").write_text(CARD.format(1, "screens"))
    its = Desk(tmp_path / "job.yaml")
    return its, next(iter(its.cards()))


@pytest.fixture
def screens(desk_there: Served, numbers: Iterator[int]) -> Iterator[Served]:
    """The desk that all share, with a job on a platform that is there for this test alone."""
    platform, card = desk_there.what / "screens", desk_there.what / f"s{next(numbers)}" / "job.yaml"
    for folder in (platform, card.parent):
        folder.mkdir()
    (platform / "all.circuit").write_text(PLATFORM)
    card.write_text(CARD.format(card.parent.name, "../screens"))
    yield replace(desk_there, card=card, title=f"job {card.parent.name}")
    for folder in (platform, card.parent):
        rmtree(folder)


def write(desk: Desk, key: str, line: str, number: int) -> None:
    now = datetime(2026, 3, 2, 9, 0) + timedelta(minutes=number)
    [taken] = desk.add(key, "Ida", [Sent(f"device{number:08d}", line, 0)], 0, now).taken
    assert taken.outcome == "kept", taken.why


def test_a_job_on_the_desk_is_that_of_the_command_line(desk: tuple[Desk, str], tmp_path: Path) -> None:
    its, key = desk
    other = tmp_path / "other.yaml"
    other.write_text(its.root.read_text())
    for number, line in enumerate(LINES):
        if number in (1, 2):  # what is tapped is what the answer offers
            offered = [
                line for one in its.answer(key)["steps"] for outcome in one["outcomes"] for line in outcome["lines"]
            ]
            assert line in offered
        write(its, key, line, number)
        add_to_card(other, line, at=f"2026-03-02 09:{number:02}")
        here, there = open_job(its.root), open_job(other)
        assert here.dead == there.dead and here.problems == ()
        assert its.answer(key)["stands"] == verdict_of(there)
        text = " ".join(" ".join(next_steps(there).lines).split())
        for step in its.answer(key)["steps"][:1] if there.dead.stage == "open" else ():
            assert step["words"][1:] in text and all(care in text for care in step["cautions"])
    assert here.dead.stage == "repaired" and its.shelf()[0].closed
    mine, theirs = (re.sub(r":00\b|Ida", "", report_md(report_on(one))) for one in (here, there))
    assert mine == theirs


def test_what_follows_a_tap_is_what_comes_after_it(desk: tuple[Desk, str]) -> None:
    its, key = desk
    write(its, key, LINES[0], 1)
    step = its.answer(key)["steps"][0]
    follows = its.ahead(key)["follows"]
    assert {outcome["key"] for outcome in step["outcomes"]} <= follows.keys()
    tapped = next(outcome for outcome in step["outcomes"] if outcome["lines"] == [LINES[1]])
    write(its, key, LINES[1], 2)
    after = its.answer(key)
    for what in ("stands", "do", "sections", "steps"):
        assert follows[tapped["key"]][what] == after[what]


def test_volts_are_asked_for_with_the_state_and_what_the_card_says(desk: tuple[Desk, str]) -> None:
    its, key = desk
    write(its, key, "probe SCRL.1 9.7V", 1)
    alone = its.volts(key, "SCRL.1", "")
    assert [one["read"] for one in alone["way"] if one["asked"]] == ["9.7 V low"]
    assert "SCRR" not in alone["title"] and alone["cautions"]
    write(its, key, LINES[0], 2)
    both = its.volts(key, "SCRL.1", "")
    assert "SCRR" in both["title"] and both["key"] == "run", "what is dead is switched on"
    assert any(section["label"] == "POINTS TO" for section in both["sections"])
    for one in both["way"]:
        assert bool(one["line"]) is not bool(one["untouched"])
    other = its.volts(key, "DOME.1", "off")
    assert "DOME" in other["title"] and other["key"] == "off"
    for point, position in (("NOBODY.1", ""), ("SCRL.1", "sideways")):
        with pytest.raises(WrongUse):
            its.volts(key, point, position)


def test_volts_stand_in_the_drawing_of_the_case(desk: tuple[Desk, str]) -> None:
    its, key = desk
    assert its.picture(key) == b""
    write(its, key, f"{LINES[0]}; probe SCRL.1 9.7V", 1)
    for content in (its.picture(key), its.volts_drawn(key, "SCRL.1", "")):
        text = content.decode()
        assert "9.7 V low" in text and "lost" in text and part_key("SCRL") in text


def test_points_of_a_part_are_offered_and_none_that_is_hands_off(desk: tuple[Desk, str]) -> None:
    its, key = desk
    fuse = its.part(key, part_key("HAB.F1"))
    assert [one["name"] for one in fuse["points"]] == ["HAB.F1.1", "HAB.F1.2"]
    platform = open_job(its.root).platform
    circuit = open_job(its.root).circuit
    off = [name for name in platform.parts if not circuit.hands_off.may_touch(name)]
    assert off and all(its.part(key, part_key(name))["points"] == [] for name in off)
    assert not {row["name"] for row in its.places(key)["loads"]} & set(off)


def test_taps_lead_from_what_is_dead_to_the_probe_on_the_card(found: Any, screens: Served) -> None:
    page = paired_phone(found, screens, "Ida", view="Read")
    sub(page, "Dead")
    page.wait_for_selector(".pick")
    assert page.locator(".pick:has(b:text-is('SRS'))").count() == 0, "what is hands-off is not offered"
    page.click("button:text-is('run')")
    for name, words in (("SCRL", "does not work"), ("SCRR", "does not work"), ("DOME", "works")):
        page.click(f".pick .job:has(b:text-is('{name}'))")
        assert cautions_above(page)
        page.click(f".pick button:text-is('{words}')")
    page.wait_for_selector(".chosen:has-text('SCRL, SCRR: does not work, key run')")
    assert page.evaluate(SMALL) == []
    page.click(".chosen >> text=Write it down")
    wait_until_empty(page)
    page.wait_for_selector("#stands:has-text('NOT FOUND YET: left screen (SCRL) and right screen (SCRR) dead')")
    page.click("#tabs >> text=Find")
    step = page.locator(".step >> nth=0")
    page.wait_for_selector(".step:has-text('Volts at HAB.F1, outgoing side')")
    cautions, first = step.locator(".care"), step.locator("button >> nth=0")
    assert cautions.count() >= 3
    assert all(box_of(cautions.nth(n))["y"] < box_of(first)["y"] for n in range(cautions.count()))
    step.locator("text=What should I read here?").click()
    page.wait_for_selector("#part .way.here:has-text('HAB.F1, outgoing side')")
    assert "key run" in page.inner_text("#part") and page.locator("#part .way").count() > 5
    assert page.locator("#part .way:has-text('in the loom') button").count() == 0
    assert page.evaluate(SMALL) == []
    page.click("#part >> text=On the drawing")
    page.wait_for_selector(".picture >> text=/lost/", timeout=60_000)
    assert page.evaluate("() => document.documentElement.scrollWidth") <= 390
    page.click("text=The whole case")
    page.wait_for_selector(".picture >> text=/lost/", timeout=60_000)
    page.click("#tabs >> text=Find")
    step.locator(".outcomes button:has-text('next to nothing')").click()
    page.wait_for_selector(".step:has-text('Volts at HAB.F1, feed side')", timeout=60_000)
    page.click(".step >> nth=0 >> text=Another value")
    assert caution_over_pad(page)
    press(page, "12.4")
    wait_until_empty(page)
    page.wait_for_selector("#stands:has-text('PROVEN: fuse HAB.F1 is interrupted')")
    told, first_probe, second = said(screens)
    assert 'dead: ["SCRL@key=run", "SCRR@key=run"]' in told and 'works: ["DOME@key=run"]' in told
    assert "probed: {HAB.F1.2: 0.0V}" in first_probe and "probed: {HAB.F1.1: 12.4V}" in second
    assert open_job(screens.card).problems == () and page.errors == []
