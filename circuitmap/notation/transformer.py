"""From the tree of one statement to its value, every word with its place."""

import re
from collections.abc import Callable, Iterator
from typing import Any, Literal

from lark import Token, Tree

from circuitmap.notation.rows import names_in_row
from circuitmap.notation.statements import (
    BatteryStatement,
    BoxStatement,
    Clauses,
    ClosesClause,
    ColoursStatement,
    Condition,
    End,
    FeedsStatement,
    FuseItem,
    FuseStatement,
    GatewayStatement,
    JointItem,
    JointStatement,
    LoadStatement,
    Measure,
    MemberItem,
    NamingStatement,
    NetworkStatement,
    OptionStatement,
    OutputStatement,
    PlatformStatement,
    RelayStatement,
    SheetStatement,
    StarStatement,
    StatedStatement,
    Statement,
    Step,
    SwitchStatement,
    TwoTerminalItem,
    TwoTerminalStatement,
    WireLook,
    WireStatement,
    Word,
)
from circuitmap.problems import Problem, Related, Severity
from circuitmap.quantities import Band, QuantityError, cross_section_of_gauge, read_band
from circuitmap.source import SourceFile, Span

Node = Tree[Token] | Token
_ESCAPE = re.compile(r'\\(["\\])')


class StatementMaker:
    """Makes statements of one file; what is wrong with their words is added to `problems`."""

    def __init__(self, source: SourceFile, problems: list[Problem]) -> None:
        self.source = source
        self.problems = problems

    def statement(self, tree: Tree[Token], start: int, end: int) -> Statement:
        """The statement that stands from `start` to `end` and was parsed to `tree`."""
        make: Callable[[list[Any], Span], Statement] = getattr(self, f"_{tree.data}")
        return make(tree.children, Span(self.source, start, end))

    # Words and quantities

    def _word(self, token: Token) -> Word:
        assert token.start_pos is not None and token.end_pos is not None
        return Word(str(token), Span(self.source, token.start_pos, token.end_pos))

    def _text(self, token: Token) -> Word:
        assert token.start_pos is not None and token.end_pos is not None
        text = token[1:-1]
        if "\\" in text:
            text = _ESCAPE.sub(r"\1", text)
        return Word(str(text), Span(self.source, token.start_pos, token.end_pos))

    def _words(self, nodes: list[Any]) -> tuple[Word, ...]:
        return tuple(self._word(node) for node in nodes)

    def _measure(self, token: Token, measures: str) -> Measure | None:
        word = self._word(token)
        try:
            band = read_band(word.text, measures)
        except QuantityError as error:
            self._bad_quantity(word, error)
            return None
        return Measure(band, word.text, word.span)

    def _bad_quantity(self, word: Word, error: QuantityError) -> None:
        headline = str(error)
        self.problems.append(
            Problem("bad-quantity", Severity.ERROR, f"{headline[0].upper()}{headline[1:]}.", word.span)
        )

    def _size(self, token: Token) -> Measure | None:
        """A cross-section in square millimetres, also when written as a wire gauge."""
        if not token.lower().endswith("awg"):
            return self._measure(token, "cross-section")
        gauge = self._measure(token, "gauge")
        if gauge is None:
            return None
        area = cross_section_of_gauge(gauge.band.low)
        return Measure(Band(area, area), gauge.written, gauge.span)

    def _said_twice(self, what: str, first: Span, again: Span) -> None:
        self.problems.append(
            Problem(
                "said-twice", Severity.ERROR, f"This statement says {what} twice.", again,
                related=(Related(first, "said first here"),),
            )  # fmt: skip
        )

    def _span_of(self, node: Node) -> Span:
        tokens = [node] if isinstance(node, Token) else list(node.scan_values(lambda v: isinstance(v, Token)))
        start, end = tokens[0].start_pos, tokens[-1].end_pos
        assert start is not None and end is not None
        return Span(self.source, start, end)

    def _once(self, nodes: list[Any]) -> dict[str, Tree[Token]]:
        """Subtrees by their rule; one that comes a second time is a problem, the first one counts."""
        found: dict[str, Tree[Token]] = {}
        for node in nodes:
            if isinstance(node, Token):
                continue
            rule = str(node.data)
            if rule in found:
                if rule not in _MAY_REPEAT:
                    self._said_twice(_CALLED.get(rule, f"`{rule}`"), self._span_of(found[rule]), self._span_of(node))
                continue
            found[rule] = node
        return found

    def _clauses(self, nodes: list[Any]) -> Clauses:
        if not nodes:
            return _NO_CLAUSES
        parts: dict[str, Any] = {}
        conditions: list[Condition] = []
        for node in nodes:
            if isinstance(node, Token):
                continue
            rule = str(node.data)
            if rule == "condition":
                option = self._word(node.children[-1])
                conditions.append(Condition(option, len(node.children) == 1))
            elif rule == "reach":
                parts.setdefault("reach", self._measure(node.children[0], "time"))
            elif rule in _TEXT_CLAUSES:
                parts.setdefault(_TEXT_CLAUSES[rule], self._text(node.children[0]))
        return Clauses(**parts, conditions=tuple(conditions)) if parts or conditions else _NO_CLAUSES

    def _named_rows(self, tree: Tree[Token]) -> tuple[Word, ...]:
        """The names of a list, rows written out."""
        names: list[Word] = []
        for item in tree.children:
            assert isinstance(item, Tree)
            words = self._words(item.children)
            if len(words) == 1:
                names.append(words[0])
                continue
            row, problem = names_in_row(words[0], words[1])
            names.extend(row)
            if problem:
                self.problems.append(problem)
        return tuple(names)

    def _in_subtree(self, once: dict[str, Tree[Token]], rule: str, measures: str) -> Measure | None:
        tree = once.get(rule)
        return self._measure(_token(tree.children[0]), measures) if tree else None

    # The vehicle

    def _platform(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        years, returns = once.get("years"), once.get("returns")
        return PlatformStatement(
            span=span,
            name=self._text(nodes[0]),
            years=self._word(_token(years.children[0])) if years else None,
            supply=self._in_subtree(once, "supply", "voltage"),
            returns=self._kind(returns.children[0]) if returns else None,
            sleep=self._in_subtree(once, "sleep", "time"),
            limit=self._in_subtree(once, "limit", "current"),
        )

    def _option(self, nodes: list[Any], span: Span) -> Statement:
        self._once(nodes)
        return OptionStatement(span=span, name=self._word(nodes[0]), clauses=self._clauses(nodes[1:]))

    def _naming(self, nodes: list[Any], span: Span) -> Statement:
        return NamingStatement(
            span=span,
            patterns=tuple((self._word(n.children[0]), self._kind(n.children[1])) for n in nodes),
        )

    def _colours(self, nodes: list[Any], span: Span) -> Statement:
        return ColoursStatement(
            span=span,
            letters=tuple((self._word(n.children[0]), self._word(n.children[1])) for n in nodes),
        )

    def _kind(self, node: Any) -> Word:
        """The keyword of a rule that is nothing but alternatives of keywords."""
        return self._word(node.children[0])

    # Batteries, boxes, switches, relays

    def _battery(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if isinstance(n, Tree) and n.data != "amount"])
        capacity: Measure | None = None
        volts: Measure | None = None
        series = False
        for node in nodes[1:]:
            if node.data == "series":
                series = True
            elif node.data == "amount":
                token = node.children[0]
                if token.endswith("V"):
                    said, volts = volts, self._measure(token, "voltage")
                else:
                    said, capacity = capacity, self._measure(token, "charge")
                if said:
                    self._said_twice("a voltage" if token.endswith("V") else "a capacity", said.span,
                                     self._span_of(node))  # fmt: skip
        return BatteryStatement(
            span=span, name=self._word(nodes[0]), capacity=capacity, volts=volts, series=series,
            clauses=self._clauses(nodes[1:]),
        )  # fmt: skip

    def _box(self, nodes: list[Any], span: Span) -> Statement:
        self._once(nodes)
        return BoxStatement(span=span, name=self._word(nodes[0]), clauses=self._clauses(nodes[1:]))

    def _key(self, nodes: list[Any], span: Span) -> Statement:
        return self._switch(nodes, span, is_key=True)

    def _switch(self, nodes: list[Any], span: Span, is_key: bool = False) -> Statement:
        once = self._once(nodes)
        by, positions = once.get("by"), once.get("positions")
        return SwitchStatement(
            span=span,
            name=self._word(nodes[0]),
            is_key=is_key,
            by=self._word(_token(by.children[0])) if by else None,
            positions=self._words(positions.children) if positions else (),
            closes=tuple(
                ClosesClause(self._word(n.children[0]), self._word(n.children[1]), self._words(n.children[2:]))
                for n in _trees(nodes, "closes")
            ),
            clauses=self._clauses(nodes[1:]),
        )

    def _relay(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        coil = once.get("coil")
        contacts: list[tuple[Word, Word, Word | None]] = []
        for node in _trees(nodes, "contact"):
            pins = self._words(node.children)
            contacts.append((pins[0], pins[1], pins[2] if len(pins) > 2 else None))
        return RelayStatement(
            span=span,
            name=self._word(nodes[0]),
            form=self._kind(once["relay_form"]),
            coil=(self._word(_token(coil.children[0])), self._word(_token(coil.children[1]))) if coil else None,
            contacts=tuple(contacts),
            clauses=self._described(nodes[1:]),
        )

    def _described(self, nodes: list[Any]) -> Clauses:
        """Clauses of a statement whose description stands right behind its name."""
        clauses = self._clauses(nodes)
        strings = [n for n in nodes if isinstance(n, Token) and n.type == "STRING"]
        return clauses._replace(description=self._text(strings[0])) if strings else clauses

    # Fuses and what only joins

    def _fuses(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if n.data != "fuse"])
        return FuseStatement(
            span=span,
            kind=self._kind(nodes[0]),
            fuses=tuple(self._fuse_item(n.children) for n in _trees(nodes, "fuse")),
            clauses=self._clauses(nodes[1:]),
        )

    def _fuse_item(self, nodes: list[Any]) -> FuseItem:
        said: dict[str, Any] = {}
        for node in nodes[1:]:
            what = node.type if isinstance(node, Token) else str(node.data)
            if what in said:
                self._said_twice(_CALLED.get(what, f"`{what}`"), self._span_of(said[what]), self._span_of(node))
            else:
                said[what] = node
        return FuseItem(
            name=self._word(nodes[0]),
            rating=self._measure(said["QUANTITY"], "current") if "QUANTITY" in said else None,
            style=self._kind(said["style"]) if "style" in said else None,
            empty="empty" in said,
            description=self._text(said["STRING"]) if "STRING" in said else None,
        )

    def _two_terminal(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if n.data != "two_terminal_item"])
        items: list[TwoTerminalItem] = []
        for item in _trees(nodes, "two_terminal_item"):
            by_type = {n.type: n for n in item.children if isinstance(n, Token)}
            items.append(
                TwoTerminalItem(
                    name=self._word(by_type["NAME"]),
                    ohms=self._measure(by_type["QUANTITY"], "resistance") if "QUANTITY" in by_type else None,
                    description=self._text(by_type["STRING"]) if "STRING" in by_type else None,
                )
            )
        return TwoTerminalStatement(
            span=span, kind=self._kind(nodes[0]), items=tuple(items), clauses=self._clauses(nodes[1:])
        )

    def _joint(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once([n for n in nodes if n.data != "joint_item"])
        return JointStatement(
            span=span,
            kind=self._kind(nodes[0]),
            items=tuple(
                JointItem(self._word(n.children[0]), self._text(n.children[1]) if len(n.children) > 1 else None)
                for n in _trees(nodes, "joint_item")
            ),
            wired="wired" in once,
            clauses=self._clauses(nodes[1:]),
        )

    def _bar(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        fed = self._named_rows(once["names"]) if "names" in once else ()
        return FeedsStatement(
            span=span, name=self._word(nodes[0]), is_bar=True, fed=fed, clauses=self._described(nodes[1:])
        )

    def _feeds(self, nodes: list[Any], span: Span) -> Statement:
        self._once(nodes)
        return FeedsStatement(
            span=span, name=self._word(nodes[0]), is_bar=False, fed=self._named_rows(nodes[1]),
            clauses=self._clauses(nodes[2:]),
        )  # fmt: skip

    def _stated(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if n.data != "names"])
        lists = [self._named_rows(n) for n in _trees(nodes, "names")]
        return StatedStatement(
            span=span, names=lists[0], positions=lists[1] if len(lists) > 1 else (),
            clauses=self._clauses(nodes[1:]),
        )  # fmt: skip

    # Loads, outputs, networks

    def _load(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        return LoadStatement(
            span=span,
            kind=self._kind(nodes[0]),
            name=self._word(nodes[1]),
            roles=tuple((self._kind(n.children[0]), self._words(n.children[1:])) for n in _trees(nodes, "role")),
            asleep=self._in_subtree(once, "asleep", "current"),
            awake=self._in_subtree(once, "awake", "current"),
            running=self._in_subtree(once, "running", "current"),
            run_on=self._in_subtree(once, "run_on", "time"),
            clauses=self._clauses(nodes[2:]),
        )

    def _output(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        source = once.get("output_source")
        positions: tuple[Word, ...] = ()
        when = "request"
        if "output_when" in once:
            said = _tree(once["output_when"].children[0])
            when = {"while_awake": "awake", "in_positions": "in", "always": "always"}[str(said.data)]
            positions = self._words(said.children)
        return OutputStatement(
            span=span,
            pins=self._words([n for n in nodes if isinstance(n, Token)]),
            action=self._kind(once["action"]),
            source=self._word(_token(source.children[0])) if source else None,
            when=when,
            positions=positions,
            clauses=self._clauses(nodes),
        )

    def _network(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if isinstance(n, Tree) and n.data != "member"])
        return NetworkStatement(
            span=span,
            name=self._word(nodes[0]),
            kind=self._kind(nodes[1]),
            members=tuple(
                MemberItem(self._word(n.children[0]), self._words(n.children[1:])) for n in _trees(nodes, "member")
            ),
            clauses=self._described(nodes[1:]),
        )

    def _star(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if isinstance(n, Tree) and n.data != "leg"])
        return StarStatement(
            span=span,
            name=self._word(nodes[0]),
            network=self._word(nodes[1]),
            legs=tuple(self._words(n.children) for n in _trees(nodes, "leg")),
            clauses=self._clauses(nodes[2:]),
        )

    def _gateway(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        passes = _trees(once["passes"].children, "passage") if "passes" in once else []
        pairs = tuple((self._word(n.children[0]), self._word(n.children[1])) for n in passes)
        return GatewayStatement(
            span=span,
            name=self._word(nodes[0]),
            joins=self._words([n for n in nodes[1:] if isinstance(n, Token)]),
            passes=pairs,
            passes_nothing="passes" in once and not pairs,
            clauses=self._clauses(nodes),
        )

    # Sheets and wires

    def _sheet(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        texts = [n for n in nodes if isinstance(n, Token)]
        return SheetStatement(
            span=span,
            name=self._text(texts[0]),
            title=self._text(texts[1]) if len(texts) > 1 else None,
            whole="whole" in once,
            clauses=self._clauses(nodes),
        )

    def _wires(self, nodes: list[Any], span: Span) -> Statement:
        steps: list[Step] = []
        look = _NO_LOOK
        clauses: list[Any] = []
        last = len(nodes) - 1
        for number, node in enumerate(nodes[1:], 1):
            rule = node.data
            if rule == "step":
                arrow, ends = node.children
                steps.append(Step(self._look(arrow.children[0]) if arrow.children else None, self._ends(ends)))
                if len(ends.children) > 1 and number < last and nodes[number + 1].data == "step":
                    self._several_in_the_middle(ends)
            elif rule == "look":
                look = self._look(node)
            else:
                clauses.append(node)
        if clauses:
            self._once(clauses)
        return WireStatement(
            span=span, first=self._ends(nodes[0]), steps=tuple(steps), look=look, clauses=self._clauses(clauses)
        )

    def _several_in_the_middle(self, ends: Tree[Token]) -> None:
        self.problems.append(
            Problem(
                "several-ends", Severity.ERROR, "A wire that goes on from here has several ends.",
                self._span_of(ends), expected="one name between two arrows; several only at the last",
                advice="Write one line for each wire.",
            )  # fmt: skip
        )

    def _ends(self, tree: Tree[Token]) -> tuple[End, ...]:
        ends: list[End] = []
        for end in tree.children:
            first, *remark = _tree(end).children
            if isinstance(first, Token):
                ends.append(End(self._word(first)))
            else:
                ends.append(End(self._kind(first), self._text(_token(remark[0])) if remark else None))
        return tuple(ends)

    def _look(self, tree: Tree[Token]) -> WireLook:
        colour: Word | None = None
        parts: dict[str, Any] = {}
        for node in tree.children:
            if isinstance(node, Token):
                if colour:
                    self._said_twice("a colour", colour.span, self._span_of(node))
                else:
                    colour = self._word(node)
                continue
            rule = str(node.data)
            token = _token(node.children[0])
            if rule in parts:
                self._said_twice(_CALLED[rule], self._span_of(parts[rule][0]), self._span_of(token))
                continue
            value = self._size(token) if rule == "size" else self._text(token) if rule == "code" else self._word(token)
            parts[rule] = (token, value)
        return WireLook(
            colour=colour,
            size=parts["size"][1] if "size" in parts else None,
            name=parts["named"][1] if "named" in parts else None,
            code=parts["code"][1] if "code" in parts else None,
        )


_NO_CLAUSES = Clauses()
_NO_LOOK = WireLook()
_TEXT_CLAUSES: dict[str, Literal["description", "place", "part_number", "copied"]] = {
    "description": "description",
    "place": "place",
    "number": "part_number",
    "copied": "copied",
}
_MAY_REPEAT = frozenset(
    ("condition", "closes", "contact", "role", "fuse", "joint_item", "two_terminal_item", "member", "leg", "names")
)
_CALLED = {
    "QUANTITY": "a rating",
    "STRING": "a description",
    "style": "a style",
    "size": "a size",
    "named": "a name",
    "code": "a circuit code",
    "description": "a description",
    "place": "`at`",
    "run_on": "`run-on`",
    "returns": "`return`",
}


def _token(node: Any) -> Token:
    assert isinstance(node, Token)
    return node


def _tree(node: Any) -> Tree[Token]:
    assert isinstance(node, Tree)
    return node


def _trees(nodes: list[Any], rule: str) -> Iterator[Any]:
    return (node for node in nodes if isinstance(node, Tree) and node.data == rule)
