"""A minute of plain fuzzing with every run of the tests; `python -m tests.fuzzing` goes on for as long as wanted."""

from pathlib import Path
from random import Random

import pytest

from tests.fuzzing.__main__ import MOST_BROKEN, Runs
from tests.fuzzing.targets import TARGETS, corpus, mutated

INPUTS = {"notation": 400, "card": 1500, "card-line": 1500, "reading": 6000, "merge": 400, "tidy": 600, "share": 60}
"""Inputs of each, so that each takes less than ten seconds or so."""


@pytest.mark.parametrize("name", TARGETS)
def test_no_input_breaks_a_law(name: str) -> None:
    random, seeds = Random(f"every run: {name}"), corpus()
    for _ in range(INPUTS[name]):
        TARGETS[name](mutated(random, seeds))


def test_what_breaks_a_law_is_kept_and_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def target(data: bytes) -> None:
        assert data != b"bad", "a law"

    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    runs = Runs("made up", target, 60.0)
    for data in (b"good", b"bad", b"good"):
        runs.run(data)
    assert runs.told().startswith("made up: 3 inputs, the longest ") and runs.told().endswith(" s, 1 broken")
    assert "made up: AssertionError: a law" in capsys.readouterr().out
    assert [file.read_bytes() for file in tmp_path.glob("*/made up")] == [b"bad"]
    for _ in range(MOST_BROKEN):
        runs.run(b"bad")
    assert runs.over
