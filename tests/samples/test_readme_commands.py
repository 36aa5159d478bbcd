"""Every command line in the READMEs of the sample vehicles is answered."""

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"


def command_lines() -> Iterator[tuple[str, ...]]:
    for readme in sorted(SAMPLES.glob("*/README.md")):
        for block in re.findall(r"^```\n(.*?)^```", readme.read_text(encoding="utf-8"), re.DOTALL | re.MULTILINE):
            for line in block.replace("\\\n", " ").splitlines():
                yield tuple(shlex.split(line))


def test_each_readme_has_commands() -> None:
    lines = list(command_lines())
    assert all(line[0] == "circuitmap" for line in lines)
    told = {(Path(line[2]).name, line[1]) for line in lines}
    for name in ("motorcycle", "motorhome", "sweeper", "truck", "van"):
        assert {command for vehicle, command in told if vehicle == name} >= {"live", "trace", "common", "suspects"}


@pytest.mark.parametrize("line", tuple(command_lines()), ids=" ".join)
def test_the_command_is_answered(
    line: tuple[str, ...], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "sample_vehicles").symlink_to(SAMPLES, target_is_directory=True)
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert end_of(program, line[1:]) == 0
    said = capsys.readouterr().out
    if "-o" in line:
        assert (tmp_path / line[line.index("-o") + 1]).stat().st_size > 500
    else:
        assert said.count("\n") > 3
