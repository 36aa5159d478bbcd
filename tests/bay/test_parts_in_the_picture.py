"""The drawing of a case: each part in it can be asked for, and nothing in it can act as markup."""

import re
from pathlib import Path
from shutil import copytree

import pytest

from circuitmap.flows.desk import Desk
from circuitmap.reports.bay.boxes import part_key
from tests.bay.served import ROOT
from tests.bay.test_desk import add, opened, sent, shop

__all__ = ["shop"]

CARDS = sorted((ROOT / "sample_vehicles").glob("*/jobs/*.yaml"))


@pytest.mark.parametrize("card", CARDS, ids=lambda card: f"{card.parent.parent.name} {card.stem}")
def test_every_part_that_is_drawn_can_be_asked_for(tmp_path: Path, card: Path) -> None:
    folder = card.parent.parent
    copytree(folder, tmp_path / folder.name)
    desk = Desk(tmp_path / folder.name / "jobs" / card.name)
    [key] = desk.cards()
    svg = desk.picture(key).decode()
    if not svg:
        return
    groups = re.findall(r'<g data-part="([0-9a-f]{12})">(.*?)</g>', svg, re.DOTALL)
    assert groups and svg.count("<g ") == svg.count("</g>") == len(groups)
    for its, inside in groups[:4]:
        name = desk.part(key, its)["name"]
        texts = re.findall(r"<text [^>]*>([^<]*)</text>", inside)
        assert any(text == name or text.startswith(f"{name}.") for text in texts), (name, texts)


def test_a_part_says_what_where_feed_ground_and_sheet(tmp_path: Path) -> None:
    copytree(ROOT / "sample_vehicles" / "van", tmp_path / "van")
    desk = Desk(tmp_path / "van" / "jobs" / "0388.yaml")
    [key] = desk.cards()
    its = desk.part(key, part_key("HEATER"))
    said = {section["label"]: " ".join(line["says"] for line in section["lines"]) for section in its["sections"]}
    assert "auxiliary heater, under the passenger's seat" in said[""]
    assert "CAB.F33" in said[next(label for label in said if label.startswith("FEED HEATER.A1"))]
    assert "G7" in said[next(label for label in said if label.startswith("GROUND"))]
    assert said["SHEETS"] == "10-01, 40-02"


def test_words_in_a_drawing_stay_words(shop: Path) -> None:
    text = (shop / "camper" / "all.circuit").read_text()
    hostile = "</text><script>alert(1)</script>"
    (shop / "camper" / "all.circuit").write_text(text.replace('"heater"', f'"{hostile}"'))
    desk, key = opened(shop)
    add(desk, key, "Ida", sent(1, "F3=0.60A"))
    svg = desk.picture(key).decode()
    assert "script" in svg and "<script" not in svg
