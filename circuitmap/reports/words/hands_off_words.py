"""What is hands-off, and why, in words: told wherever somebody might touch it."""

from collections.abc import Container, Iterable, Iterator, Mapping

from circuitmap.circuit.hands_off import HandsOffMap, Untouchable
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.parts import HandsOff, Load, is_unnamed

WHY_WORDS: dict[HandsOff, str] = {
    "restraint": "restraint or pyrotechnic",
    "high-voltage": "high voltage",
    "gas": "gas",
    "sealed": "sealed by law",
    "maker": "the maker says so",
}
HAND_OVER = "if it comes to that, the maker's procedure, by somebody licensed for it"
HANDED_OVER = (
    "It is hands-off: not pulled, unplugged, parted, probed or measured. Write down what was cleared and hand over: "
    "the maker's procedure, by somebody licensed for it."
)
MOST_NAMED = 4
_IN_ONE_LINE = 3


def why_words(name: str, its: Untouchable) -> str:
    """`CAB.F46 (restraint or pyrotechnic)`, `CAB.K4 (feeds CAB.F46, restraint or pyrotechnic)`; a pin that nobody named
    is called by its part."""
    owner, _, pin = name.rpartition(".")
    name = f"a pin of {owner} that nobody named" if is_unnamed(pin) else name
    why = WHY_WORDS[its.reason.why]
    if its.reason.known_by == "doubt":
        why = f'perhaps {why}: "{its.reason.words}"'
    match its.how:
        case "itself":
            return f"{name} ({why})"
        case "feeds":
            return f"{name} (feeds {its.of}, {why})"
        case "grounds":
            return f"{name} (grounds {its.of}, {why})"
        case "carries":
            return f"{name} (carries {its.of}, {why})"
        case "hangs-on":
            return f"{name} (hangs on {its.of}, {why})"
        case "may-feed":
            return f"{name} (may feed {its.of}, {why}; where it goes on is not typed in)"
        case "works-relay":
            return f"{name} (works the relay by which {its.of} has its feed or ground, {why})"
        case "same-copper":
            return f"{name} (on the same copper as what feeds {its.of}, {why})"


def in_one_line(named: Mapping[str, Untouchable]) -> list[str]:
    """What an answer names that nobody touches, as one short sentence; nothing where it names none."""
    told = [why_words(name, its) for name, its in named.items() if its.how != "same-copper"]
    probed = [why_words(name, its) for name, its in named.items() if its.how == "same-copper"]
    lines = [f"{shortened(told, _IN_ONE_LINE)}: not pulled, unplugged, parted, probed or measured."] if told else []
    return lines + ([f"{shortened(probed, _IN_ONE_LINE)}: unplugged, but not probed."] if probed else [])


def untouchable_among(hands_off: HandsOffMap | None, names: Iterable[str]) -> dict[str, Untouchable]:
    """Those of some parts, cavities, pins and networks that may not be touched or probed: what is such a thing itself
    after what comes first, then the others as they come; a pin or cavity only where its part is free."""
    if hands_off is None:
        return {}
    found: dict[str, Untouchable] = {}
    asked = list(dict.fromkeys(names))
    for name in asked:
        its = hands_off.why_not_probed(name)
        if its is not None and name.rpartition(".")[0] not in found:
            found[name] = its
    return dict(sorted(found.items(), key=lambda row: (row[0] != asked[0], row[1].how != "itself")))


def untouchable_json(named: Mapping[str, Untouchable]) -> list[dict[str, str]]:
    """The same as data; a pin that nobody named by its part alone, as somebody may type it."""
    return [
        {"name": _as_typed(name), "how": its.how, "of": its.of, "why": its.reason.why, "known_by": its.reason.known_by}
        for name, its in named.items()
    ]


def _as_typed(name: str) -> str:
    owner, _, pin = name.rpartition(".")
    return owner if is_unnamed(pin) else name


def left_alone_sentences(hands_off: HandsOffMap, fuses: Iterable[str], read: Container[str]) -> Iterator[str]:
    """Why fuses are no part of a row that is read; none of those that somebody `read` all the same."""
    told = [why_words(name, its) for name in fuses if name not in read and (its := hands_off.why_not(name)) is not None]
    if told:
        named = joined(told) if len(told) <= MOST_NAMED else shortened(told, MOST_NAMED)
        yield f"Left out, and not probed: {named}."


def row_words(its: Untouchable) -> str:
    """Why a fuse is left alone, on its line of a list: `restraint or pyrotechnic`, `feeds SDM (restraint ...)`."""
    return why_words("", its).strip().strip("()")


def _at_its_pins(hands_off: HandsOffMap, name: str, its: Untouchable) -> str:
    """A module that only carries a wire of such a thing, with the pins of that wire: its others are no part of it."""
    part = hands_off.platform.parts.get(name)
    if its.how != "carries" or not isinstance(part, Load):
        return name
    pins = dict.fromkeys(end.as_typed for end in hands_off.terminals if end.part == name)
    return f"{name} at {joined(list(pins))}" if 0 < len(pins) <= MOST_NAMED else name


def hands_off_sentence(hands_off: HandsOffMap, names: Iterable[str]) -> str:
    """One sentence about all of these that may not be touched; empty if all may be."""
    found = [(name, its) for name in dict.fromkeys(names) if (its := hands_off.why_not(name)) is not None]
    if not found:
        return ""
    told = [why_words(_at_its_pins(hands_off, name, its), its) for name, its in found]
    named = joined(told) if len(told) <= MOST_NAMED else shortened(told, MOST_NAMED)
    all_clamped = all(hands_off.may_clamp(name) for name, _ in found)
    clamp = f" A clamp may go round {'its cable' if len(found) == 1 else 'their cables'}." if all_clamped else ""
    return f"{named}: not pulled, unplugged, parted, probed or measured here; {HAND_OVER}.{clamp}"
