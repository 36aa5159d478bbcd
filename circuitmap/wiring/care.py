"""What to take care of at a part: what was typed, what its kind implies, and, as a safety net, what its words suggest.

The words are common practice, no source. Unlike what is hands-off they only add a caution, so a wrong guess costs a
line.
"""

import re

from circuitmap.wiring.parts import Care, Fuse, Joint, OpenEnd, Part, Relay

_KINDS: dict[str, tuple[Care, ...]] = {
    "motor": ("starts-itself",),
    "charger": ("feeds-in",),
}
_SAID: tuple[tuple[Care, str], ...] = (
    ("holds-load", r"lift|taillift|air suspension|air springs?|level control|jack|coupling|crane|tipper|winch"),
    ("tows", r"trailer|towing|tow ?bar"),
    ("starts-itself", r"fans?|blower|pump|wipers?|motor|windows?|refrigeration unit|compressor|awning|step"),
    ("own-battery", r"siren|alarm|battery (?:inside|of its own)"),
    ("feeds-in", r"solar|mains|hook-up|charger|charging converter|inverter|booster"),
    ("burns-fuel", r"fuel[- ]fired|auxiliary heater|parking heater|diesel heater|pre-?heater|night heater"),
    ("burns-gas", r"gas (?:heater|boiler|fridge|cooker|oven|appliance)|(?:heater|boiler|heating|fridge)[^,]*, gas"),
    ("gas-alarm", r"gas (?:alarm|detector|sensor|warner)"),
    (
        "holds-fuel",
        r"(?:fuel|diesel|petrol)(?!-fired| (?:fired|gauge|display|warning|engine|lid))|injectors?|carburett?or",
    ),
    ("hot", r"heater|heated|heating|boiler|glow|ballast|exhaust"),
    ("locks-doors", r"body computer|body controller|central locking|locking controller|door locks?"),
)
_THERE: frozenset[Care] = frozenset(("holds-fuel",))
"""What holds where a part is, not for what it is called after."""
_WORDS = tuple((care, re.compile(rf"\b(?:{words})\b", re.IGNORECASE)) for care, words in _SAID)


def care_of(part: Part) -> frozenset[Care]:
    """Everything to take care of at a part, including what nobody typed. A name is an abbreviation, or a mark on the
    sheet: it tells what a part is only where nothing was typed that does (MAINS, a main switch, is no mains lead).
    A fuse or relay of a fuel pump is called after it, and has no fuel beside it unless its place says so.
    """
    said = part.description or part.name.replace("_", " ").replace(".", " ")
    told = care_by_name(f"{said} {part.place}")
    if isinstance(part, Fuse | Relay | Joint | OpenEnd):
        told = told - _THERE | (care_by_name(part.place) & _THERE)
    return frozenset((*part.care, *_KINDS.get(part.kind, ()))) | told


def care_by_name(words: str) -> frozenset[Care]:
    """What words alone suggest: of something that was fitted and is on no sheet, its name is all there is."""
    return frozenset(care for care, pattern in _WORDS if pattern.search(words))
