"""A job card that may leave the shop: the customer is taken out of its values, field by field, before any page is made.

The customer's keys are left out. Free text is searched for the customer; names of the platform, amounts, times and
everything that the program itself says are never touched. Where it is unclear whether something is the customer, that
is asked; nothing is guessed.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from circuitmap.evidence.card_text import Text
from circuitmap.evidence.job_card import Entry, JobCard, Pair
from circuitmap.evidence.timeline import evidence_on
from circuitmap.failures import Failure, LimitReached, WrongUse
from circuitmap.jobs.customer_found import CustomerFound, Searching
from circuitmap.jobs.customer_words import LONGEST_PRIVATE, PRIVATE_KEYS, customer_words, word_to_hide
from circuitmap.jobs.folded import folded
from circuitmap.jobs.ordinary_words import ordinary_on
from circuitmap.jobs.part_tests import tests_on
from circuitmap.wiring.platform import Platform

HIDDEN = "[customer]"
NO_FILE_NAME = "[name of the file left out]"

FREE_INTAKE = ("job", "vehicle", "odometer", "complaint", "since", "done-before", "happens-when")
"""Keys of the intake where people write what they like; the others are read as numbers, names and units."""
FREE_IN_ENTRY = ("remark", "claim", "cause", "mended", "to_mend", "until_then", "struck")

MOST_ASKED = 40
"""How many doubtful places are named at once."""


class NotShared(Failure):
    """The card cannot be shared as it is; nothing was written."""

    exit_code = 1


@dataclass(frozen=True, slots=True)
class Doubtful:
    """A place in which the customer may be named: `word` is how to speak of it, `around` what stands there."""

    place: str
    word: str
    around: str


@dataclass(frozen=True, slots=True)
class Hidden:
    """A text in which something was hidden, as it stands on the page, and what was hidden there."""

    place: str
    words: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class WithoutCustomer:
    """`doubtful`: as long as there is any, the card is not to be shared."""

    card: JobCard
    hidden: tuple[Hidden, ...]
    doubtful: tuple[Doubtful, ...]


def without_customer(
    platform: Platform, card: JobCard, hide: Sequence[str] = (), keep: Sequence[str] = ()
) -> WithoutCustomer:
    """The card without its customer. `hide` and `keep` answer for doubtful words: `may` for every place, or
    `3.remark:may` for one.

    Raises WrongUse for an answer to something that was not asked, LimitReached for a customer too long to search for.
    """
    texts = [card.intake[key].value for key in PRIVATE_KEYS if key in card.intake]
    for text in texts:
        if len(text) > LONGEST_PRIVATE:
            raise LimitReached(
                f"What stands under customer or phone is longer than {LONGEST_PRIVATE} characters: it is too much to "
                "search for.",
                "Leave the name, the number and the address there.",
            )
    hiding = _Hiding(Searching(customer_words(texts), ordinary_on(platform)), _Answers(hide, keep))
    shared = _each_free_text(platform, card, hiding)
    hiding.answers.all_used(hiding.hidden)
    return WithoutCustomer(shared, tuple(hiding.hidden), tuple(hiding.doubtful))


def names_for_sure(platform: Platform, card: JobCard, text: str) -> bool:
    """Whether a text contains the customer of a card."""
    words = customer_words(card.intake[key].value for key in PRIVATE_KEYS if key in card.intake)
    return bool(words) and any(found.sure for found in Searching(words, ordinary_on(platform)).found_in(text))


# ---- the fields ----


def _each_free_text(platform: Platform, card: JobCard, hiding: "_Hiding") -> JobCard:
    intake = {
        key: hiding.text(key, text) if key in FREE_INTAKE else text
        for key, text in card.intake.items()
        if key not in PRIVATE_KEYS and key != "platform"
    }
    added = tuple(Pair(hiding.text("added", pair.name), pair.value) for pair in card.added)
    names = {old.name.value: new.name.value for old, new in zip(card.added, added, strict=True)}
    for number, entry in enumerate(card.entries, 1):
        names |= {p.name.value: hiding.text(f"{number}.added", p.name).value for p in entry.added}
    changed = {old: new for old, new in names.items() if old != new}
    entries = (replace(entry, **_named_anew(entry, changed)) for entry in card.entries) if changed else card.entries
    named = frozenset(name.casefold() for both in names.items() for name in both)
    return replace(
        card,
        intake=intake,
        added=added,
        entries=tuple(
            _entry(entry, f"{number}.", hiding, _is_sound(platform, card, entry), named)
            for number, entry in enumerate(entries, 1)
        ),
    )


NAMES_IN_ENTRY = ("out", "back", "read", "log", "found", "added", "own_battery", "tested")
"""Where an entry names what somebody else has named on the card: what is on no sheet."""


def _named_anew(entry: Entry, names: Mapping[str, str]) -> dict[str, Any]:
    """The fields of an entry in which what is on no sheet is called otherwise, because its name held the customer's."""

    def anew(_: str, text: Text) -> Text:
        whole = next((old for old in names if old.casefold() == text.value.casefold()), None)
        if whole is not None:
            return Text(names[whole], text.span)
        before = next((old for old in names if text.value.casefold().startswith(f"{old.casefold()} ")), None)
        return text if before is None else Text(f"{names[before]}{text.value[len(before) :]}", text.span)

    return {name: _in_all(getattr(entry, name), name, anew) for name in NAMES_IN_ENTRY}


def _entry(entry: Entry, at: str, hiding: "_Hiding", sound: bool, named: frozenset[str]) -> Entry:
    """An entry; a struck one that makes no sense to the platform counts as nothing but free text. What is on no
    sheet (`named`) was decided where it got its name."""
    names = FREE_IN_ENTRY if sound else tuple(name for name in Entry.__slots__ if name not in ("span", "photo"))

    def elsewhere(place: str, text: Text) -> Text:
        said = text.value.casefold()
        return text if any(said == its or said.startswith(f"{its} ") for its in named) else hiding.text(place, text)

    changed = {
        name: _in_all(
            getattr(entry, name), at + name.replace("_", "-"), elsewhere if name in NAMES_IN_ENTRY else hiding.text
        )
        for name in names
    }
    if entry.photo is not None:
        changed["photo"] = hiding.file_name(f"{at}photo", entry.photo)
    changed["logged"] = tuple(
        replace(pair, value=hiding.file_name(f"{at}logged", pair.value)) if pair.name.value == "file" else pair
        for pair in entry.logged
    )
    return replace(entry, **changed)


def _is_sound(platform: Platform, card: JobCard, entry: Entry) -> bool:
    """Whether everything that an entry names belongs to the platform. For entries that count this is known: the card
    has no problems."""
    if entry.struck is None:
        return True
    alone = replace(card, intake={}, entries=(replace(entry, struck=None),), fitted=(), absent=(), added=())
    return not evidence_on(platform, alone)[1] and not tests_on(platform, alone)[1]


def _in_all(value: Any, place: str, change: Callable[[str, Text], Text]) -> Any:
    if isinstance(value, Text):
        return change(place, value)
    if isinstance(value, Pair):
        return Pair(change(place, value.name), change(place, value.value))
    if isinstance(value, tuple):
        return tuple(_in_all(item, place, change) for item in value)
    return value


# ---- what is hidden ----


@dataclass
class _Answers:
    """What was answered about doubtful words, and which answers were needed."""

    hide: Sequence[str]
    keep: Sequence[str]
    used: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._said: dict[str, str] = {}
        for said, answers in (("hide", self.hide), ("keep", self.keep)):
            for answer in answers:
                key = _key(answer)
                if not key.rpartition(":")[2].strip():
                    raise WrongUse(f"--{said} {answer!r} names no word.")
                if self._said.setdefault(key, said) != said:
                    raise WrongUse(f"{answer} cannot be hidden and kept at once.")

    def to(self, place: str, word: str) -> str:
        """`hide`, `keep`, or empty if nobody said."""
        for key in (_key(f"{place}:{word}"), _key(word)):
            if key in self._said:
                self.used.add(key)
                return self._said[key]
        return ""

    def words_to_hide(self, place: str) -> Iterator[str]:
        """What is to be hidden even where the word is not doubtful, here or everywhere."""
        for key, said in self._said.items():
            where, _, word = key.rpartition(":")
            if said == "hide" and (where == place or (not where and f"{place}:{word}" not in self._said)):
                yield word

    def all_used(self, hidden: Sequence[Hidden]) -> None:
        """Raises WrongUse for an answer that nothing on the card needed."""
        surely = {_key(word) for its in hidden for word in its.words}
        for answer in (*self.hide, *self.keep):
            key = _key(answer)
            if key in self.used:
                continue
            if self._said[key] == "keep" and key.rpartition(":")[2] in surely:
                raise WrongUse(f"{answer} is the customer's for sure: it cannot be kept.")
            raise WrongUse(f"Nothing on this card asks for {answer}.", "Write the word as it is asked for.")


def _key(answer: str) -> str:
    """An answer as it is compared: the place as written, the word folded."""
    place, colon, word = answer.rpartition(":")
    return f"{place.strip()}{colon}{' '.join(folded(word).text.split())}"


class _Hiding:
    """Takes the customer out of one text after the other, and keeps a record of it."""

    def __init__(self, searching: Searching, answers: _Answers) -> None:
        self.searching = searching
        self.answers = answers
        self.hidden: list[Hidden] = []
        self.doubtful: list[Doubtful] = []

    def text(self, place: str, text: Text) -> Text:
        found = [*self.searching.found_in(text.value)] if self.searching.customer else []
        hide = [one for one in found if self._is_hidden(place, text.value, one)]
        hide += self._besides(place, text.value, hide)
        if not hide:
            return text
        pieces, at = [], 0
        for one in sorted(hide, key=lambda one: one.start):
            pieces += [text.value[at : one.start], HIDDEN]
            at = one.end
        shown = "".join([*pieces, text.value[at:]])
        self.hidden.append(Hidden(place, tuple(text.value[one.start : one.end] for one in hide), shown))
        return Text(shown, text.span)

    def file_name(self, place: str, text: Text) -> Text:
        """The name of a file says nothing that the entry does not: where it may contain the customer's name, it is left
        out."""
        asked = any(word in folded(text.value).text for word in self.answers.words_to_hide(place))
        if not asked and not (self.searching.customer and self.searching.in_name_of_file(text.value)):
            return text
        self.hidden.append(Hidden(place, (text.value,), NO_FILE_NAME))
        return Text(NO_FILE_NAME, text.span)

    def _is_hidden(self, place: str, text: str, one: CustomerFound) -> bool:
        word = text[one.start : one.end]
        if one.sure:
            return True
        said = self.answers.to(place, word)
        if not said:
            self.doubtful.append(Doubtful(place, " ".join(word.split()), _around(text, one)))
        return said == "hide"

    def _besides(self, place: str, text: str, hidden: Sequence[CustomerFound]) -> list[CustomerFound]:
        """What else somebody wants hidden, wherever it stands as a word."""
        more: list[CustomerFound] = []
        for word in self.answers.words_to_hide(place):
            its = folded(text)
            for start in _standing_alone(its.text, word_to_hide(word).letters):
                first, last = its.stretch(start, start + len(word))
                if all(last <= one.start or one.end <= first for one in (*hidden, *more)):
                    more.append(CustomerFound(first, last, word, True))
                    self.answers.used.update((word, f"{place}:{word}"))
        return more


def _standing_alone(text: str, word: str) -> Iterator[int]:
    at = text.find(word) if word else -1
    while at >= 0:
        before, after = text[at - 1 : at] if at else "", text[at + len(word) : at + len(word) + 1]
        if not before.isalnum() and not after.isalnum():
            yield at
        at = text.find(word, at + len(word))


_AROUND = 30


def _around(text: str, one: CustomerFound) -> str:
    """The words around a place, on one line."""
    start, end = max(0, one.start - _AROUND), min(len(text), one.end + _AROUND)
    dots = ("..." if start else "", "..." if end < len(text) else "")
    return f"{dots[0]}{' '.join(text[start:end].split())}{dots[1]}"
