"""Whatever was typed, a platform comes out: statements in any combination, names that mean anything or nothing."""

from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.notation.statements import (
    BatteryStatement,
    BoxStatement,
    ChainStep,
    Clauses,
    ClosesClause,
    ColoursStatement,
    Condition,
    DrawnAt,
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
    Notation,
    OptionStatement,
    OutputStatement,
    PlatformStatement,
    RelayStatement,
    RoleSaid,
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
from circuitmap.problems import in_order
from circuitmap.quantities import Band
from circuitmap.source import SourceFile, Span
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import LOAD_KINDS

SOURCE = SourceFile("1.circuit", "one line\n" * 400)
NAMES = (
    "A", "B", "A.1", "A.2", "B.1.2", "CAB", "CAB.A", "CAB.A.1", "CAB.K.86", "CAB.K", "K.30", "K.85", "K.99", "X1",
    "X1.1", "X1.2", "XI.1", "S1", "S1.1", "G1", "case", "case.1", "BAT.+", "BAT.-", "BAT.mid", "BAT", "I", "l", "O",
    "0", "off", "on", "N", "M", "?SP",
)  # fmt: skip

spans = st.builds(lambda start: Span(SOURCE, start, start + 3), st.integers(0, 3_000))


def words(*texts: str) -> st.SearchStrategy[Word]:
    return st.builds(Word, st.sampled_from(texts), spans)


def some(strategy: st.SearchStrategy[object], least: int = 1) -> st.SearchStrategy[tuple[object, ...]]:
    return st.lists(strategy, min_size=least, max_size=3).map(tuple)


name = words(*NAMES)
quantity = st.builds(Measure, st.builds(Band, st.just(1.0), st.just(2.0)), st.just("1"), spans)
drawn = st.lists(st.builds(DrawnAt, quantity, st.none() | words("1", "A.1")), max_size=2).map(tuple)
maybe_quantity = st.none() | quantity
maybe_name = st.none() | name
conditions = some(st.builds(Condition, words("A", "OPT"), st.booleans()), 0)
clauses = st.just(Clauses()) | st.builds(
    Clauses, maybe_name, maybe_name, maybe_name, maybe_quantity, conditions, maybe_name
)
look = st.just(WireLook()) | st.builds(
    WireLook, st.none() | words("RD", "rd", "RD/BK", "ZZ", "sw"), maybe_quantity, maybe_name, maybe_name
)
end = st.builds(End, name | words("?"), maybe_name)
joint_kind = words("splice", "connector", "terminal", "ground")


def of(statement: type[Statement], /, **parts: st.SearchStrategy[object]) -> st.SearchStrategy[Statement]:
    return st.builds(statement, span=spans, clauses=clauses, **parts)


STATEMENTS = st.one_of(
    of(
        PlatformStatement,
        name=name,
        years=maybe_name,
        supply=maybe_quantity,
        returns=st.none() | words("body", "wired"),
    ),
    of(OptionStatement, name=words("OPT", "A"), others=some(words("A", "B"), 0)),
    of(
        NamingStatement,
        patterns=some(st.tuples(words("X*", "S*", "G*", "CAB.*", "A*"), joint_kind | words("lamp", "fuse", "diode"))),
    ),
    of(ColoursStatement, letters=some(st.tuples(words("sw", "rd", "RD"), words("BK", "RD", "??")))),
    of(BatteryStatement, name=name, capacity=maybe_quantity, series=st.booleans()),
    of(BoxStatement, name=name),
    of(
        SwitchStatement,
        name=name,
        is_key=st.booleans(),
        by=maybe_name,
        inside=maybe_name,
        positions=some(words("off", "on"), 0),
        closes=some(
            st.builds(ClosesClause, words("1", "30", "case"), words("1", "15", "case"), some(words("on", "no"))), 0
        ),
    ),
    of(
        RelayStatement,
        name=name,
        form=words("make", "break", "changeover", "latching", "flasher"),
        reset=st.none() | st.tuples(words("87", "85"), words("86")),
        holds=maybe_quantity,
        across=st.none() | words("diode", "resistor"),
        coil=st.none() | st.tuples(words("86", "85"), words("85")),
        contacts=some(st.tuples(words("30"), words("87", "30"), st.none() | words("87a")), 0),
    ),
    of(
        FuseStatement,
        kind=words("fuse", "link", "breaker"),
        fuses=some(st.builds(FuseItem, name, maybe_quantity, st.none() | words("mini"), st.booleans(), maybe_name)),
    ),
    of(
        TwoTerminalStatement,
        kind=words("diode", "resistor"),
        items=some(st.builds(TwoTerminalItem, name, maybe_quantity, maybe_name)),
    ),
    of(JointStatement, kind=joint_kind, items=some(st.builds(JointItem, name, maybe_name)), wired=st.booleans()),
    of(FeedsStatement, name=name, is_bar=st.booleans(), fed=some(name, 0)),
    of(StatedStatement, names=some(name), positions=some(words("on", "no"), 0)),
    of(
        LoadStatement,
        kind=words(*LOAD_KINDS),
        name=name,
        roles=some(
            st.builds(
                RoleSaid,
                words("supply", "ground", "wake", "sense", "control", "signal"),
                some(words("1", "2", "A.1")),
                st.none() | words("plus", "ground", "opening"),
            ),
            0,
        ),
        asleep=drawn,
        awake=drawn,
        running=drawn,
        joined=some(st.tuples(words("1", "2"), words("1", "3")), 0),
    ),
    of(
        OutputStatement,
        pins=some(name),
        action=words("feeds", "grounds"),
        source=maybe_name,
        when=st.sampled_from(("awake", "in", "request", "always", "live")),
        positions=some(words("on", "no"), 0),
        inputs=some(name, 0),
        without=some(name, 0),
        volts=st.none() | quantity,
    ),
    of(
        NetworkStatement,
        name=words("N", "M"),
        kind=words("can", "lin", "wake", "other"),
        members=some(st.builds(MemberItem, name, some(words("1", "2"), 0), st.none() | words("listens", "drives")), 0),
    ),
    of(StarStatement, name=name, network=words("N", "M"), legs=some(some(name))),
    of(
        GatewayStatement,
        name=name,
        joins=some(words("N", "M", "O")),
        passes=some(st.tuples(words("N", "M"), words("N", "M", "O")), 0),
        passes_nothing=st.booleans(),
    ),
    of(SheetStatement, name=words("1", "2"), title=maybe_name, whole=st.booleans()),
    of(WireStatement, first=some(end), steps=some(st.builds(ChainStep, some(end), look))),
    of(WireStatement, first=some(end), steps=some(st.builds(ChainStep, some(end), look))),
)


@settings(max_examples=200, deadline=None)
@given(st.lists(STATEMENTS, max_size=14), st.lists(STATEMENTS, max_size=6))
def test_any_statements_make_a_platform(first: list[Statement], second: list[Statement]) -> None:
    notations = [
        Notation(path="1.circuit", statements=tuple(first)),
        Notation(path="2.circuit", statements=tuple(second)),
    ]
    platform = platform_of(notations, [SOURCE])
    for wire in platform.wires:
        assert wire.a != wire.b
        assert {wire.a.part, wire.b.part} <= set(platform.parts)
    for member in (m for network in platform.networks.values() for m in network.members):
        assert member.part in platform.parts
    assert platform.problems == in_order(platform.problems)
    assert platform_of(reversed(notations), [SOURCE]) == platform
