"""Every code of a problem has a page, and the examples on the pages do what they say."""

import ast
import re
from pathlib import Path

import pytest

import circuitmap
from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.timeline import evidence_on
from circuitmap.failures import WrongUse
from circuitmap.flows.questions import check, platform_from
from circuitmap.notation.manual import problem_codes, problem_page
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile

PACKAGE = Path(circuitmap.__file__).parent
CODE = re.compile(r"[a-z]+(-[a-z]+)*")
# Ways of making a problem: the class, and the functions that our own code calls to make one.
MAKERS = {"Problem", "problem_at", "_report", "error", "warning", "note", "problem"}

# What these are about cannot be shown in a few lines of text; other tests show it.
NOT_IN_TEXT = {"second-version", "wrong-encoding", "too-long", "too-many-faults", "card-too-long"}


def codes_used_in(folder: str) -> set[str]:
    """The codes of all problems that the files of a folder can make."""
    codes = set()
    for file in (PACKAGE / folder).rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", getattr(node.func, "id", "")) in MAKERS:
                texts = [arg.value for arg in node.args if isinstance(arg, ast.Constant) and isinstance(arg.value, str)]
                codes.update([text for text in texts if CODE.fullmatch(text)][:1])
    return codes


ITS_OWN = sorted(codes_used_in("notation"))


def examples(page: str, heading: str) -> list[str]:
    """The code blocks below a heading, notation or a card; `<U+202E>` stands for a character that cannot be seen."""
    _, _, rest = page.partition(f"## {heading}\n")
    section = rest.partition("\n## ")[0]
    blocks = re.findall(r"```(?:circuit|yaml)\n(.*?)```", section, re.DOTALL)
    return [re.sub(r"<U\+([0-9A-F]{4})>", lambda m: chr(int(m[1], 16)), block) for block in blocks]


@pytest.mark.parametrize("code", ITS_OWN)
def test_every_code_of_the_notation_has_a_page(code):
    page = problem_page(code)
    assert page.startswith(f"# {code}\n\n")
    assert examples(page, "Good") or code in NOT_IN_TEXT


@pytest.mark.parametrize("code", sorted(set(ITS_OWN) - NOT_IN_TEXT))
def test_the_bad_example_has_the_problem_and_no_other_the_good_one_none(code):
    page = problem_page(code)
    for text in examples(page, "Bad"):
        problems = read_text(SourceFile("a.circuit", text))[1]
        assert {problem.code for problem in problems} == {code}
        assert len(problems) <= text.count("\n") + 1
    for text in examples(page, "Good"):
        assert read_text(SourceFile("a.circuit", text))[1] == ()
    assert examples(page, "Bad")


def test_every_code_of_the_package_has_a_page_and_every_page_a_code():
    used = set().union(*(codes_used_in(folder) for folder in ("notation", "wiring", "power", "evidence", "jobs")))
    assert used - set(problem_codes()) == set()
    texts = {text for file in PACKAGE.rglob("*.py") for text in re.findall(r'"([a-z-]+)"', file.read_text("utf-8"))}
    assert set(problem_codes()) - texts == set()


def codes_on(card: str) -> list[str]:
    """The problems of a job card on a platform with the fuse that the pages name."""
    platform = platform_from((SourceFile("a.circuit", "fuse F22 10A\n"),))
    read, problems = read_card(SourceFile("job.yaml", card))
    return [problem.code for problem in (*problems, *evidence_on(platform, read)[1])]


@pytest.mark.parametrize("code", [code for code in problem_codes() if code.startswith("card-")])
def test_examples_of_what_is_wrong_on_a_job_card(code):
    assert examples(problem_page(code), "Good")
    for text in examples(problem_page(code), "Good"):
        assert codes_on(text) == []
    for text in examples(problem_page(code), "Bad"):
        assert codes_on(text) == [code]
    assert examples(problem_page(code), "Bad") or code in NOT_IN_TEXT


WHOLE_PLATFORM = sorted(code for code in set(problem_codes()) - set(ITS_OWN) if not code.startswith("card-"))


@pytest.mark.parametrize("code", WHOLE_PLATFORM)
def test_examples_of_what_only_a_whole_platform_shows(code, tmp_path):
    for heading in ("Bad", "Good"):
        for number, text in enumerate(examples(problem_page(code), heading)):
            folder = tmp_path / f"{heading}{number}"
            folder.mkdir()
            (folder / "a.circuit").write_text(text, encoding="utf-8")
            found = [problem.code for problem in check(folder).problems]
            assert (code in found) == (heading == "Bad")
            assert heading == "Bad" or not set(found) & set(ITS_OWN)
    assert examples(problem_page(code), "Bad")


def test_pages_begin_with_their_code_and_a_sentence():
    for code in problem_codes():
        title, empty, headline, *_ = problem_page(code).split("\n")
        assert (title, empty) == (f"# {code}", "")
        assert re.fullmatch(r"[A-Z].*\.", headline), code


def test_an_unknown_code_is_wrong_use_with_a_suggestion():
    with pytest.raises(WrongUse) as caught:
        problem_page("missing-coma")
    assert caught.value.advice == "Did you mean missing-comma?"
