"""The picture of a night: nothing thinned out, every kind numbered, words escaped, nothing outside of the page."""

import re
from pathlib import Path

import numpy as np
import pytest

from circuitmap.drawings.inking.ink import Disc, DrawnText, Outline, Plate, Role, Stroke
from circuitmap.drawings.logged.picture import COLUMNS, columns_of, night_picture
from circuitmap.drawings.logged.scale import NightScale
from circuitmap.recording.night import night_of
from circuitmap.recording.reading import read_recording
from circuitmap.recording.recorded import ToldOfFile
from tests.cli.conftest import Run
from tests.recording import nights

LAYOUTS = Path(__file__).parent / "layouts"


def test_each_column_holds_the_least_and_most_of_its_samples() -> None:
    random = np.random.RandomState(1)
    seconds, amps = np.arange(20_000.0), random.normal(0.03, 0.01, 20_000)
    amps[12_345] = 9.0
    column, least, most = columns_of(seconds, amps, 20_000.0)
    assert column.tolist() == list(range(COLUMNS)) and most.max() == 9.0
    for at in (0, 1, 300, COLUMNS - 1):
        inside = amps[(seconds / 20_000 * COLUMNS).astype(int) == at]
        assert least[at] <= inside.min() and most[at] >= inside.max()


def test_more_current_is_higher_and_zero_is_between() -> None:
    scale = NightScale(40, 30, 700, 250, 3600, -4.0, 15.0)
    heights = [scale.y(amps) for amps in (-4.0, -0.1, 0.0, 0.01, 0.03, 0.5, 15.0)]
    assert (
        heights == sorted(heights, reverse=True)
        and heights[0] == pytest.approx(280)
        and heights[-1] == pytest.approx(30)
    )
    assert 0.0 in scale.amps_marks() and all(0 <= mark <= 3600 for mark in scale.time_marks(65_000.0))
    assert all((65_000 + mark) % 300 == pytest.approx(0) for mark in scale.time_marks(65_000.0))


@pytest.mark.parametrize("number", [1, 4, 6, 12])
def test_what_is_in_it(number: int, tmp_path: Path) -> None:
    file = tmp_path / "log.csv"
    file.write_text(next(made for made in nights.nights() if made.no == number).files()[0])
    recording = read_recording(file, ToldOfFile(sign="kept"))
    night = night_of(recording)
    picture = night_picture(night, "A night", 0.0, recording.gaps, lambda seconds: f"{seconds:.0f}", ("1. words",))
    numbers = {
        ink.text for ink in picture.ink if isinstance(ink, DrawnText) and ink.role is Role.TAG and ink.text.isdigit()
    }
    assert numbers == {str(at) for at in range(1, len(night.kinds) + 1)}
    assert sum(isinstance(ink, Outline) for ink in picture.ink) == 1 + len(recording.gaps), "no ink across a gap"
    for ink in picture.ink:
        match ink:
            case Stroke() | Outline():
                inside = all(-1 <= x <= picture.width and -1 <= y <= picture.height for x, y in ink.points)
            case Plate():
                inside = ink.x >= 0 and ink.x + ink.width <= picture.width + 1
            case Disc():
                inside = 0 <= ink.x <= picture.width and 0 <= ink.y <= picture.height
            case DrawnText():
                inside = ink.x >= 0 and ink.x + ink.width <= picture.width + 1
        assert inside, ink


@pytest.mark.parametrize("form", ["svg", "png", "pdf"])
def test_each_form_is_the_same_twice(form: str, tmp_path: Path, circuitmap: Run) -> None:
    contents = []
    for _ in range(2):
        ran = circuitmap("logged", LAYOUTS / "l13_total_and_feeder.csv", "-o", tmp_path / f"night.{form}")
        assert ran.code == 0 and ran.out.endswith(f"Wrote {tmp_path / f'night.{form}'}.\n")
        contents.append((tmp_path / f"night.{form}").read_bytes())
    assert contents[0] == contents[1]
    assert contents[0].startswith({"svg": b"<svg", "png": b"\x89PNG", "pdf": b"%PDF"}[form])


def test_markup_in_the_file_is_text(tmp_path: Path, circuitmap: Run) -> None:
    file = tmp_path / "<b>&.csv"
    file.write_bytes((LAYOUTS / "h03_formula_cells.csv").read_bytes())
    assert circuitmap("logged", file, "-o", tmp_path / "night.svg").code == 0
    text = (tmp_path / "night.svg").read_text()
    assert "<b>" not in text and "&lt;b&gt;&amp;.csv" in text and "<script" not in text
    assert set(re.findall(r"<(\w+)", text)) <= {"svg", "title", "desc", "polyline", "polygon", "rect", "circle", "text"}


def test_no_picture_before_the_answer_and_no_other_form(tmp_path: Path, circuitmap: Run) -> None:
    asked = circuitmap("logged", LAYOUTS / "l26_no_unit.csv", "-o", tmp_path / "night.svg")
    assert asked.code == 2 and not (tmp_path / "night.svg").exists() and "no picture before" in asked.err
    other = circuitmap("logged", LAYOUTS / "l01_plain.csv", "-o", tmp_path / "night.gif")
    assert other.code == 2 and ".svg, .png, .pdf" in other.err
