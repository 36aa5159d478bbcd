"""What became of each trouble code: stored, cleared, back again."""

from dataclasses import dataclass
from typing import Literal

from circuitmap.evidence.evidence import Evidence


@dataclass(frozen=True, slots=True, kw_only=True)
class CodeStory:
    """One code: `stayed` (stored, then back after clearing), `went` (stored, not back at the later scan),
    `came` (only back), `once` (read once), `low-voltage` (explained by a flat battery)."""

    code: str
    module: str
    story: Literal["stayed", "went", "came", "once", "low-voltage"]


def codes_on(evidence: Evidence) -> tuple[CodeStory, ...]:
    """The codes of a card, in the order in which they were first read."""
    stories: dict[tuple[str, str], list[str]] = {}
    for code in evidence.codes:
        stories.setdefault((code.code, code.module), []).append(code.standing)
    cleared = any(code.standing == "back" for code in evidence.codes)
    return tuple(
        CodeStory(code=code, module=module, story=_story(standings, cleared))
        for (code, module), standings in stories.items()
    )


def _story(standings: list[str], cleared: bool) -> Literal["stayed", "went", "came", "once", "low-voltage"]:
    if "low-voltage" in standings:
        return "low-voltage"
    if "back" in standings:
        return "stayed" if "stored" in standings else "came"
    return "went" if cleared else "once"
