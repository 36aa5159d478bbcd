"""What a pattern finds begins with one of its plain beginnings; no phrase that could be found is left out."""

import re

import pytest

from circuitmap.wiring.hands_off_words import _INNOCENT_PHRASES
from circuitmap.wiring.plain_beginnings import beginnings_of, head_of, may_match


@pytest.mark.parametrize(
    ("pattern", "heads"),
    [
        ("belt (?:drive|driven)", ("belt ",)),
        ("roll ?bar", ("roll",)),
        ("(?:chain|ro?pe|link[aiy]) tension", ("chain", "r", "link")),
        ("(?:drive|(?:poly )?v) belt", ()),
        (r"\w*gas", ()),
        ("(?:de |di )?gas", ()),
        ("(?:cool|) bag", ()),
    ],
)
def test_the_plain_letters_it_may_begin_with(pattern: str, heads: tuple[str, ...]) -> None:
    assert beginnings_of((pattern,)) == ((pattern, heads),)
    assert may_match(heads, "xx chain") == (not heads or "chain" in heads)


def test_a_head_is_never_what_may_be_left_out() -> None:
    assert head_of("gasol{2}in") == "gaso" and head_of("a?b") == ""


def test_no_innocent_phrase_has_a_choice_outside_of_a_group() -> None:
    for phrase in _INNOCENT_PHRASES:
        inside = re.sub(r"\\.", "", phrase)
        while inside != (inside := re.sub(r"\([^()]*\)", "", inside)):
            pass
        assert "|" not in inside, phrase
