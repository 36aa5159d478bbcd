"""Short lines become the full notation, or a question; never something else than was meant."""

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.transcribing.asked import answered
from circuitmap.transcribing.typed_lines import KnownHere, TypedText, typed_text
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.transcribing.typist import FOLDERS, Typed, read, typed_platform

BENCH = """\
platform "Alder 3 van"
option TOW "towing"
naming SP* splice, X* connector, G* ground, F* fuse
colours rt RD, ge YE
battery BAT
box CAB
box REAR
fuse CAB.F1 10A, CAB.F2 10A, REAR.F2 10A, F7 5A
relay CAB.K4 make
relay REAR.K4 make
module LIFT supply A1, A2 ground A12 sense b3
module HEATER supply 1 ground 2 sense .5
lamp RT
lamp L1
motor WIPER supply 53 ground 31
connector X9 cavities 3
""".replace(" sense .5", "")


def known(text: str = BENCH) -> KnownHere:
    source = SourceFile("bench", text)
    notation, problems = read_text(source)
    assert not problems
    return KnownHere(platform_of([notation], [source], []), [notation])


def typed(*lines: str, text: str = BENCH) -> TypedText:
    return typed_text(SourceFile("typed", "\n".join(lines)), known(text))


def asked(*lines: str) -> tuple[str, tuple[str, ...]]:
    questions = typed(*lines).questions
    assert len(questions) == 1
    return questions[0].span.text, questions[0].choices


@pytest.mark.parametrize(
    ("lines", "last"),
    [
        ("f1 x3.4 lift.a1 rdbu 4", "CAB.F1 -> X3.4 -> LIFT.A1 in RD/BU 4"),
        ("cab.f2 lift.a1 ge .75", "CAB.F2 -> LIFT.A1 in ge 0.75"),
        ("f7 lift.a1 16awg", "F7 -> LIFT.A1 in 16awg"),
        ("f1 lift.a1 rd 4 | .a2 g1 =", "LIFT.A2 -> G1 in RD 4"),
        ("f1 lift.a1 rd 4 | f7 .a2 =", "F7 -> LIFT.A2 in RD 4"),
        ("f1 x3.4 l1 | f7 x3.+ lift.a1", "F7 -> X3.5 -> LIFT.A1"),
        ("f1 x3.4 x3.+ l1", "CAB.F1 -> X3.4 -> X3.5 -> L1"),
        ("f1 sp4 bu | ~ l1,sp8 bn 1", "SP4 -> L1, SP8 in BN 1"),
        ("f1 x3.1 rd 1 l1 gn .5", "CAB.F1 -> X3.1 in RD 1 -> L1 in GN 0.5"),
        ("bat.+ f1 rd", "BAT.+ -> CAB.F1 in RD"),
        ('? "from sheet 7" f1 rd', '? "from sheet 7" -> CAB.F1 in RD'),
        ('sp4 ? "sheet 9" rdwh .5', 'SP4 -> ? "sheet 9" in RD/WH 0.5'),
        ("l1 g1 gn/ye", "L1 -> G1 in GN/YE"),
        ("l1 g1 GNYE", "L1 -> G1 in GNYE"),
        ("l1 case bn if tow", "L1 -> case in BN if TOW"),
        ("l1 g1 bn if not tow hands-off gas", "L1 -> G1 in BN if not TOW hands-off gas"),
        ('l1 g1 named second code "H5"', 'L1 -> G1 in named second code "H5"'),
        ("lift.b3 l1", "LIFT.b3 -> L1"),
        ("lift.C9 l1", "LIFT.C9 -> L1"),
        ("lift.44 l1", "LIFT.44 -> L1"),
        ("CAB.F1 -> L1 in RD", "CAB.F1 -> L1 in RD"),
        ("CAB.F1 -> L1 in RD 2.5 | l1 g1 =", "L1 -> G1 in RD 2.5"),
        ("f1 l1 ge  # as printed", "CAB.F1 -> L1 in ge  # as printed"),
        ("l1/2 g1", "L1.2 -> G1"),
        ("f1 rt", "CAB.F1 -> RT"),
        ("F7 L1", "F7 -> L1"),
        ("f1, f7 l1,g1", "CAB.F1, F7 -> L1, G1"),
    ],
)
def test_a_line_in_full(lines: str, last: str) -> None:
    found = typed(*lines.split(" | "))
    assert not found.questions
    assert found.lines[-1] == last


@pytest.mark.parametrize(
    ("lines", "word", "choices"),
    [
        ("f2 l1", "f2", ("CAB.F2", "REAR.F2")),
        ("l1 k4.86", "k4.86", ("CAB.K4.86", "REAR.K4.86")),
        ("l1 cab.k4", "cab.k4", ("CAB.K4.86", "CAB.K4.85", "CAB.K4.30", "CAB.K4.87")),
        ("f1 l1 gnye", "gnye", ("GN/YE", "GNYE")),
        ("f1 l1 rt g1", "rt", ("rt", "RT")),
        ("f1 lift.c9", "lift.c9", ("LIFT.C9", "LIFT.c9")),
        ("f1 qq9", "qq9", ()),
        ("f1 lifl.a1", "lifl.a1", ("LIFT.A1",)),
        ("f1 x9.4", "x9.4", ("X9.1", "X9.2", "X9.3")),
        ("f1 x9.3 l1 | f7 x9.+ l1", "x9.+", ()),
        ("f1 x3.+ l1", "x3.+", ()),
        ("f1 l1 rd | .2 g1", ".2", ()),
        ("~ l1", "~", ()),
        ("f1 l1 | l1 g1 =", "=", ()),
        ("f1 l1 rd bu", "bu", ()),
        ("f1 l1 1 2", "2", ()),
        ("f1 l1 bn if tov", "tov", ()),
        ("f1", "f1", ()),
        ("f1 , , l1", ",", ()),
        ("f1 l1,", ",", ()),
        ('f1 "l1"', '"l1"', ()),
        ("f1 l1 code x", "code", ()),
        ("f1 l1,g1 sp2 rd", "f1 l1,g1 sp2 rd", ()),
        ("CAB.F1 -> -> L1", "->", ()),
        ('sheet "9" "Other"', 'sheet "9" "Other"', ()),
    ],
)
def test_what_is_not_clear_is_asked(lines: str, word: str, choices: tuple[str, ...]) -> None:
    assert asked(*lines.split(" | ")) == (word, choices)


def test_below_a_line_that_is_not_clear_nothing_is_taken_from_above() -> None:
    found = typed("f1 sp4 rd", "f2 l1", "~ l1", "l1 g1 =", "f7 l1")
    assert [q.span.line for q in found.questions] == [2, 3, 4]
    assert found.lines == ("CAB.F1 -> SP4 in RD", "F7 -> L1")


def test_an_answer_settles_its_own_word_only() -> None:
    source, settled = SourceFile("typed", "f2 l1 gnye\nf2 g1"), {}
    bench = known()
    for answer in ("GN/YE", "2", "1"):
        question = typed_text(source, bench, settled).questions[0]
        source, settled = answered(source, settled, question, answer)
    found = typed_text(source, bench, settled)
    assert (found.lines, found.questions) == (("REAR.F2 -> L1 in GN/YE", "CAB.F2 -> G1"), ())


def test_no_answer_leaves_the_line_out_and_keeps_the_answers_below() -> None:
    source, settled = SourceFile("typed", "f1 nothing\nf2 g1"), {}
    bench = known()
    second = typed_text(source, bench).questions[1]
    source, settled = answered(source, settled, second, "2")
    first = typed_text(source, bench, settled).questions[0]
    source, settled = answered(source, settled, first, "")
    assert typed_text(source, bench, settled).lines == ("REAR.F2 -> G1",)


# ---- all samples and papers ----

SAID_OTHERWISE = {"10awg rt": "rt 10awg", "S3/56": "S3.56", "E1/": "E1.", "E12/": "E12.", "in ?": ""}
"""What is written in one way only when it comes from a short line, and means the same."""


@pytest.fixture(scope="module")
def all_typed() -> dict[Path, Typed]:
    return {folder: typed_platform(folder) for folder in FOLDERS}


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.parent.name + "-" + folder.name)
def test_it_equals_what_was_written_by_hand(folder: Path, all_typed: dict[Path, Typed]) -> None:
    done = all_typed[folder]
    assert len(done.became) > 50
    different = [(a, b) for a, b in zip(done.by_hand, done.became, strict=True) if a != b]
    for by_hand, became in different:
        alike = by_hand
        for before, after in SAID_OTHERWISE.items():
            alike = alike.replace(before, after)
        assert alike.split() == became.split()
    assert len(different) <= 6
    assert len(done.in_full) <= 1 and done.questions <= len(done.by_hand) / 20


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: folder.parent.name + "-" + folder.name)
def test_it_makes_the_same_platform(folder: Path, all_typed: dict[Path, Typed]) -> None:
    """Read in place of the lines that were written by hand."""
    sources, notations = read(folder)
    became = iter(all_typed[folder].became)
    now = []
    for source, notation in zip(sources, notations, strict=True):
        text, at = "", 0
        for statement in notation.statements:
            if type(statement).__name__ == "WireStatement":
                text += source.text[at : statement.span.start] + next(became)
                at = statement.span.end
        now.append(SourceFile(source.path, text + source.text[at:]))
    assert _platform(now).wires == _platform(sources).wires


def _platform(sources: "list[SourceFile] | tuple[SourceFile, ...]") -> Platform:
    return platform_of([read_text(source)[0] for source in sources], tuple(sources), [])


def test_a_wire_takes_at_most_17_keys_in_the_mean(all_typed: dict[Path, Typed]) -> None:
    """Over all wires of the sample vehicles, answers to questions and lines in full counted in."""
    samples = [done for folder, done in all_typed.items() if "sample_vehicles" in folder.parts]
    wires = sum(done.wires for done in samples)
    assert wires > 900
    assert sum(done.keys for done in samples) / wires <= 17
    assert sum(done.keys_by_hand for done in samples) / wires > 25


# ---- a name that may mean several things is never taken ----

LEVELS = st.sampled_from(("A", "a", "B", "K4", "k4", "F1", "X"))
NAMES = st.lists(st.lists(LEVELS, min_size=1, max_size=3).map(".".join), min_size=2, max_size=7, unique=True)


@settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(NAMES, st.lists(LEVELS, min_size=1, max_size=3).map(".".join))
def test_an_ambiguous_name_is_never_taken(names: list[str], word: str) -> None:
    """Told apart by brute force: a terminal named so, a part named so, in any case of the letters."""
    text = "".join(f"lamp {name} supply 1 ground A, b\n" for name in names) + "lamp ZZZ\n"
    source = SourceFile("bench", text)
    notation, _ = read_text(source)
    platform = platform_of([notation], [source], [])
    found = typed_text(SourceFile("typed", f"{word} zzz"), KnownHere(platform, [notation]))
    ends = set(names) | {f"{name}.{pin}" for name in names for pin in ("1", "A", "b")}
    meant = {end for end in ends if f".{end}".casefold().endswith(f".{word}".casefold())}
    meant = {end for end in meant if end in names or word.count(".") >= 1}
    owners = {name for name in names if name != name.lower()}
    whole = word in owners or any(f"{name}.{pin}" == word for name in owners for pin in ("1", "A", "b"))
    if found.lines:
        taken = found.lines[0].removesuffix(" -> ZZZ")
        assert taken == word if whole else meant <= {taken}
    if len(meant) > 1 and not whole:
        assert found.questions


@settings(deadline=None)
@given(st.text(alphabet='abf1.,~=+?"# /-x>', max_size=40))
def test_whatever_is_typed_is_a_line_or_a_question(text: str) -> None:
    found = typed(text)
    for line in found.lines:
        if line.startswith("#"):
            continue
        notation, problems = read_text(SourceFile("line", line))
        assert len(notation.statements) == 1 and all(problem.severity < 2 for problem in problems)


# ---- how a terminal is spelt is asked once, and only where nothing says it ----

SPELT = """\
naming SP* splice, G* ground
battery BAT
module U3 supply 1 ground 2 sense ui, DI
module U4 supply 1 ground 2
output U3.w feeds while qi and not rI
sensor R1 "shunt" joins sb to SL
SP1 -> U4.xk
"""


@pytest.mark.parametrize(
    ("line", "became"),
    [
        ("u3.ui sp1", "U3.ui -> SP1"),
        ("u3.di sp1", "U3.DI -> SP1"),
        ("u3.w sp1", "U3.w -> SP1"),
        ("u3.qi sp1", "U3.qi -> SP1"),
        ("u3.ri sp1", "U3.rI -> SP1"),
        ("r1.sb sp1", "R1.sb -> SP1"),
        ("r1.sl sp1", "R1.SL -> SP1"),
        ("sp2 u4.xk", "SP2 -> U4.xk"),
    ],
)
def test_a_terminal_that_is_declared_or_wired_is_not_asked(line: str, became: str) -> None:
    found = typed(line, text=SPELT)
    assert found.lines == (became,) and not found.questions


def test_a_new_terminal_is_spelt_as_further_up() -> None:
    found = typed("sp1 U4.Ab", "sp2 u4.ab", text=SPELT)
    assert found.lines == ("SP1 -> U4.Ab", "SP2 -> U4.Ab") and not found.questions
    found = typed("sp1 U4.AB", "sp2 u4.ab", "sp3 u4.ab", text=SPELT)
    assert found.lines == ("SP1 -> U4.AB", "SP2 -> U4.AB", "SP3 -> U4.AB") and not found.questions


def test_all_spellings_of_a_line_are_asked_in_one_run() -> None:
    found = typed("u4.ab u4.cd u3.ef rd", "sp1 u4.gh", text=SPELT)
    assert [question.span.text for question in found.questions] == ["u4.ab", "u4.cd", "u3.ef", "u4.gh"]
    assert all(len(question.choices) == 2 for question in found.questions)
    found = typed("u4.ab nobody rd", text=SPELT)
    assert [question.span.text for question in found.questions] == ["u4.ab", "nobody"]


def test_what_hangs_on_an_answer_is_not_asked_before_it() -> None:
    found = typed("f2 lift.zz nobody rd")
    assert [question.span.text for question in found.questions] == ["f2"]


def test_a_terminal_that_a_known_part_has_not_is_told_as_such() -> None:
    found = typed("cab.k4.88 l1").questions
    assert [(its.headline, its.span.text) for its in found] == [("CAB.K4 has no terminal 88.", "cab.k4.88")]
    assert "CAB.K4.87" in found[0].choices
