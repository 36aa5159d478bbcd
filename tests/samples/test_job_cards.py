"""Every command that takes a card answers for every card of the sample vehicles."""

from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
CARDS = tuple(sorted(path.relative_to(SAMPLES).as_posix() for path in SAMPLES.glob("*/jobs/*.yaml")))
COMMANDS = ("card show {card}", "card show {card} --json", "report {card} -o {out}.md", "share {card} -o {out}.html",
            "suspects {platform} --card {card}")  # fmt: skip


def test_there_are_cards() -> None:
    assert {card.split("/")[0] for card in CARDS} == {"motorhome", "truck", "van"}


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("card", CARDS)
def test_the_card_is_answered(
    card: str, command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("CIRCUITMAP_CACHE", "")
    words = command.split()
    filled = {"card": SAMPLES / card, "platform": (SAMPLES / card).parents[1], "out": tmp_path / "answer"}
    code = end_of(program, tuple(word.format(**filled) for word in words))
    assert (code, capsys.readouterr().err) == (0, "")


def test_the_shelf_lists_them_all(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setenv("CIRCUITMAP_CACHE", "")
    assert end_of(program, ("library", str(SAMPLES))) == 0
    said = capsys.readouterr().out
    assert [card for card in CARDS if card not in said] == []
