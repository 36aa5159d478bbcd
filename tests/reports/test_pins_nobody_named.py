"""A pin that nobody named has a name inside, and none in any answer."""

import json
import re
from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program

PAGE = Path(__file__).parent.parent / "cases" / "a_load_in_several_rows.md"
ASKED = (
    "check", "list", "trace ABS", "trace HEAT", "trace LOCK", "trace LOCK.1", "trace F1", "trace F4", "trace BAT", "trace G9",
    "common F1 F2", "common F3 F4 F5", "live", "live --key run", "live --pull F1 --at ABS --at LOCK --at COLD",
    "volts COLD", "volts LOCK.1", "volts F1", "volts F4 --running HEAT", "volts COLD --if F4=1ohm", "volts SRS",
    "volts F4 --saw COLD=12.1V", "dead ABS", "dead HEAT --works COLD --saw COLD=12.4V", "dead LOCK --key run",
    "dead TAIL", "suspects F1=0.2A F2=0A F3=0A BAT=0.21A", "suspects F3=0.1A F4=0.1A BAT=0.3A --unplugged HEAT=0.1A",
    "suspects BAT=0.5A", "suspects F5=0.3A BAT=0.3A COLD=12V",
)  # fmt: skip
MORE = "module SRS hands-off restraint\nlamp TAIL\nCAB.F1 feeds SRS, TAIL\nCAB.F3 feeds SRS, TAIL\nSP9 -> G9\nsplice SP9\nground G9\n"
INSIDE = re.compile(r"\?[A-Z]|\.\?")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    found = re.search(r"^```circuit\n(.*?)^```$", PAGE.read_text("utf-8"), re.M | re.S)
    assert found
    (tmp_path / "a.circuit").write_text(found[1] + MORE, "utf-8")
    return tmp_path


def answered(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    capsys.readouterr()
    end_of(program, list(words))
    out, err = capsys.readouterr()
    return out if "--json" in words else f"{out}{err}"


@pytest.mark.parametrize("asked", ASKED)
def test_no_answer_shows_the_name_inside(asked: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command, *words = asked.split()
    text = answered(capsys, command, str(folder), *words)
    assert not INSIDE.search(text), text
    found = json.loads(answered(capsys, command, str(folder), *words, "--json"))
    assert not [its for its in _texts(found) if INSIDE.search(its)]


@pytest.mark.parametrize("name", ["a.svg", "a.dot"])
def test_no_drawing_shows_it(name: str, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answered(capsys, "diagram", str(folder), "ABS", "LOCK", "TAIL", "-o", str(folder / name))
    shown = (folder / name).read_text("utf-8")
    assert "ABS" in shown and not INSIDE.search(shown)


def test_a_page_to_send_and_a_list_to_carry_do_not(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answered(capsys, "share", str(folder), "-o", str(folder / "a.html"))
    answered(capsys, "worksheet", str(folder), "-o", str(folder / "a.txt"))
    for name in ("a.html", "a.txt"):
        assert not INSIDE.search((folder / name).read_text("utf-8")), name


def test_what_a_row_more_changes_is_one_wire(folder: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    text = (folder / "a.circuit").read_text("utf-8")
    (other / "a.circuit").write_text(text.replace("CAB.F2 feeds ABS\n", ""), "utf-8")
    found = json.loads(answered(capsys, "diff", str(other), str(folder), "--json"))
    assert [(its["action"], its["kind"], its["name"]) for its in found["changes"]] == [
        ("added", "wire", "ABS - CAB.F2.2")
    ]


def _texts(value: object) -> list[str]:
    if isinstance(value, dict):
        return [text for its in value.values() for text in _texts(its)]
    if isinstance(value, list):
        return [text for its in value for text in _texts(its)]
    return [value] if isinstance(value, str) else []
