"""Where the customer stands in a free text: surely, or perhaps.

Surely: a word of the name by itself, in the plural, or with a form of address, an initial or another word of the name
joined to it; a telephone number, however it is written; an address. Perhaps: where the word is an ordinary one as well,
stands in the middle of another, or is one slip away; whoever shares the text is asked about it.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from circuitmap.failures import LimitReached
from circuitmap.jobs.customer_words import (
    SHORTEST_INSIDE,
    SHORTEST_NUMBER,
    CustomerWords,
    NameWord,
    addresses_in,
)
from circuitmap.jobs.folded import (
    Folded,
    folded,
    is_letter,
    is_word,
    needs_no_blank,
    with_short_umlauts,
    without_hyphens,
)
from circuitmap.jobs.found_places import Place, apart, grown, joined, together
from circuitmap.jobs.numbers_found import numbers_in
from circuitmap.jobs.ordinary_words import FORMS_OF_ADDRESS
from circuitmap.wiring.near_names import NearNames

_TITLES = "|".join(sorted(FORMS_OF_ADDRESS, key=len, reverse=True))
_TITLE_BEFORE = re.compile(rf"(?<![^\W_])(?:{_TITLES})\.?[\s_-]{{0,2}}$")
_FIRM_AFTER = re.compile(
    r",?\s{0,2}(?:(?:&|\+|and|und)\s{0,2}(?:sons?|co|partners?)|ltd|limited|plc|inc|llc|llp|gmbh|ohg|kg|ag)\b\.?"
)
_JOINED_BEFORE = re.compile(r"(?<![^\W_])([^\W\d_]{1,4})['\u2019\u02bc`\u00b4]$")
_LETTER_BEFORE = re.compile(r"(?<![^\W_])[^\W\d_][\s_-]$")
_INITIALS_BEFORE = re.compile(r"(?<![^\W_])(?:[^\W\d_]\.[\s-]?){1,3}$")
_INITIALS_AFTER = re.compile(r",?\s?(?:[^\W\d_]\.[\s-]?){1,3}(?![^\W_])")
_LETTERS_OF_ADDRESS = 3
MOST_PLACES, MOST_LOOKED_AT = 5_000, 30_000
"""Most places in one text where the customer may stand, and most on one card that are looked at for that: two letters
are in every other word."""
_LONGEST_RUN = 100
"""Most letters on either side that are taken to be of the same word."""
_LONGEST_JOINED = 30
"""Most letters joined to a name that are looked at for other names in them."""


@dataclass(frozen=True, slots=True)
class CustomerFound:
    """The place from `start` to `end` in the text as it was written; `word` is what stands there, folded."""

    start: int
    end: int
    word: str
    sure: bool


class Searching:
    """One customer, looked for in many texts. `ordinary` are words that anybody writes."""

    def __init__(self, customer: CustomerWords, ordinary: frozenset[str]) -> None:
        self.customer = customer
        self.ordinary = ordinary
        self._near = NearNames(w.letters for w in customer.words if len(w.letters) > SHORTEST_INSIDE)
        self._near_to: dict[str, bool] = {}
        self._looked_at = 0
        its_words = {form for word in customer.words for form in (word.letters, word.short)}
        self._its_words = tuple(form for form in its_words if len(form) > 1)
        self._companions = tuple(its_words | FORMS_OF_ADDRESS | {"the", "and"} | set(customer.initials))
        self._windows = frozenset(
            number[at : at + SHORTEST_NUMBER]
            for number in customer.numbers
            for at in range(len(number) - SHORTEST_NUMBER + 1)
        )

    def found_in(self, written: str) -> tuple[CustomerFound, ...]:
        """All places in order, none overlapping; sure places take precedence over doubtful ones."""
        its = folded(written)
        places: list[Place] = []
        for place in self._places(its):
            places.append(place)
            if len(places) > MOST_PLACES:
                raise LimitReached(
                    f"Words of the customer's name stand in more than {MOST_PLACES:,} places of one text.",
                    "Shorten the text.",
                )
        for _ in range(2):  # what makes one word sure makes its neighbours sure
            places = together(its, [self._with_title(its, place) for place in places])
        doubtful = [place for place in places if not place.sure]
        sure = joined(its, grown([place for place in places if place.sure], doubtful))
        places = sure + apart(doubtful, sure)
        return tuple(
            CustomerFound(*its.stretch(place.start, place.end), its.text[place.start : place.end], place.sure)
            for place in sorted(places)
        )

    def _places(self, its: Folded) -> Iterator[Place]:
        yield from self._words(its)
        yield from self._whole(its)
        yield from self._addresses(its)
        yield from numbers_in(its, self._windows, self.customer.short_numbers)
        yield from self._initials(its)

    def in_name_of_file(self, written: str) -> bool:
        """Whether a file's name may hold the name: any word that begins or ends with it is enough."""
        if self.found_in(written):
            return True
        its = folded(written)
        if any(whole in " ".join(its.text.split()) for whole in self.customer.whole):
            return True
        runs = re.findall(r"[^\W\d_]+", its.text)
        return any(
            run.startswith(word.letters) or run.endswith(word.letters)
            for run in runs
            for word in self.customer.words
            if len(word.letters) > 1
        )

    # ---- words ----

    def _words(self, its: Folded) -> Iterator[Place]:
        short = with_short_umlauts(its)
        joined = without_hyphens(short)
        for word in self.customer.words:
            if len(word.letters) < SHORTEST_INSIDE:
                yield from self._as_spelt(its, its, word, word.letters)
                continue
            yield from self._as_spelt(its, short, word, word.short)
            if joined is not short:
                found = self._as_spelt(its, joined, word, word.short)
                yield from (place for place in found if not is_word(its.text[place.start : place.end]))
        for word in self.customer.words:
            if word.spaced is not None:
                for match in word.spaced.finditer(its.text):
                    if not its.is_letter(match.start() - 1) and not its.is_letter(match.end()):
                        yield Place(match.start(), match.end(), True)
        if self._near.names:
            yield from self._slips(its)

    def _as_spelt(self, its: Folded, form: Folded, word: NameWord, letters: str) -> Iterator[Place]:
        """Where a word stands in one form of the text, as places in the text itself."""
        for start in _each(letters, form.text):
            self._looked_at += 1
            if self._looked_at > MOST_LOOKED_AT:
                raise LimitReached(
                    f"The letters {letters} of the customer's name stand in too many places of this card to look at.",
                    "Shorten its texts.",
                )
            for place in self._word(form, word, start, start + len(letters)):
                first, last = form.place_in(its, place.start, place.end)
                yield place._replace(start=first, end=last)

    def _word(self, its: Folded, word: NameWord, start: int, end: int) -> Iterator[Place]:
        before, after = _run_before(its, start), _run_after(its, end)
        left = "" if _begins(its, start, end) else its.text[before:start]
        right = "" if _ends(its, start, end) else its.text[end:after]
        sure = word.letters not in self.ordinary and len(word.letters) > 1
        if word.part_of_name:
            yield Place(start, end, len(word.letters) > 1, True)
        elif right in ("", "s", "es") and not left:
            if len(word.letters) > 1 or not _beside_a_digit(its, start, end):
                yield Place(start, end + len(right), sure, True)
        elif self._made_of_companions(left) and self._made_of_companions(right):
            yield Place(start - len(left), end + len(right), sure)
        elif len(word.letters) >= SHORTEST_INSIDE or self._joins_another(word, left, right):
            yield Place(before, after, its.text[after : after + 1] == "@" and sure)

    def _whole(self, its: Folded) -> Iterator[Place]:
        """The whole text under a key, as it stands: signs and digits are part of some names."""
        for text in self.customer.whole:
            words = text.split()
            sure = any(word not in self.ordinary for word in words)
            between = r"\s+".join(map(re.escape, words))
            for match in re.finditer(rf"(?<![^\W_]){between}(?![^\W_])" if text[0].isalnum() else between, its.text):
                yield Place(match.start(), match.end(), sure)

    def _joins_another(self, word: NameWord, left: str, right: str) -> bool:
        """Whether another word of the name is joined to it."""
        others = tuple(form for form in self._its_words if form not in (word.letters, word.short))
        return left.endswith(others) or right.startswith(others)

    def _made_of_companions(self, rest: str) -> bool:
        """Whether what is joined to a name consists of other words of it, initials or forms of address, perhaps with a
        plural's s."""
        if len(rest) > _LONGEST_JOINED:
            return False
        reached = {0}
        for at in range(len(rest)):
            if at in reached:
                reached |= {at + len(its) for its in self._companions if rest.startswith(its, at)}
        return len(rest) in reached or (rest.endswith("s") and len(rest) - 1 in reached)

    def _slips(self, its: Folded) -> Iterator[Place]:
        for match in re.finditer(r"[^\W\d_]+", its.text):
            run = match[0]
            if len(run) <= SHORTEST_INSIDE or run in self.ordinary:
                continue
            if run not in self._near_to:
                self._near_to[run] = bool(self._near.nearest(run))
            if self._near_to[run]:
                yield Place(match.start(), match.end(), False)

    def _initials(self, its: Folded) -> Iterator[Place]:
        letters = self.customer.initials
        if not letters:
            return
        dotted = r"\.\s?".join(map(re.escape, letters))
        for match in re.finditer(rf"(?<![^\W_]){dotted}\.?(?![^\W_])", its.text):
            yield Place(match.start(), match.end(), False)
        if letters not in self.ordinary:
            for match in re.finditer(rf"(?<![^\W_]){re.escape(letters)}(?![^\W_])", its.text):
                if all(its.is_big(at) for at in range(match.start(), match.end())):
                    yield Place(match.start(), match.end(), False)

    # ---- addresses and numbers ----

    def _addresses(self, its: Folded) -> Iterator[Place]:
        """Whoever an address belongs to, it is not given away unasked."""
        for start, end in addresses_in(its.text):
            names = (word for word in self.customer.words if len(word.letters) >= _LETTERS_OF_ADDRESS)
            yield Place(start, end, any(word.letters in its.text[start:end] for word in names))

    # ---- what belongs to it ----

    def _with_title(self, its: Folded, place: Place) -> Place:
        """A form of address or initials before the name belong to it, and turn an ordinary word into a name."""
        if not place.whole and not place.sure:
            return place
        start, sure = place.start, place.sure
        text, begin = its.text, max(0, start - 16)
        if match := _JOINED_BEFORE.search(text, begin, start):
            whole = match[1] + text[start : place.end]
            start = match.start() if any(whole.startswith(word.letters) for word in self.customer.words) else start
        if place.whole and (match := _INITIALS_BEFORE.search(text, begin, start)):
            its_letters = set(filter(is_letter, match[0]))
            if sure or its_letters <= set(self.customer.initials):
                start, sure = match.start(), True
        elif sure and (match := _LETTER_BEFORE.search(text, begin, start)) and its.is_big(match.start()):
            start = match.start() if text[match.start()] in self.customer.initials else start
        if match := _TITLE_BEFORE.search(text, begin, start):
            start, sure = match.start(), True
        end = place.end
        if place.whole and (match := _FIRM_AFTER.match(text, end)):
            end, sure = match.end(), True
        elif sure and place.whole and (match := _INITIALS_AFTER.match(text, end)):
            end = match.end()
        return place._replace(start=start, end=end, sure=sure)


def _each(letters: str, text: str) -> Iterator[int]:
    """Where the letters stand in a text, overlaps included."""
    at = text.find(letters)
    while at >= 0:
        yield at
        at = text.find(letters, at + 1)


def _run_before(its: Folded, start: int) -> int:
    least = start - _LONGEST_RUN
    while start > least and its.is_letter(start - 1):
        start -= 1
    return start


def _run_after(its: Folded, end: int) -> int:
    most = end + _LONGEST_RUN
    while end < most and its.is_letter(end):
        end += 1
    return end


def _begins(its: Folded, start: int, end: int) -> bool:
    """Whether a word begins here: no letter before it, or a letter of another script, or a small letter before a
    capital."""
    if not its.is_letter(start - 1) or its.is_parted(start):
        return True
    if its.at[start - 1] == its.at[start]:
        return False
    before, first = its.text[start - 1], its.text[start]
    if needs_no_blank(before) or needs_no_blank(first):
        return True
    if its.is_small(start - 1):
        return its.is_big(start)
    return its.is_big(start) and start + 1 < end and its.is_small(start + 1)


def _ends(its: Folded, start: int, end: int) -> bool:
    if not its.is_letter(end) or its.is_parted(end):
        return True
    if its.at[end - 1] == its.at[end]:
        return False
    if needs_no_blank(its.text[end - 1]) or needs_no_blank(its.text[end]):
        return True
    if its.is_small(end - 1):
        return its.is_big(end)
    if its.is_big(end):
        return end + 1 < len(its.text) and its.is_small(end + 1)
    return end - start > 1 and its.is_small(end) and all(its.is_big(at) for at in range(start, end))


def _beside_a_digit(its: Folded, start: int, end: int) -> bool:
    return its.text[max(0, start - 1) : start].isdigit() or its.text[end : end + 1].isdigit()
