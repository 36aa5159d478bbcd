"""From the tree of one statement to its value."""

from collections.abc import Callable
from typing import Any

from circuitmap.notation.names import is_quantity
from circuitmap.notation.parser import Node, Token
from circuitmap.notation.statements import (
    NO_LOOK,
    BatteryStatement,
    BoxStatement,
    ChainStep,
    Clauses,
    ClosesClause,
    ColoursStatement,
    End,
    FeedsStatement,
    FuseItem,
    FuseStatement,
    GatewayStatement,
    JointItem,
    JointStatement,
    LoadStatement,
    Measure,
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
    SwitchStatement,
    TwoTerminalItem,
    TwoTerminalStatement,
    WireLook,
    WireStatement,
    Word,
)
from circuitmap.notation.words import WordMaker, node_of, nodes_of, token_of
from circuitmap.source import Span

_WHEN = {"while_awake": "awake", "while_live": "live", "in_positions": "in", "always": "always"}


class StatementMaker(WordMaker):
    """Makes statements of one file; what is wrong with their words is added to `problems`."""

    def statement(self, tree: Node, start: int, end: int) -> Statement:
        """The statement that stands from `start` to `end` and was parsed into `tree`."""
        make: Callable[[list[Any], Span], Statement] = getattr(self, f"_{tree.rule}")
        return make(tree.children, Span(self.source, start, end))

    # The vehicle

    def _platform(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        years, returns = once.get("years"), once.get("returns")
        return PlatformStatement(
            span=span,
            name=self._text(nodes[0]),
            years=self._word(token_of(years.children[0])) if years else None,
            supply=self._in_subtree(once, "supply", "voltage"),
            returns=self._kind(returns.children[0]) if returns else None,
            sleep=self._in_subtree(once, "sleep", "time"),
            limit=self._in_subtree(once, "limit", "current"),
        )

    def _option(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        others = self._words(once["instead"].children) if "instead" in once else ()
        return OptionStatement(span=span, name=self._name(nodes[0]), others=others, clauses=self._clauses(nodes[1:]))

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

    # Batteries, boxes, switches, relays

    def _battery(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if isinstance(n, Node) and n.rule != "amount"])
        capacity: Measure | None = None
        volts: Measure | None = None
        series = False
        for node in nodes[1:]:
            if node.rule == "series":
                series = True
            elif node.rule == "amount":
                token = node.children[0]
                if token.text.endswith("V"):
                    said, volts = volts, self._measure(token, "voltage")
                else:
                    said, capacity = capacity, self._measure(token, "charge")
                if said:
                    self._said_twice(
                        "volts" if token.text.endswith("V") else "capacity", said.span, self._span_of(node)
                    )
        return BatteryStatement(
            span=span, name=self._name(nodes[0]), capacity=capacity, volts=volts, series=series,
            clauses=self._clauses(nodes[1:]),
        )  # fmt: skip

    def _box(self, nodes: list[Any], span: Span) -> Statement:
        up = self._once([n for n in nodes if isinstance(n, Node) and n.rule != "row"]).get("up")
        rows = tuple(self._named_rows(n.children[0]) for n in nodes_of(nodes, "row"))
        upper = self._text(token_of(up.children[0])) if up else None
        return BoxStatement(span, self._name(nodes[0]), rows, upper, self._clauses(nodes[1:]))

    def _key(self, nodes: list[Any], span: Span) -> Statement:
        return self._switch(nodes, span, is_key=True)

    def _switch(self, nodes: list[Any], span: Span, is_key: bool = False) -> Statement:
        once = self._once(nodes)
        by, positions, inside = once.get("by"), once.get("positions"), once.get("inside")
        return SwitchStatement(
            span=span,
            name=self._name(nodes[0]),
            is_key=is_key,
            by=self._word(token_of(by.children[0])) if by else None,
            positions=self._words(positions.children) if positions else (),
            closes=tuple(
                ClosesClause(self._word(n.children[0]), self._word(n.children[1]), self._words(n.children[2:]))
                for n in nodes_of(nodes, "closes")
            ),
            inside=self._word(token_of(inside.children[0])) if inside else None,
            clauses=self._clauses(nodes[1:]),
        )

    def _relay(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        across = once.get("across")
        kind, *ohms = across.children if across else [None]
        contacts: list[tuple[Word, Word, Word | None]] = []
        for node in nodes_of(nodes, "contact"):
            pins = self._words(node.children)
            contacts.append((pins[0], pins[1], pins[2] if len(pins) > 2 else None))
        return RelayStatement(
            span=span,
            name=self._name(nodes[0]),
            form=self._kind(once["relay_form"]),
            coil=self._pair(once, "coil"),
            contacts=tuple(contacts),
            reset=self._pair(once, "reset"),
            holds=self._in_subtree(once, "holds", "time"),
            across=self._kind(kind) if kind is not None else None,
            ohms=self._measure(token_of(ohms[0]), "resistance") if ohms else None,
            takes=self._in_subtree(once, "takes", "current"),
            clauses=self._described(nodes[1:]),
        )

    def _described(self, nodes: list[Any]) -> Clauses:
        """Clauses of a statement whose description stands right after its name."""
        clauses = self._clauses(nodes)
        strings = [n for n in nodes if isinstance(n, Token) and n.symbol == "STRING"]
        return clauses._replace(description=self._text(strings[0])) if strings else clauses

    # Fuses and what only joins

    def _fuses(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if n.rule != "fuse"])
        items = [self._fuse_item(n.children) for n in nodes_of(nodes, "fuse")]
        return FuseStatement(
            span=span,
            kind=self._kind(nodes[0]),
            # A quantity in the place of a name (`7,5A`) has been reported and is no fuse.
            fuses=tuple(item for item in items if not is_quantity(item.name.text)),
            clauses=self._clauses(nodes[1:]),
        )

    def _fuse_item(self, nodes: list[Any]) -> FuseItem:
        said: dict[str, Any] = {}
        for node in nodes[1:]:
            what = node.symbol if isinstance(node, Token) else node.rule
            if what in said:
                self._said_twice(what, self._span_of(said[what]), self._span_of(node))
            else:
                said[what] = node
        return FuseItem(
            name=self._name(nodes[0]),
            rating=self._measure(said["QUANTITY"], "current") if "QUANTITY" in said else None,
            style=self._kind(said["style"]) if "style" in said else None,
            empty="empty" in said,
            description=self._text(said["STRING"]) if "STRING" in said else None,
        )

    def _two_terminal(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if n.rule != "two_terminal_item"])
        items = []
        for item in nodes_of(nodes, "two_terminal_item"):
            by_type = {n.symbol: n for n in item.children if isinstance(n, Token)}
            ohms = self._measure(by_type["QUANTITY"], "resistance") if "QUANTITY" in by_type else None
            said = self._text(by_type["STRING"]) if "STRING" in by_type else None
            items.append(TwoTerminalItem(name=self._name(by_type["NAME"]), ohms=ohms, description=said))
        return TwoTerminalStatement(
            span=span, kind=self._kind(nodes[0]), items=tuple(items), clauses=self._clauses(nodes[1:])
        )

    def _joint(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once([n for n in nodes if n.rule != "joint_item"])
        return JointStatement(
            span=span,
            kind=self._kind(nodes[0]),
            items=tuple(
                JointItem(self._name(n.children[0]), self._text(n.children[1]) if len(n.children) > 1 else None)
                for n in nodes_of(nodes, "joint_item")
            ),
            wired="wired" in once,
            cavities=self._word(token_of(once["cavities"].children[0])) if "cavities" in once else None,
            clauses=self._clauses(nodes[1:]),
        )

    def _bar(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        fed = self._named_rows(once["names"]) if "names" in once else ()
        return FeedsStatement(
            span=span, name=self._name(nodes[0]), is_bar=True, fed=fed, clauses=self._described(nodes[1:])
        )

    def _feeds(self, nodes: list[Any], span: Span) -> Statement:
        self._once(nodes)
        return FeedsStatement(
            span=span, name=self._name(nodes[0]), is_bar=False, fed=self._named_rows(nodes[1]),
            clauses=self._clauses(nodes[2:]),
        )  # fmt: skip

    def _stated(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if n.rule != "names"])
        lists = [self._named_rows(n) for n in nodes_of(nodes, "names")]
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
            name=self._name(nodes[1]),
            roles=tuple(map(self._role, nodes_of(nodes, "role"))),
            needs=self._words(once["needs"].children) if "needs" in once else (),
            asleep=self._drawn(once, "asleep"),
            awake=self._drawn(once, "awake"),
            running=self._drawn(once, "running"),
            law=self._kind(once["law"]) if "law" in once else None,
            run_on=self._in_subtree(once, "run_on", "time"),
            wakes=self._wakes(once.get("wakes")),
            joined=tuple(map(self._joined, nodes_of(nodes, "joins"))),
            clauses=self._clauses(nodes[2:]),
        )

    def _output(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        source = once.get("output_source")
        said = node_of(once["output_when"].children[0]) if "output_when" in once else None
        inputs = list(nodes_of(said.children, "input")) if said is not None else []
        return OutputStatement(
            span=span,
            pins=self._names([n for n in nodes if isinstance(n, Token)]),
            action=self._kind(once["action"]),
            source=self._word(token_of(source.children[0])) if source else None,
            when=_WHEN[said.rule] if said is not None else "request",
            positions=self._words(said.children) if said is not None and not inputs else (),
            inputs=tuple(self._word(token_of(n.children[-1])) for n in inputs if len(n.children) == 1),
            without=tuple(self._word(token_of(n.children[-1])) for n in inputs if len(n.children) > 1),
            volts=self._in_subtree(once, "own_voltage", "voltage"),
            lasts=self._lasting(once.get("lasts")),
            clauses=self._clauses(nodes),
        )

    def _network(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once([n for n in nodes if isinstance(n, Node) and n.rule != "member"])
        return NetworkStatement(
            span=span,
            name=self._name(nodes[0]),
            kind=self._kind(nodes[1]),
            members=tuple(map(self._member, nodes_of(nodes, "member"))),
            run_on=self._in_subtree(once, "run_on", "time"),
            wakes=self._wakes(once.get("wakes")),
            clauses=self._described(nodes[1:]),
        )

    def _star(self, nodes: list[Any], span: Span) -> Statement:
        self._once([n for n in nodes if isinstance(n, Node) and n.rule != "leg"])
        return StarStatement(
            span=span,
            name=self._name(nodes[0]),
            network=self._name(nodes[1]),
            legs=tuple(self._names(n.children) for n in nodes_of(nodes, "leg")),
            clauses=self._clauses(nodes[2:]),
        )

    def _gateway(self, nodes: list[Any], span: Span) -> Statement:
        once = self._once(nodes)
        passes = nodes_of(once["passes"].children, "passage") if "passes" in once else []
        pairs = tuple((self._word(n.children[0]), self._word(n.children[1])) for n in passes)
        return GatewayStatement(
            span=span,
            name=self._name(nodes[0]),
            joins=self._names([n for n in nodes[1:] if isinstance(n, Token)]),
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
        steps: list[ChainStep] = []
        looks: list[WireLook | None] = []
        clauses: list[Any] = []
        last = len(nodes) - 1
        for number, node in enumerate(nodes[1:], 1):
            rule = node.rule
            if rule == "step":
                ends, *look = node.children
                steps.append(ChainStep(self._ends(ends)))
                looks.append(self._look(look[0]) if look else None)
                if len(ends.children) > 1 and number < last and nodes[number + 1].rule == "step":
                    self._several_in_the_middle(ends)
            else:
                clauses.append(node)
        if clauses:
            self._once(clauses)
        for_the_others = next((look for look in reversed(looks) if look is not None), NO_LOOK)
        return WireStatement(
            span=span,
            first=self._ends(nodes[0]),
            steps=tuple(ChainStep(step.ends, look or for_the_others) for step, look in zip(steps, looks, strict=True)),
            clauses=self._clauses(clauses),
        )

    def _several_in_the_middle(self, ends: Node) -> None:
        self._report(
            "several-ends",
            "A wire that goes on from here has several ends.",
            self._span_of(ends),
            expected="one name between two arrows; several only at the last",
            advice="Write one line for each wire.",
        )

    def _ends(self, tree: Node) -> tuple[End, ...]:
        ends: list[End] = []
        for end in tree.children:
            first, *remark = node_of(end).children
            if isinstance(first, Token):
                ends.append(End(self._name(first)))
            else:
                ends.append(End(self._kind(first), self._text(token_of(remark[0])) if remark else None))
        return tuple(ends)

    def _look(self, tree: Node) -> WireLook:
        colour: Word | None = None
        parts: dict[str, Any] = {}
        for node in tree.children:
            if isinstance(node, Token):
                if colour:
                    self._said_twice("colour", colour.span, self._span_of(node))
                else:
                    colour = self._word(node)
                continue
            rule = node.rule
            if rule == "not_printed":
                return NO_LOOK
            token = token_of(node.children[0])
            if rule in parts:
                self._said_twice(rule, self._span_of(parts[rule][0]), self._span_of(token))
                continue
            parts[rule] = (token, self._look_value(rule, token))
        return WireLook(
            colour=colour,
            size=parts["size"][1] if "size" in parts else None,
            name=parts["named"][1] if "named" in parts else None,
            code=parts["code"][1] if "code" in parts else None,
            length=parts["length"][1] if "length" in parts else None,
        )
