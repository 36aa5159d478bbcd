"""What the README says is so: its commands run, its table is whole, its notation reads."""

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from circuitmap.cli.main import COMMANDS
from circuitmap.workbench import check
from tests.readme_commands import README, readme_commands

ROOT = README.parent
TEXT = README.read_text("utf-8")


def test_it_opens_with_the_job() -> None:
    title, _, rest = TEXT.partition("\n\n")
    assert title == "# circuitmap"
    first = rest.partition("\n\n")[0]
    assert first.startswith("A vehicle goes flat when it is parked") and len(first) < 800


def test_the_first_command_answers_and_draws(tmp_path: Path) -> None:
    """From its second half: the installation is done by whoever runs the tests, and by `.ci/run`."""
    install, first, second = readme_commands()["first answer"].split(" && .venv/bin/circuitmap ")
    assert install.startswith("python3 -m venv .venv && .venv/bin/pip install")
    assert "\n" not in readme_commands()["first answer"] and "\n" not in readme_commands()["tests"]
    for words, ending in ((first, ""), (second.replace("truck.svg", str(tmp_path / "truck.svg")), "")):
        done = subprocess.run(
            f'"{sys.executable}" -m circuitmap {words}{ending}',
            shell=True,
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert done.stdout and not done.stderr
    assert (tmp_path / "truck.svg").read_text("utf-8").startswith("<?xml") or (tmp_path / "truck.svg").read_text(
        "utf-8"
    ).startswith("<svg")


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
