"""The platforms on the shelf, read at the car, and a job that is begun on one of them: one card, whatever is repeated."""

from pathlib import Path
from shutil import copytree

import pytest

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.flows import platforms_there as platforms_module
from circuitmap.flows.desk import Desk
from circuitmap.flows.job import open_job
from circuitmap.flows.platforms_there import LONGEST_ANSWER, Begun, PlatformsThere
from circuitmap.reports.bay.boxes import part_key
from tests.bay.served import ROOT
from tests.bay.test_desk import PLATFORM

BEGUN = Begun("0512", {"complaint": "flat after two nights", "battery": "95Ah", "done-before": "heater fitted"})


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "camper").mkdir()
    (tmp_path / "camper" / "all.circuit").write_text(PLATFORM + 'option TOW "towing socket"\noption STEPS "step"\n')
    return tmp_path


def there(shop: Path) -> tuple[PlatformsThere, str]:
    platforms = PlatformsThere(shop)
    [one] = platforms.listed()
    assert one.title == "Ostrey Dunlin" and one.trouble == ""
    return platforms, one.key


def test_a_fuse_says_what_hangs_on_it(shop: Path) -> None:
    platforms, key = there(shop)
    its = platforms.read(key)
    [box] = its["boxes"]
    assert next(fuse["feeds"] for fuse in box["fuses"]) == "step, STEP entry step"
    part = platforms.part(key, box["fuses"][0]["part"])
    assert part["name"] == "HAB.F1" and part["hands_off"] == ""
    assert any("STEP (entry step)" in line["says"] for line in part["sections"][0]["lines"])
    assert [section["label"] for section in part["sections"]][1:2] == ["FEED HAB.F1"]


def test_what_is_hands_off_says_so_with_the_part(shop: Path) -> None:
    platforms, key = there(shop)
    assert "maker's procedure" in platforms.part(key, part_key("SDM"))["hands_off"]


def test_what_nobody_has_is_told(shop: Path) -> None:
    platforms, key = there(shop)
    with pytest.raises(CannotRead, match="no such platform"):
        platforms.read("../camper")
    with pytest.raises(CannotRead, match="no such part"):
        platforms.part(key, "HAB.F1")


def test_a_platform_is_read_anew_once_its_text_changes(shop: Path) -> None:
    platforms, key = there(shop)
    platforms.read(key)
    with open(shop / "camper" / "all.circuit", "a") as file:
        file.write('fuse HAB.F9 5A mini "fridge"\n')
    assert "F9" in [fuse["short"] for fuse in platforms.read(key)["boxes"][0]["fuses"]]


def test_a_job_is_begun_once_although_it_is_sent_twice(shop: Path) -> None:
    platforms, key = there(shop)
    begun = BEGUN._replace(fitted=["TOW"], absent=["STEPS"])
    card = platforms.begin(key, begun)
    assert card == shop / "0512.yaml" and platforms.begin(key, begun) == card
    job = open_job(card)
    said = {name: text.value for name, text in job.card.intake.items()}
    assert said == {"job": "0512", "platform": "camper", **BEGUN.said}
    assert job.problems == () and job.evidence.options == {"TOW": True, "STEPS": False}
    with pytest.raises(WrongUse, match="job 0512 already"):
        platforms.begin(key, begun._replace(said={"complaint": "another"}))
    assert open_job(card).card.intake["complaint"].value == "flat after two nights"


def test_a_card_lies_where_the_others_of_its_platform_lie(tmp_path: Path) -> None:
    copytree(ROOT / "sample_vehicles" / "van", tmp_path / "van")
    platforms = PlatformsThere(tmp_path)
    [one] = platforms.listed()
    card = platforms.begin(one.key, BEGUN)
    assert card == tmp_path / "van" / "jobs" / "0512.yaml"
    assert card in Desk(tmp_path).cards().values()


def test_a_begun_job_says_how_to_prepare(shop: Path) -> None:
    platforms, key = there(shop)
    platforms.begin(key, BEGUN)
    desk = Desk(shop)
    [job] = desk.cards()
    [prepare] = [its for its in desk.answer(job)["sections"] if its["label"] == "PREPARE"]
    assert any(line.startswith("! ") for line in prepare["lines"]) and "sleep" in prepare["lines"][-1]


@pytest.mark.parametrize("number", ["", "../x", "a/b", "-x", ".x", "a b", "x" * 41, "Ä"])
def test_a_number_is_no_path(shop: Path, number: str) -> None:
    platforms, key = there(shop)
    with pytest.raises(WrongUse, match="number"):
        platforms.begin(key, BEGUN._replace(number=number))
    assert not list(shop.rglob("*.yaml"))


@pytest.mark.parametrize(
    ("begun", "why"),
    [
        (BEGUN._replace(said={"customer": "somebody"}), "customer"),
        (BEGUN._replace(said={"battery": "large"}), "large"),
        (BEGUN._replace(fitted=["NOTHING"]), "NOTHING"),
        (BEGUN._replace(fitted=["TOW"], absent=["TOW"]), "at once"),
    ],
)
def test_what_makes_no_sense_begins_nothing(shop: Path, begun: Begun, why: str) -> None:
    platforms, key = there(shop)
    with pytest.raises(WrongUse, match=why):
        platforms.begin(key, begun)
    assert not list(shop.rglob("*.yaml"))


@pytest.mark.parametrize(("long", "fits"), [(LONGEST_ANSWER - 1, True), (LONGEST_ANSWER, True), (501, False)])
def test_an_answer_has_a_limit(shop: Path, long: int, fits: bool) -> None:
    platforms, key = there(shop)
    begun = BEGUN._replace(said={"complaint": "x" * long})
    if fits:
        assert platforms.begin(key, begun).is_file()
    else:
        with pytest.raises(WrongUse, match="500"):
            platforms.begin(key, begun)


def test_a_card_alone_has_no_platforms_to_begin_on(shop: Path) -> None:
    platforms, key = there(shop)
    card = platforms.begin(key, BEGUN)
    assert PlatformsThere(card).listed() == []


@pytest.mark.parametrize(("there_are", "left_out"), [(2, 0), (3, 0), (4, 1)])
def test_the_shelf_lists_so_many_platforms(
    shop: Path, monkeypatch: pytest.MonkeyPatch, there_are: int, left_out: int
) -> None:
    monkeypatch.setattr(platforms_module, "MOST_PLATFORMS", 3)
    for number in range(1, there_are):
        copytree(shop / "camper", shop / f"camper{number}")
    platforms = PlatformsThere(shop)
    assert len(platforms.listed()) == there_are - left_out and platforms.left_out == left_out
