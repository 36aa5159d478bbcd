"""The page of each problem shows it, and how it is mended; both examples are run."""

import ast
import re
from pathlib import Path

import pytest

import circuitmap.wiring
from circuitmap.notation.manual import problem_page
from tests.wiring.written import platform_from

FOLDER = Path(circuitmap.wiring.__file__).parent
CODE = re.compile(r"[a-z]+(-[a-z]+)+|bridged")
MAKERS = {"Problem", "error", "warning", "told"}
USUAL = {"no-battery", "no-key", "open-end", "fuse-no-feed"}
"""Notes that nearly every small example has."""


def _codes() -> set[str]:
    """The codes of all problems that wiring can make."""
    found = set()
    for file in FOLDER.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) in MAKERS:
                texts = [arg.value for arg in node.args if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
                found.update([text for text in texts if CODE.fullmatch(text)][:1])
    return found


CODES = sorted(_codes())


def example(page: str, heading: str) -> str:
    found = re.search(rf"## {heading}\n\n```circuit\n(.*?)```", page, re.DOTALL)
    assert found is not None
    return found[1]


def codes_told(text: str, code: str) -> list[str]:
    return [p.code for p in platform_from(text).problems if p.code == code or p.code not in USUAL]


def test_there_are_many_checks() -> None:
    assert len(CODES) > 40


@pytest.mark.parametrize("code", CODES)
def test_the_bad_example_has_this_problem_once_and_no_other(code: str) -> None:
    assert codes_told(example(problem_page(code), "Bad"), code) == [code]


@pytest.mark.parametrize("code", CODES)
def test_the_good_example_has_none(code: str) -> None:
    assert codes_told(example(problem_page(code), "Good"), code) == []
