"""Both YAML parsers say the same of a card, or PyYAML's own parser decides.

Cards are damaged at random and both are asked: same kinds, same values, same places, same error at the same place.
"""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from circuitmap.evidence import yaml_events
from circuitmap.evidence.yaml_events import events_of

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
CARDS = [text for card in sorted(SAMPLES.rglob("*.yaml")) if len(text := card.read_text("utf-8")) < 20_000]
CARDS.append(
    'job: é€😀x\ncomplaint: "q😀" # c\nentries:\n  - {at: 10:00, read: {F22: 1.6mV}}\n  - at: 1\n    remark: plain   \n\n'
    "  - at: 2\n    remark: |\n      a\n      b\n    claim: >-\n      q\n   # c\n"
)
BITS = (
    *"\t \n:{}[],?|>#'\"@`%~0\r\\\x00\x07\x85\xa0\u2028\ufeff\ud800é😀",
    "\"what?\"", "'?'", "\r\n", "  ", ": ", "- ", "? ", "|\n", ">-\n", "|+\n", " #", "&a ", "*a", "!x ", "---\n", "...\n", "%YAML 1.1\n", "<<: ",
)  # fmt: skip


def said(events: Iterator[yaml.Event]) -> list[object]:
    """What a reader of cards can see of the events, up to the end or the error."""
    seen: list[object] = []
    try:
        for event in events:
            assert event.start_mark is not None and event.end_mark is not None
            if isinstance(event, (yaml.NodeEvent, yaml.CollectionEndEvent, yaml.DocumentStartEvent)):
                what = [getattr(event, name, None) for name in ("value", "tag", "anchor")]
                seen.append((type(event), *what, event.start_mark.index, event.end_mark.index))
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        seen.append((type(error), getattr(error, "problem", ""), mark and mark.index))
    return seen


def damaged(chance: random.Random) -> str:
    lines = chance.choice(CARDS).splitlines(keepends=True)
    start = chance.randrange(len(lines))
    text = "".join(lines[:4] + lines[start : start + chance.randint(1, 12)])
    for _ in range(chance.randint(0, 4)):
        at = chance.randint(0, len(text))
        if chance.random() < 0.7:
            text = text[:at] + chance.choice(BITS) + text[at:]
        else:
            text = text[:at] + text[at + chance.randint(1, 3) :]
    return text


@pytest.mark.parametrize("seed", range(4))
def test_nobody_can_tell_which_one_read_it(seed: int) -> None:
    chance = random.Random(seed)
    for _ in range(500):
        text = damaged(chance)
        assert said(events_of(text, 10**9)) == said(yaml.parse(text, Loader=yaml.BaseLoader)), repr(text)


@pytest.mark.skipif(not yaml.__with_libyaml__, reason="this PyYAML comes without libyaml")
@pytest.mark.parametrize("text", CARDS)
def test_a_sound_card_is_read_by_the_quick_one(text: str) -> None:
    assert yaml_events._by_libyaml(text, 10**9) is not None


def test_without_libyaml_it_is_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(yaml, "__with_libyaml__", False)
    assert said(events_of(CARDS[0], 10**9)) == said(yaml.parse(CARDS[0], Loader=yaml.BaseLoader))
