"""The words that close a job stand behind one another in a line; what somebody said stays as it was said."""

import pytest

from circuitmap.jobs.short_line import entry_of
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.jobs.test_standing import VAN


@pytest.fixture(scope="module")
def van() -> Platform:
    return platform_of([read_text(SourceFile("van.circuit", VAN))[0]])


@pytest.mark.parametrize(
    ("line", "fields"),
    [
        ("cause LIFT sticks; mended LIFT renewed", {"cause": "LIFT sticks", "mended": "LIFT renewed"}),
        (
            "cause LIFT, worn; its cam; kind wrong-input; to-mend new cam; until-then F22 stays out",
            {"cause": "LIFT, worn; its cam; kind wrong-input", "to-mend": "new cam", "until-then": "F22 stays out"},
        ),
        ("mended new relay; locked", {"mended": "new relay", "state": "locked"}),
        (
            "mended new relay; remark he says; mended by him",
            {"mended": "new relay", "remark": "he says; mended by him"},
        ),
        ("remark it was dry; mended by the owner", {"remark": "it was dry; mended by the owner"}),
        ("cause LIFT worn; kind lamp; kind chafed", {"cause": "LIFT worn; kind lamp; kind chafed"}),
        ("cause LIFT left on; kind habit", {"cause": "LIFT left on; kind habit"}),
        ("cause LIFT; mended in part", {"cause": "LIFT", "mended": "in part"}),
        ("cause LIFT; mendedness", {"cause": "LIFT; mendedness"}),
    ],
)
def test_where_a_text_ends(van: Platform, line: str, fields: dict[str, str]) -> None:
    assert dict(entry_of(van, line).fields) == fields


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("cause LIFT sticks; back LIFT", "Taken as part of the cause: back LIFT."),
        ("remark dry; mended by the owner", "Taken as part of the remark: mended by the owner."),
        ("cause LIFT sticks; kind contact", ""),
    ],
)
def test_what_was_taken_along_is_told(van: Platform, line: str, told: str) -> None:
    said = entry_of(van, line).understood
    assert any(one.startswith(told) for one in said) if told else not said
