"""A wire in a short line: `f40 x61.1 lift.a1 rdbu 4` is FRM.F40 -> X61.1 -> LIFT.A1 in RD/BU 4.

What comes out is always the full notation. A line that is a statement already stays as it is.

- A name may be any tail of the full one, in small letters; so may the part of a terminal, and the option behind `if`.
- `.a2` is terminal A2 of the part in the same place of the line above, first or last, or of the one in the other place
  where that one has no terminal. `x61.+` is the cavity behind the one of X61 that was typed last.
- `~` are the last ends of the line above, `=` the look of its last wire.
- A bare number is a size; right behind a colour `.75` is one, too.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from circuitmap.notation.names import STATEMENT_WORDS
from circuitmap.notation.statements import NO_LOOK, WireStatement
from circuitmap.transcribing.asked import Settled, Unclear
from circuitmap.transcribing.short_looks import colours_meant, size_of
from circuitmap.transcribing.short_names import ShortNames
from circuitmap.transcribing.short_words import BEHIND, OPEN, SAME_END, SAME_LOOK, TypedWord, end_group, words_in

_NUMBER_AT_END = re.compile(r"(.*?)(\d{1,15})\Z")
_MOST_OFFERED = 12
_FULL = re.compile(r"->|\bfeeds\b")


@dataclass(frozen=True, slots=True)
class LineAbove:
    """What a line may take from those above it: the first and last ends, the last look, and the cavity of each
    connector that was typed last. `whole` is false below a line that was not understood."""

    first: tuple[str, ...] = ()
    last: tuple[str, ...] = ()
    look: str = ""
    cavities: tuple[tuple[str, str], ...] = ()
    whole: bool = True


def is_full(line: str) -> bool:
    """Whether a line is a statement of the notation already: it has an arrow, or begins as no wire does."""
    words = [word.text for word in words_in(line)]
    return words[:1] != [] and (words[0] in STATEMENT_WORDS or any(_FULL.fullmatch(word) for word in words[1:]))


def lengthened(
    line: str, names: ShortNames, letters: Mapping[str, str], above: LineAbove, settled: Settled | None = None
) -> str:
    """The statement that a short line stands for. Raises Unclear for the first word that means several things, or
    nothing."""
    return _ShortLine(line, names, letters, above, settled or {}).lengthened()


def above_from(wires: WireStatement, names: ShortNames, before: LineAbove) -> LineAbove:
    """What the next line may take from these wires."""
    points = [wires.first, *(step.ends for step in wires.steps)]
    ends = [tuple(end.name.text for end in point if not end.is_open) for point in points]
    looks = [step.look for step in wires.steps]
    last = next((look for look in reversed(looks) if look.colour or look.size), NO_LOOK)
    said = (last.colour.text if last.colour else "", last.size.span.text if last.size else "")
    cavities = dict(before.cavities)
    for end in (end for point in ends for end in point):
        owner, pin = names.owner_and_pin(end)
        if owner and names.is_connector(owner):
            cavities[owner] = pin
    return LineAbove(ends[0], ends[-1], " ".join(filter(None, said)), tuple(cavities.items()))


class _ShortLine:
    def __init__(
        self, line: str, names: ShortNames, letters: Mapping[str, str], above: LineAbove, settled: Settled
    ) -> None:
        self.line = line
        self.words = words_in(line)
        self.names = names
        self.letters = letters
        self.above = above
        self.settled = settled
        self.cavities = dict(above.cavities)

    def lengthened(self) -> str:
        groups, looks, behind = self._cut()
        if len(groups) < 2:
            raise Unclear("A wire has two ends.", 0, len(self.line))
        points = [self._ends(group, number, number == len(groups) - 1) for number, group in enumerate(groups)]
        text = ", ".join(points[0])
        for point, look in zip(points[1:], looks[1:], strict=True):
            text += f" -> {', '.join(point)}{f' in {look}' if look else ''}"
        return text + self._behind(behind)

    def _cut(self) -> tuple[list[list[TypedWord]], list[str], int]:
        """The points of the line, the look of the wire that arrives at each, and where what follows begins."""
        groups: list[list[TypedWord]] = []
        looks: list[dict[str, str]] = []
        at = 0
        while at < len(self.words):
            word = self.words[at]
            if len(groups) >= 2:
                if word.text in BEHIND:
                    break
                taken = self._look(at, looks[-1])
                if taken:
                    at += taken
                    continue
            group, at = end_group(self.words, at)
            groups.append(group)
            looks.append({})
        return groups, [" ".join(look[part] for part in _IN_ORDER if part in look) for look in looks], at

    # ---- what a wire looks like ----

    def _look(self, at: int, look: dict[str, str]) -> int:
        """How many words from here on are the look of the wire that arrives at the last point; they are noted in
        `look`."""
        word = self.words[at]
        if word.text in ("named", "code", "length"):
            if at + 1 == len(self.words) or self.words[at + 1].quoted != (word.text == "code"):
                raise word.unclear(f"What follows {word.text}?")
            self._note(look, word.text, f"{word.text} {self.words[at + 1].text}", word)
            return 2
        if word.text == SAME_LOOK:
            self._needs_above(word)
            if not self.above.look:
                raise word.unclear("The line above says no colour and no size.")
            self._note(look, "colour", self.above.look, word)
            return 1
        before = self.words[at - 1]
        behind_colour = "colour" in look and before.text != SAME_LOOK and bool(self._colours(before))
        if size := size_of(word.text):
            if not word.text.startswith(".") or behind_colour:
                self._note(look, "size", size, word)
                return 1
            return 0
        colours = self._colours(word)
        if not colours:
            return 0
        ends = self._meant(word) if word.start not in self.settled else ()
        if len(colours) + len(ends) > 1:
            raise word.unclear(_which(word, (*colours, *ends)), (*colours, *ends))
        self._note(look, "colour", colours[0], word)
        return 1

    def _colours(self, word: TypedWord) -> tuple[str, ...]:
        answer = self.settled.get(word.start)
        if answer is not None:
            return colours_meant(answer, self.letters) if self._is_colour(answer) else ()
        return colours_meant(word.text, self.letters)

    def _is_colour(self, answer: str) -> bool:
        return colours_meant(answer, self.letters) == (answer,) and answer not in self.names.parts

    def _note(self, look: dict[str, str], part: str, text: str, word: TypedWord) -> None:
        if part in look:
            raise word.unclear(f"This wire has a {part} already: {look[part]}.")
        look[part] = text

    # ---- what its ends are ----

    def _ends(self, group: list[TypedWord], number: int, is_last: bool) -> list[str]:
        found: list[str] = []
        for word in group:
            if word.quoted:
                found[-1] += f" {word.text}"
            elif word.text == SAME_END:
                self._needs_above(word)
                if not self.above.last:
                    raise word.unclear("There is no line above.")
                found.extend(self.above.last)
            else:
                found.append(self._end(word, number, is_last))
        return found

    def _end(self, word: TypedWord, number: int, is_last: bool) -> str:
        if word.text == OPEN:
            return OPEN
        if word.start in self.settled:
            return self._noted(self.settled[word.start])
        if word.text.startswith("."):
            ends = self._of_part_above(word, number, is_last)
        else:
            ends = self._meant(word)
        if len(ends) > 1:
            raise word.unclear(_which(word, ends), ends)
        if ends:
            return self._noted(ends[0])
        asked = self.names.terminals_asked(word.text)
        if asked:
            raise word.unclear(f"Which terminal of {asked[0].rpartition('.')[0]}?", asked)
        owner, _, pin = word.text.rpartition(".")
        its = self.names.terminals_of(owner) if owner else ()
        if its:
            raise word.unclear(f"{its[0].rpartition('.')[0]} has no terminal {pin}.", its[:_MOST_OFFERED])
        more = " It is no colour either." if number >= 2 and word.text.isalpha() else ""
        raise word.unclear(f"Nothing is called {word.text} here.{more}", self.names.near(word.text))

    def _meant(self, word: TypedWord) -> tuple[str, ...]:
        owner, _, pin = word.text.rpartition(".")
        ends = self.names.meant(word.text)
        if pin != "+" or not owner:
            return ends
        new = (name for name in self.cavities if name.casefold() == owner.casefold())
        found = dict.fromkeys((*self.names.connectors(owner), *new))
        known = tuple(end for end in ends if not self.names.is_connector(end.rpartition(".")[0]))
        return (*known, *(self._next_cavity(word, name) for name in found))

    def _next_cavity(self, word: TypedWord, name: str) -> str:
        self._needs_above(word)
        before = _NUMBER_AT_END.match(self.cavities.get(name, ""))
        if before is None:
            raise word.unclear(f"No numbered cavity of {name} was typed above: which one is meant?")
        following = f"{before[1]}{int(before[2]) + 1}"
        pins = self.names.pins(name)
        if pins and following not in pins:
            raise word.unclear(f"{name} has no cavity {following}.")
        return f"{name}.{following}"

    def _of_part_above(self, word: TypedWord, number: int, is_last: bool) -> tuple[str, ...]:
        """`.a2`: a terminal of the part in the same place of the line above, or else of that in the other place."""
        self._needs_above(word)
        pin = word.text[1:]
        if number and not is_last:
            raise word.unclear("Which part? Between the first and the last end, its name is needed.")
        places = (self.above.last, self.above.first) if number else (self.above.first, self.above.last)
        for ends in places:
            split = {end: self.names.owner_and_pin(end) for end in ends}
            unknown = next((end for end, (owner, its_pin) in split.items() if its_pin and not owner), "")
            if unknown:
                raise word.unclear(f"Nobody declared {unknown}, which stands above: which part is meant here?")
            owners = dict.fromkeys(owner for owner, _ in split.values() if owner)
            if len(owners) > 1:
                choices = tuple(f"{owner}.{pin}" for owner in owners)
                raise word.unclear("Which part? There are several in the line above.", choices)
            for owner in owners:
                if pin == "+" and self.names.is_connector(owner):
                    return (self._next_cavity(word, owner),)
                return self.names.at(owner, pin)
        raise word.unclear("No end of the line above has a terminal: which part is meant?")

    def _noted(self, end: str) -> str:
        owner, pin = self.names.owner_and_pin(end)
        if owner and self.names.is_connector(owner):
            self.cavities[owner] = pin
        return end

    def _needs_above(self, word: TypedWord) -> None:
        if not self.above.whole:
            raise word.unclear("The line above is not clear yet.")

    # ---- what follows ----

    def _behind(self, at: int) -> str:
        """The words behind the wires as they were typed, options in full."""
        text = ""
        for number in range(at, len(self.words)):
            word = self.words[number]
            before = self.words[number - 1].text
            two_before = self.words[number - 2].text
            is_option = before == "if" or (before == "not" and two_before == "if")
            text += f" {self._option(word) if is_option and word.text != 'not' else word.text}"
        return text

    def _option(self, word: TypedWord) -> str:
        if word.start in self.settled:
            return self.settled[word.start]
        options = self.names.options
        if word.text in options:
            return word.text
        found = options.having_tail_in_any_case(word.text)
        if len(found) != 1:
            headline = _which(word, found) if found else f"No equipment option is called {word.text}."
            raise word.unclear(headline, found)
        return found[0]


_IN_ORDER = ("colour", "size", "named", "code", "length")


def _which(word: TypedWord, choices: tuple[str, ...]) -> str:
    return f"{word.text} may be {' or '.join(choices) if len(choices) < 4 else 'one of several'}: which?"
