"""A job in which somebody did what nobody should: it is kept, told, and not asked for again."""

from pathlib import Path

from tests.circuit.hands_off_platforms import PLACES, text_of
from tests.cli.conftest import Run


def test_what_was_done_all_the_same_is_kept_with_a_warning(tmp_path: Path, circuitmap: Run) -> None:
    (tmp_path / "p").mkdir()
    (tmp_path / "p" / "p.circuit").write_text(text_of(PLACES[1], "restraint"), encoding="utf-8")
    card = tmp_path / "job.yaml"
    assert circuitmap("card", "new", tmp_path / "p", card).code == 0
    for line in ("locked", "total 0.60A"):
        assert circuitmap("card", "add", card, line, "--steady").code == 0
    ran = circuitmap("card", "add", card, "out F5; BAT=0.04A", "--steady")
    assert ran.code == 0 and "HANDS OFF" in ran.out and "CAB.F5" in ran.out
    assert "out: [CAB.F5]" in card.read_text("utf-8")
    shown = circuitmap("card", "show", card)
    assert "nothing more is done to it here" in shown.out
    assert "Take CAB.F5 out once more" not in shown.out
    data = circuitmap("card", "show", card, "--json").json
    assert data["tries"][0]["needs"] == ["hand-over"]
