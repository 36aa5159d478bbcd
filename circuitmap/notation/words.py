"""The words, quantities and clauses of a statement, from the tree that the parser made of it."""

import re
from collections.abc import Iterator
from typing import Any, Literal

from circuitmap.notation.names import complaint_about_name, is_quantity
from circuitmap.notation.parser import Node, Token
from circuitmap.notation.rows import names_in_row
from circuitmap.notation.statements import (
    NO_CLAUSES,
    Clauses,
    Condition,
    DrawnAt,
    Lasting,
    Measure,
    MemberItem,
    RoleSaid,
    WakesSaid,
    Word,
)
from circuitmap.problems import Problem, Related, Severity
from circuitmap.quantities import Band, QuantityError, cross_section_of_gauge, read_band
from circuitmap.source import SourceFile, Span

_DECIMAL_COMMA = re.compile(r"([0-9]+),([0-9]+[A-Za-z]+2?)(?![A-Za-z0-9_.])")
_NUMBER_AND_COMMA = re.compile(r"(?<![A-Za-z0-9_.])[0-9]+,\Z")
_BARE_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?\Z")
_ESCAPE = re.compile(r'\\(["\\])')


class WordMaker:
    """Makes the words of one file, each with its place; what is wrong with them is added to `problems`."""

    def __init__(self, source: SourceFile, problems: list[Problem]) -> None:
        self.source = source
        self.problems = problems
        self._made = 0

    def words_made(self) -> int:
        """How many words were made since this was last asked, counting each name of a row."""
        made, self._made = self._made, 0
        return made

    def _word(self, token: Token) -> Word:
        self._made += 1
        return Word(token.text, Span(self.source, token.start, token.end))

    def _text(self, token: Token) -> Word:
        text = token.text[1:-1]
        if "\\" in text:
            text = _ESCAPE.sub(r"\1", text)
        return Word(text, Span(self.source, token.start, token.end))

    def _words(self, nodes: list[Any]) -> tuple[Word, ...]:
        return tuple(self._word(node) for node in nodes)

    def _name(self, token: Token) -> Word:
        """A word that names a part, a network or an option."""
        word = self._word(token)
        complaint = complaint_about_name(word.text)
        if complaint and not self._is_behind_decimal_comma(word):
            minus = word.text.endswith("-") and word.text != "-"
            more = {"suggestion": f"{word.text[:-1]}.-"} if minus else {"expected": "a name such as CAB.F22"}
            self._report("bad-name", complaint, word.span, **more)
        return word

    def _names(self, nodes: list[Any]) -> tuple[Word, ...]:
        return tuple(self._name(node) for node in nodes)

    def _kind(self, node: Any) -> Word:
        """The keyword of a rule that consists only of alternative keywords."""
        return self._word(node.children[0])

    def _measure(self, token: Token, measures: str) -> Measure | None:
        word = self._word(token)
        try:
            band = read_band(word.text, measures)
        except QuantityError as error:
            self._bad_quantity(word, error)
            return None
        return Measure(band, word.text, word.span)

    def _bad_quantity(self, word: Word, error: QuantityError) -> None:
        comma = _DECIMAL_COMMA.match(self.source.text, word.span.start)
        if comma:
            span = Span(self.source, *comma.span())
            meant = f"{comma[1]}.{comma[2]}"
            self._report("bad-quantity", f"{comma[0]} is written with a comma.", span, suggestion=meant)
        else:
            start = word.text.find(error.written)
            end = start + len(error.written)
            span = Span(self.source, word.span.start + start, word.span.start + end)
            self._report("bad-quantity", str(error), span, expected=error.expected, suggestion=error.suggestion)

    def _is_behind_decimal_comma(self, word: Word) -> bool:
        """Whether this is the `5A` of `7,5A`, which has been reported as a whole."""
        start = word.span.start
        return is_quantity(word.text) and bool(_NUMBER_AND_COMMA.search(self.source.text[max(0, start - 20) : start]))

    def _report(self, code: str, headline: str, span: Span, **more: Any) -> None:
        self.problems.append(Problem(code, Severity.ERROR, headline, span, **more))

    def _size(self, token: Token) -> Measure | None:
        """A cross-section in square millimetres: a bare number is taken as that, and a wire gauge is converted."""
        if _BARE_NUMBER.match(token.text):
            return self._square_millimetres(token)
        if not token.text.lower().endswith("awg"):
            return self._measure(token, "cross-section")
        gauge = self._measure(token, "gauge")
        if gauge is None:
            return None
        area = cross_section_of_gauge(gauge.band.low)
        return Measure(Band(area, area), gauge.written, gauge.span)

    def _look_value(self, rule: str, token: Token) -> Any:
        """What one part of a wire's look says: a size, a length, a code, a name."""
        if rule == "length":
            return self._measure(token, "length")
        return self._size(token) if rule == "size" else self._text(token) if rule == "code" else self._word(token)

    def _square_millimetres(self, token: Token) -> Measure | None:
        word = self._word(token)
        written = f"{word.text}mm2"
        try:
            return Measure(read_band(written, "cross-section"), written, word.span)
        except QuantityError as error:
            self._report("bad-quantity", str(error), word.span, expected=error.expected)
            return None

    def _said_twice(self, rule: str, first: Span, again: Span) -> None:
        what = _CALLED.get(rule, f"`{rule}`")
        related = (Related(first, "said first here"),)
        self._report("said-twice", f"This statement says {what} twice.", again, related=related)

    def _span_of(self, node: Node | Token) -> Span:
        return Span(self.source, node.start, node.end)

    def _once(self, nodes: list[Any]) -> dict[str, Node]:
        """Subtrees by their rule; one that comes a second time is a problem, and the first one counts."""
        found: dict[str, Node] = {}
        for node in nodes:
            if isinstance(node, Token):
                continue
            rule = node.rule
            if rule in found:
                if rule not in _MAY_REPEAT:
                    self._said_twice(rule, self._span_of(found[rule]), self._span_of(node))
                continue
            found[rule] = node
        return found

    def _clauses(self, nodes: list[Any]) -> Clauses:
        if not nodes:
            return NO_CLAUSES
        parts: dict[str, Any] = {}
        conditions: list[Condition] = []
        for node in nodes:
            if isinstance(node, Token):
                continue
            rule = node.rule
            if rule == "condition":
                option = self._word(node.children[-1])
                conditions.append(Condition(option, len(node.children) == 1))
            elif rule == "reach":
                parts.setdefault("reach", self._measure(node.children[0], "time"))
            elif rule == "hands_off":
                parts.setdefault("hands_off", self._kind(node.children[0]))
            elif rule == "care":
                parts.setdefault("care", tuple(self._kind(word) for word in node.children))
            elif rule in _TEXT_CLAUSES:
                parts.setdefault(_TEXT_CLAUSES[rule], self._text(node.children[0]))
        return Clauses(**parts, conditions=tuple(conditions)) if parts or conditions else NO_CLAUSES

    def _named_rows(self, tree: Node) -> tuple[Word, ...]:
        """The names of a list, with rows written out."""
        names: list[Word] = []
        for item in tree.children:
            assert isinstance(item, Node)
            words = self._names(item.children)
            if len(words) == 1:
                names.append(words[0])
                continue
            row, problem = names_in_row(words[0], words[1])
            names.extend(row)
            self._made += len(row)
            if problem:
                self.problems.append(problem)
        return tuple(names)

    def _pair(self, once: dict[str, Node], rule: str) -> tuple[Word, Word] | None:
        """`coil 86 to 85`."""
        if rule not in once:
            return None
        one, other = once[rule].children
        return self._word(token_of(one)), self._word(token_of(other))

    def _drawn(self, once: dict[str, Node], rule: str) -> tuple[DrawnAt, ...]:
        found = []
        for node in once[rule].children if rule in once else ():
            amount, *pin = node_of(node).children
            token = token_of(amount)
            measure = self._measure(token, "power" if token.text.endswith("W") else "current")
            if measure is not None:
                found.append(DrawnAt(measure, self._word(token_of(pin[0])) if pin else None))
        return tuple(found)

    def _role(self, node: Node) -> RoleSaid:
        kind, *rest = node.children
        said = {its.rule: its for its in rest if isinstance(its, Node)}
        by = self._kind(node_of(said["wakes_by"].children[0])) if "wakes_by" in said else None
        pins = [its for its in rest if isinstance(its, Token)]
        return RoleSaid(self._kind(kind), self._words(pins), by, self._lasting(said.get("lasts")))

    def _lasting(self, node: Node | None) -> Lasting | None:
        if node is None:
            return None
        its = node.children[0]
        return Lasting(self._span_of(node), self._measure(its, "time") if isinstance(its, Token) else None)

    def _joined(self, node: Node) -> tuple[Word, Word]:
        one, other = (self._word(token_of(its)) for its in node.children)
        return one, other

    def _wakes(self, node: Node | None) -> WakesSaid | None:
        if node is None:
            return None
        every, lasts = (self._measure(token_of(its), "time") for its in node.children)
        return WakesSaid(every, lasts) if every is not None and lasts is not None else None

    def _member(self, node: Node) -> MemberItem:
        name, *rest = node.children
        waking = self._kind(rest.pop()) if rest and isinstance(rest[-1], Node) else None
        return MemberItem(self._name(token_of(name)), self._words(rest), waking)

    def _in_subtree(self, once: dict[str, Node], rule: str, measures: str) -> Measure | None:
        tree = once.get(rule)
        return self._measure(token_of(tree.children[0]), measures) if tree else None


_TEXT_CLAUSES: dict[str, Literal["description", "place", "part_number", "copied"]] = {
    "description": "description",
    "place": "place",
    "number": "part_number",
    "copied": "copied",
}
_MAY_REPEAT = frozenset(
    (
        "condition",
        "closes",
        "contact",
        "role",
        "fuse",
        "joint_item",
        "two_terminal_item",
        "member",
        "leg",
        "names",
        "joins",
    )
)
_CALLED = {
    "QUANTITY": "a rating",
    "STRING": "a description",
    "style": "a style",
    "capacity": "a capacity",
    "volts": "a voltage",
    "colour": "a colour",
    "size": "a size",
    "named": "a name",
    "code": "a circuit code",
    "length": "a length",
    "description": "a description",
    "place": "`at`",
    "run_on": "`run-on`",
    "law": "`regulated` or `led`",
    "wakes": "`wakes`",
    "takes": "`running`",
    "returns": "`return`",
    "hands_off": "`hands-off`",
}


def token_of(node: Any) -> Token:
    assert isinstance(node, Token)
    return node


def node_of(node: Any) -> Node:
    assert isinstance(node, Node)
    return node


def nodes_of(nodes: list[Any], rule: str) -> Iterator[Any]:
    return (node for node in nodes if isinstance(node, Node) and node.rule == rule)
