"""Parts that no test may ever ask anybody to unplug or probe, and what to take care of at others.

Restraints, pyrotechnic and high-voltage parts: the vehicle maker's procedure and trained people only.
"""

import re

from circuitmap.wiring.parts import Part
from circuitmap.wiring.platform import Platform

_NEVER = re.compile(
    r"\b(air ?bags?|restraints?|pre-?tensioners?|belt tensioners?|squibs?|pyro\w*|srs|"
    r"high[- ]voltage|traction (battery|inverter)|hv|orange cable|service disconnect)\b",
    re.IGNORECASE,
)
_LIFTED = re.compile(r"\b(lift|air suspension|air springs?|level control|jack|coupling|crane|tipper)\b", re.IGNORECASE)
_FANS = re.compile(r"\b(fan|blower|pump|wiper|motor|window)\b", re.IGNORECASE)
_SIREN = re.compile(r"\b(siren|alarm)\b", re.IGNORECASE)
_CHARGES = re.compile(r"\b(solar|mains|hook-up|charger|charging converter|inverter|booster)\b", re.IGNORECASE)


def is_hands_off(part: Part) -> bool:
    """Restraint, pyrotechnic or high-voltage: never unplugged, never probed."""
    return bool(_NEVER.search(_words(part)))


def hands_off_parts(platform: Platform) -> frozenset[str]:
    known = platform.__dict__.get("_hands_off")
    if not isinstance(known, frozenset):
        known = frozenset(part.name for part in platform.parts.values() if is_hands_off(part))
        platform.__dict__["_hands_off"] = known
    return known


def cautions_for(part: Part) -> tuple[str, ...]:
    """Codes of what to take care of before this part is unplugged."""
    words = _words(part)
    found = []
    if _LIFTED.search(words):
        found.append("secure-load")
    if _FANS.search(words) or part.kind == "motor":
        found.append("moving-parts")
    if _SIREN.search(words):
        found.append("siren")
    if _CHARGES.search(words) or part.kind == "charger":
        found.append("other-sources")
    if part.kind in ("alternator", "starter"):
        found.append("unfused")
    return tuple(found)


def _words(part: Part) -> str:
    return f"{part.name.replace('_', ' ').replace('.', ' ')} {part.description} {part.place}"
