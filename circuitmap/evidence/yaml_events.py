"""A text as YAML events, by libyaml where it agrees with PyYAML's own parser, which takes twelve times as long.

The two differ in a few things (tabs, `?` outside quotes, tags, where an empty text in a flow list stands, and how an
error is worded); a text with any of these goes to PyYAML's own parser, so that nobody can tell which one read it.
"""

import re
from bisect import bisect_right
from collections.abc import Iterator
from itertools import islice

import yaml

READ_DIFFERENTLY = re.compile("[\t\ufeff]|[|>][-+0-9]*#")
"""What the two parsers take differently, wherever it stands."""

LONGEST_READ_SLOWLY = 300_000
"""Most characters that PyYAML's own parser is given: it takes ten seconds for a million (measured)."""


class TooLongForThis(Exception):
    """The text is longer than `LONGEST_READ_SLOWLY`, and libyaml would not read it as it should."""


def events_of(text: str, most: int) -> Iterator[yaml.Event]:
    """The events, each with its place, `most` of them at the most; raises yaml.YAMLError where the text stops being
    YAML."""
    quickly = _by_libyaml(text, most)
    if quickly is not None:
        return iter(quickly)
    if len(text) > LONGEST_READ_SLOWLY:
        raise TooLongForThis
    return islice(yaml.parse(text, Loader=yaml.BaseLoader), most)


def _by_libyaml(text: str, most: int) -> list[yaml.Event] | None:
    """What libyaml reads; None if libyaml is missing or might read the text differently."""
    if not yaml.__with_libyaml__ or READ_DIFFERENTLY.search(text):
        return None
    try:
        events = list(islice(yaml.parse(text, Loader=yaml.CBaseLoader), most))
    except (yaml.YAMLError, UnicodeEncodeError):
        return None
    if _read_differently(events) or not _asks_in_quotes_only(text, events):
        return None
    return events


def _asks_in_quotes_only(text: str, events: list[yaml.Event]) -> bool:
    """Whether every `?` stands inside quotes: there it is a character like any other."""
    if "?" not in text:
        return True
    quoted = [
        (event.start_mark.index, event.end_mark.index) for event in events
        if isinstance(event, yaml.ScalarEvent) and event.style in ("'", '"')
        and event.start_mark is not None and event.end_mark is not None
    ]  # fmt: skip
    starts = [start for start, _ in quoted]
    for found in re.finditer(r"\?", text):
        before = bisect_right(starts, found.start())
        if not before or quoted[before - 1][1] <= found.start():
            return False
    return True


def _read_differently(events: list[yaml.Event]) -> bool:
    """Whether something among the events is read differently, or reported at another place: an anchor, a tag, or an
    empty text inside brackets."""
    in_brackets: list[bool] = []
    for event in events:
        if isinstance(event, yaml.CollectionStartEvent):
            in_brackets.append(bool(event.flow_style))
        elif isinstance(event, yaml.CollectionEndEvent):
            in_brackets.pop()
        if not isinstance(event, yaml.NodeEvent):
            continue
        if event.anchor is not None or getattr(event, "tag", None) is not None:
            return True
        if isinstance(event, yaml.ScalarEvent) and not event.value and not event.style and any(in_brackets):
            return True
    return False
