"""Lines to fill in hold as they stand: they can be read, make a platform, and what is not known is an open end."""

import pytest

from circuitmap.circuit.links import circuit_of
from circuitmap.notation.reading import read_text
from circuitmap.power.checks import problems_of
from circuitmap.problems import Severity
from circuitmap.source import SourceFile
from circuitmap.transcribing.templates import TEMPLATES, Template, template_lines
from circuitmap.wiring.declare import platform_of
from tests.cli.conftest import Run


@pytest.mark.parametrize("name", ["K4", "CAB.K4", "M-2"])
@pytest.mark.parametrize("template", TEMPLATES, ids=lambda its: its.word)
def test_a_template_is_a_platform_with_open_ends(template: Template, name: str) -> None:
    lines = list(template_lines(template.word, name))
    source = SourceFile("template", "box CAB\n" + "\n".join(lines))
    notation, unread = read_text(source)
    platform = platform_of([notation], [source], unread)
    problems = [*platform.problems, *problems_of(circuit_of(platform))]
    assert [problem for problem in problems if problem.severity > Severity.NOTE] == []
    assert name in platform.parts and any(part.startswith("?") for part in platform.parts)
    assert all("NAME" not in line for line in lines)


def test_the_relay_has_all_its_pins() -> None:
    text = "\n".join(template_lines("relay", "K4"))
    assert all(f"K4.{pin}" in text for pin in ("30", "85", "86", "87"))


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("nothing", "K4"), "There is no template nothing."),
        (("relay",), "A name is needed."),
        (("relay", "a b"), "a b is not a name."),
        (("relay", "fuse"), "is a word of the notation"),
        (("relay", "K4\nfuse F1"), "is not a name"),
    ],
)
def test_what_cannot_be(circuitmap: Run, words: tuple[str, ...], says: str) -> None:
    ran = circuitmap("transcribe", "template", *words)
    assert ran.code == 2 and says in ran.err


def test_which_there_are(circuitmap: Run) -> None:
    told = circuitmap("transcribe", "template").out
    assert all(template.word in told and template.what in told for template in TEMPLATES)
