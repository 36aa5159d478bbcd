"""A photo that does not exist is kept on the card and reported as missing."""

from pathlib import Path

from tests.cli.conftest import Run


def test_a_photo_that_is_not_there(van: Path, tmp_path: Path, circuitmap: Run) -> None:
    card = tmp_path / "job.yaml"
    circuitmap("card", "new", str(van), str(card))
    said = circuitmap("card", "add", str(card), "photo welded.jpg")
    assert "There is no file welded.jpg beside the card yet; the entry is kept." in said.out
    assert "welded.jpg" in card.read_text("utf-8")
    (tmp_path / "lift.jpg").write_bytes(b"")
    assert "There is no file" not in circuitmap("card", "add", str(card), "photo lift.jpg").out
