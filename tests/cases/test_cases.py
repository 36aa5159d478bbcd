"""Each page in this folder tells a small case: notation, commands, and word for word what they answer.

`pytest tests/cases --update-golden` writes the answers anew. The pages double as a manual by example.
"""

import re
from pathlib import Path

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program

PAGES = sorted(Path(__file__).parent.glob("*.md"))
_NOTATION = re.compile(r"^```circuit\n(.*?)^```$", re.M | re.S)
_SESSION = re.compile(r"^```console\n(.*?)^```$", re.M | re.S)


def answered(session: str, folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> str:
    """What a terminal shows when its commands are run in a folder: `$ circuitmap ...` and the output."""
    monkeypatch.chdir(folder)
    shown = []
    for command in re.findall(r"^\$ circuitmap (.*)$", session, re.M):
        capsys.readouterr()
        code = end_of(program, command.split())
        out, err = capsys.readouterr()
        shown += [f"$ circuitmap {command}", *(line.rstrip() for line in f"{out}{err}".rstrip("\n").split("\n"))]
        if code:
            shown.append(f"[exit {code}]")
    return "\n".join(shown) + "\n"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_case(
    page: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    request: pytest.FixtureRequest,
) -> None:
    text = page.read_text("utf-8")
    for number, notation in enumerate(_NOTATION.findall(text), 1):
        (tmp_path / f"sheet{number}.circuit").write_text(notation, "utf-8")
    sessions = _SESSION.findall(text)
    assert sessions, "a case asks something"
    told = [answered(session, tmp_path, capsys, monkeypatch) for session in sessions]
    if request.config.getoption("--update-golden"):
        answers = iter(told)
        page.write_text(_SESSION.sub(lambda _: f"```console\n{next(answers)}```", text), "utf-8")
        return
    for expected, got in zip(sessions, told, strict=True):
        assert got == expected


def test_every_line_fits_a_screen() -> None:
    for page in PAGES:
        for session in _SESSION.findall(page.read_text("utf-8")):
            assert max(map(len, session.splitlines())) <= 100, page
