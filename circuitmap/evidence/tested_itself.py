"""A part tested by itself: `bad`, or what a meter showed across one of its contacts, `1 to 2 open with the door
shut`."""

import re
from collections.abc import Iterator

from circuitmap.evidence.battery_seen import PASSED
from circuitmap.failures import WrongUse
from circuitmap.wiring.parts import Relay, Switch
from circuitmap.wiring.platform import Platform

HOW_ITSELF = "For example: tested S12 bad, or tested S12 1 to 2 open with the door shut"

_CONTACT = re.compile(
    r"(?:pins? )?(?P<a>[\w.]+) ?(?:to|and|-|/) ?(?P<b>[\w.]+)(?: (?:is|was|reads?|stays?))? "
    r"(?P<state>open|closed)\b(?P<more>.*)\Z",
    re.IGNORECASE | re.DOTALL,
)
_WORD = re.compile(r"\w+")
_BESIDE = {
    "with", "the", "at", "in", "on", "off", "when", "while", "it", "is", "was", "and", "as", "coil", "not", "rest",
    "shut", "closed", "open", "door", "lid", "flap", "parked", "position", "energised", "pulled", "driven", "live",
}  # fmt: skip
_SHUT, _PULLED_IN = {"shut": "closed", "closed": "shut"}, {"energised", "pulled", "driven", "live"}


def passed_itself(platform: Platform, part: str, result: str) -> bool:
    """Whether a part passed a test by itself. Of a contact that follows from the sheets: it should be open or closed at
    the position that is named, or else as it is parked. Raises WrongUse where that can't be told."""
    text = result.strip(" ,;:.")
    known = PASSED.get(text.casefold())
    if known is not None:
        return known
    said = _CONTACT.match(text)
    if said is None:
        raise WrongUse(f"{part} {text}: was it fine or bad?", HOW_ITSELF)
    told = [word.casefold() for word in _WORD.findall(said["more"])]
    odd = next((word for word in told if word not in _known_words(platform, part)), None)
    if odd is not None:
        raise WrongUse(f"{part}: {odd} says nothing of how it should stand. Write it as a remark.", HOW_ITSELF)
    if told and told[-1] in PASSED:
        return PASSED[told[-1]]
    should = _should_be_closed(platform, part, {said["a"], said["b"]}, told)
    if should is None:
        raise WrongUse(
            f"{part} {text}: how it should be there is not on the sheets. Was it fine or bad?",
            f"Write: tested {part} bad",
        )
    return should == (said["state"].casefold() == "closed")


def _known_words(platform: Platform, name: str) -> set[str]:
    """The words that may stand behind a contact. No others: what is free text is searched for the customer when a card
    is shared, and a test is none."""
    part = platform.parts.get(name)
    its = f"{part.description} {part.place}" if part is not None else ""
    positions = part.positions if isinstance(part, Switch) else ()
    return {word.casefold() for word in _WORD.findall(its)} | {p.casefold() for p in positions} | _BESIDE | {*PASSED}


def _should_be_closed(platform: Platform, name: str, pins: set[str], told: list[str]) -> bool | None:
    """None where no such contact is typed in, or where it stood is not said in the words of the sheet."""
    part = platform.parts.get(name)
    if isinstance(part, Relay):
        energised = bool(_PULLED_IN & set(told))
        found = [one.energised == energised for one in part.contacts if {one.pin_a, one.pin_b} == pins]
        return found[0] if len(found) == 1 else None
    if not isinstance(part, Switch):
        return None
    at = list(dict.fromkeys(_positions_told(part, told)))
    if len(at) > 1 or (told and not at):
        return None
    position = at[0] if at else part.positions[0]
    its = [one for one in part.contacts if {one.pin_a, one.pin_b} == pins]
    return any(position in one.closed_in for one in its) if its else None


def _positions_told(part: Switch, told: list[str]) -> Iterator[str]:
    named = {position.casefold(): position for position in part.positions}
    for word in told:
        if word in named:
            yield named[word]
        elif _SHUT.get(word, "") in named:
            yield named[_SHUT[word]]
