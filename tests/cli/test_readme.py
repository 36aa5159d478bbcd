"""What the README says is true: its commands run, its table is complete, its notation can be read."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from circuitmap.cli.main import COMMANDS
from circuitmap.flows.questions import check
from tests.readme_commands import README, readme_commands

ROOT = README.parent
TEXT = README.read_text("utf-8")


def test_it_opens_with_the_job() -> None:
    title, _, rest = TEXT.partition("\n\n")
    assert title == "# circuitmap"
    first = rest.partition("\n\n")[0]
    assert first.startswith("A vehicle goes flat when it is parked") and len(first) < 800


def run_command(words: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        f'"{sys.executable}" -m circuitmap {words}', shell=True, cwd=cwd, capture_output=True, text=True, check=False
    )


def test_the_first_command_answers_and_draws(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    """From the README's second part on: the installation is done by whoever runs the tests, and by `.ci/run`. Its
    drawing is the picture that the README shows."""
    install, common, diagram = readme_commands()["first answer"].split(" && .venv/bin/circuitmap ")
    assert install.startswith("python3 -m venv .venv && .venv/bin/pip install")
    assert "\n" not in readme_commands()["first answer"] and "\n" not in readme_commands()["tests"]
    answer = run_command(common)
    assert (answer.returncode, answer.stderr) == (0, "")
    assert "The network CHASSIS, chassis network: each feeds a member of it." in answer.stdout
    drawn = run_command(diagram.replace("truck.svg", str(tmp_path / "truck.svg")))
    assert (drawn.returncode, drawn.stderr) == (0, "")
    picture = re.search(r"!\[.*?\]\((.*?\.svg)\)", TEXT)
    assert picture
    if request.config.getoption("--update-golden"):
        (ROOT / picture[1]).write_bytes((tmp_path / "truck.svg").read_bytes())
    assert (ROOT / picture[1]).read_bytes() == (tmp_path / "truck.svg").read_bytes()


def test_the_test_command_is_one_that_tests_lints_and_types() -> None:
    command = readme_commands()["tests"]
    assert all(word in command for word in (".[test]", "ruff check", "mypy", "pytest"))
    ci = (ROOT / ".ci" / "run").read_text("utf-8")
    assert 'as_readme_says "tests"' in ci and 'as_readme_says "first answer"' in ci


@pytest.mark.parametrize("entry", COMMANDS, ids=lambda entry: entry.name)
def test_every_command_is_in_the_table(entry: object) -> None:
    assert f"| `circuitmap {entry.name} " in TEXT  # type: ignore[attr-defined]


def test_every_link_leads_somewhere() -> None:
    for page in (README, ROOT / "DEVELOPERS.md"):
        for target in re.findall(r"\]\(([^)#:]+)\)", page.read_text("utf-8")):
            assert (ROOT / target).exists(), target


def test_its_notation_is_a_platform_without_errors(tmp_path: Path) -> None:
    notation = re.search(r"```\n(battery .*?)```", TEXT, re.DOTALL)
    assert notation
    (tmp_path / "readme.circuit").write_text(notation[1], "utf-8")
    problems = check(tmp_path).problems
    assert not [p for p in problems if p.severity.word == "error"], problems


def test_pages_name_no_path_of_anybodys_machine() -> None:
    for page in (README, ROOT / "DEVELOPERS.md"):
        assert not re.search(r"/(home|work|tmp|root|Users)/", page.read_text("utf-8"))


def test_ci_can_be_run() -> None:
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
