"""Every code of a check that needs the circuit has a page; each example has one slip and gives one message."""

import ast
import re
from pathlib import Path

import pytest

import circuitmap
from circuitmap.circuit.links import circuit_of
from circuitmap.notation.manual import problem_page
from circuitmap.power.checks import problems_of
from circuitmap.problems import Severity
from circuitmap.wiring.platform import Platform
from tests.power.random_platforms import platform_from

CHECKS = Path(circuitmap.__file__).parent / "power" / "checks"


def codes() -> list[str]:
    """The first text in every call that makes a problem."""
    found = set()
    for file in CHECKS.glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Problem":
                assert isinstance(node.args[0], ast.Constant)
                found.add(node.args[0].value)
    return sorted(found)


def examples(code: str, heading: str) -> list[str]:
    section = problem_page(code).partition(f"## {heading}\n")[2].partition("\n## ")[0]
    return re.findall(r"```circuit\n(.*?)```", section, re.DOTALL)


ONLY_UNFINISHED = {"open-end", "no-key"}
"""Notes that every small example would have."""


def told(platform: Platform) -> list[str]:
    """All problems of a text, with those of the wires first."""
    problems = (*platform.problems, *problems_of(circuit_of(platform)))
    return [problem.code for problem in problems if problem.code not in ONLY_UNFINISHED]


@pytest.mark.parametrize("code", codes())
def test_the_bad_example_has_the_problem_once_and_no_other(code: str) -> None:
    (text,) = examples(code, "Bad")
    assert told(platform_from(text)) == [code]


@pytest.mark.parametrize("code", codes())
def test_the_good_example_has_none(code: str) -> None:
    (text,) = examples(code, "Good")
    assert told(platform_from(text)) == []


@pytest.mark.parametrize("code", codes())
def test_on_a_whole_sheet_the_slip_is_no_mere_note(code: str) -> None:
    if code in ("contact-never-used", "fuse-far-too-small"):
        return  # spare contacts are ordinary, and currents are typed as roughly as they are known
    (text,) = examples(code, "Bad")
    lines = text.splitlines()
    first = next(n for n, line in enumerate(lines) if " -> " in line)
    whole = "\n".join([*lines[:first], 'sheet "1" "All of it" whole', *lines[first:]]) + "\n"
    platform = platform_from(whole)
    found = [p for p in problems_of(circuit_of(platform)) if p.code == code]
    assert [p.severity >= Severity.WARNING for p in found] == [True]
