"""The page of a problem, `grammar/problems/CODE.md`: what it means, a bad and a good example."""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import circuitmap
from circuitmap.failures import WrongUse
from circuitmap.reports.words.paragraphs import wrapped

_SECTION = re.compile(r"^## (?P<title>.+?)\n+(?:```\w*\n(?P<code>.*?)^```\n*)?(?P<rest>.*?)(?=^## |\Z)", re.M | re.S)


@dataclass(frozen=True, slots=True)
class Example:
    """`title` is Bad or Good, perhaps with more words; `code` is notation, `remark` is the text below it."""

    title: str
    code: str
    remark: str


@dataclass(frozen=True, slots=True)
class ProblemPage:
    code: str
    headline: str
    meaning: str
    examples: tuple[Example, ...]


def pages_folder() -> Path:
    """Where the pages are: inside the installed package, or beside it in a checkout."""
    package = Path(circuitmap.__file__).parent
    shipped = package / "grammar" / "problems"
    return shipped if shipped.is_dir() else package.parent / "grammar" / "problems"


def problem_codes() -> tuple[str, ...]:
    return tuple(sorted(page.stem for page in pages_folder().glob("*.md")))


def problem_page(code: str) -> ProblemPage:
    """Raises WrongUse for a code that does not exist, naming the nearest one."""
    codes = problem_codes()
    wanted = code.strip().strip("[]").lower()
    if wanted not in codes:
        near = get_close_matches(wanted, codes, n=1)
        advice = f"Did you mean {near[0]}?" if near else "`circuitmap check` shows the code in brackets."
        raise WrongUse(f"There is no problem {code}.", advice)
    text = (pages_folder() / f"{wanted}.md").read_text("utf-8")
    top = text.partition("\n## ")[0].split("\n", 1)[1].strip()
    headline, _, meaning = top.partition("\n\n")
    examples = tuple(
        Example(m["title"].strip(), (m["code"] or "").rstrip("\n"), m["rest"].strip()) for m in _SECTION.finditer(text)
    )
    return ProblemPage(wanted, " ".join(headline.split()), meaning.strip(), examples)


def page_text(page: ProblemPage) -> str:
    """The page for a screen: headline, meaning, the examples indented."""
    blocks = [*_laid_out(f"{page.headline} [{page.code}]"), *_laid_out(page.meaning)]
    for example in page.examples:
        code = "\n".join(f"    {line}".rstrip() for line in example.code.split("\n"))
        blocks.append("\n".join(part for part in (f"{example.title}:", code, *_laid_out(example.remark)) if part))
    return "\n\n".join(block for block in blocks if block) + "\n"


def _laid_out(text: str) -> list[str]:
    """Paragraphs in lines that fit; lists and tables stay as they are."""
    paragraphs = [part for part in text.split("\n\n") if part.strip()]
    return [part if part[0] in "-|*" else "\n".join(wrapped(" ".join(part.split()))) for part in paragraphs]


def page_json(page: ProblemPage) -> dict[str, Any]:
    return {
        "code": page.code,
        "headline": page.headline,
        "meaning": page.meaning,
        "examples": [{"title": e.title, "code": e.code, "remark": e.remark} for e in page.examples],
    }
