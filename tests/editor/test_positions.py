"""Places in UTF-16 and back, against Python's own codec; every line end that the protocol knows."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

pytest.importorskip("lsprotocol")

from lsprotocol import types

from circuitmap.editor.positions import Lines

TEXTS = st.text(st.sampled_from("aü🔥\n\r\t€\u2028\x0c"), max_size=40)


@given(TEXTS, st.integers(0, 45))
def test_there_and_back(text: str, at: int) -> None:
    lines = Lines(text)
    at = min(at, len(text))
    position = lines.position(at)
    before = text[:at].replace("\r\n", "\n")
    ended = before.count("\n") + before.count("\r")
    if text[at - 1 : at + 1] != "\r\n":
        assert position.line == ended
        begin = max(before.rfind("\n"), before.rfind("\r")) + 1
        assert position.character == len(before[begin:].encode("utf-16-le")) // 2
        assert lines.offset(position) == at


@given(TEXTS, st.integers(0, 9), st.integers(0, 50))
def test_any_place_is_an_offset(text: str, line: int, character: int) -> None:
    lines = Lines(text)
    at = lines.offset(types.Position(line, character))
    assert 0 <= at <= len(text)
    assert lines.offset(lines.position(at)) == at
