"""The figures behind the answer: probabilities, decibans, bits. For `--numbers` and `--explain`."""

from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.reports.suspects.fault_kind_words import fault_words, kind_words
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.suspects.observation_words import name_or_as_written
from circuitmap.reports.suspects.step_in_words import action_words
from circuitmap.reports.suspects.suspects_text import place_lines
from circuitmap.reports.suspects.why import reasons_of
from circuitmap.reports.words.paragraphs import WIDTH, as_text, joined, shortened, table, wrapped
from circuitmap.wiring.platform import Platform


def row_words(platform: Platform, row: Row, most: int = 6) -> str:
    """An explanation in one phrase; for several that cannot be told apart, the first, and how many there are."""
    if len(row.explanation.kinds) > 1:
        return joined([fault_words(platform, fault) for fault in row.faults[0]])
    parts = list(dict.fromkeys(member[0].part for member in row.faults))
    if len(row.faults) == 1 or (len(parts) == 1 and row.faults[0][0].ends):  # stretches of the wires behind one fuse
        return fault_words(platform, row.faults[0][0])
    meaning = kind_words(row.faults[0][0].kind).meaning
    apart = {(one.part,) if one.ends else one.identity for one, *_ in row.faults}
    return f"{meaning}, one of these {len(apart)}, can't be told apart yet: {shortened(parts, most)}"


def numbers_text(platform: Platform, diagnosis: Diagnosis, top: int, width: int = WIDTH) -> str:
    """Tables of explanations, parts and tests, and the argument of the answer line by line."""
    rows = [(str(n), f"{row.probability:.4f}", row_words(platform, row)) for n, row in _numbered(diagnosis, top)]
    parts = [(f"{part.probability:.4f}", part.part) for part in diagnosis.parts[:top]]
    tests = [
        (f"{t.bits:.3f} bit", f"{t.action.minutes:.0f} min", f"{t.worth:.4f}", action_words(platform, t.action))
        for t in diagnosis.tests.choices
    ]
    row = row_of_answer(diagnosis)
    return as_text(
        [
            f"something wrong {diagnosis.something_wrong:.4f}; given that, two faults {diagnosis.two_faults:.4f}",
        ],
        ["explanations", *table(rows, width)],
        ["parts", *table(parts, width)],
        _argument(row) if row is not None else [],
        ["tests (bits about the part, minutes with the risk of waking, bits a minute)", *table(tests, width)],
    )


def explain_text(platform: Platform, diagnosis: Diagnosis, number: int, width: int = WIDTH) -> str:
    """One explanation: what it is, what speaks for it and against it."""
    row = diagnosis.rows[number - 1]
    lines = wrapped(f"{number}  {row_words(platform, row, 40)}.", rest="   ", width=width)
    why = ["AGAINST THE NEXT BEST"]
    for reason in reasons_of(platform, diagnosis, row, row.argument.lines):
        why += wrapped(f"{reason.sentence}.", f" {reason.sign.ljust(3)}  ", " " * 6, width)
    rival = row.argument.rival
    against: list[str] = []
    if rival is not None:
        words = next((row_words(platform, r) for r in diagnosis.rows if r.explanation is rival), "another explanation")
        against = wrapped(f"Weighed against: {words}.", rest=" ", width=width)
    return as_text(lines, place_lines(platform, diagnosis, row, width), why, against)


def _numbered(diagnosis: Diagnosis, top: int) -> list[tuple[int, Row]]:
    return list(enumerate(diagnosis.rows[:top], start=1))


def _argument(row: Row) -> list[str]:
    told = [line for line in row.argument.lines if abs(line.decibans) >= 0.005]
    rows = [(f"{line.decibans:+.2f} dB", name_or_as_written(line.about)) for line in told]
    return ["for the answer, against its best rival", *table([*rows, (f"{row.argument.total:+.2f} dB", "in all")])]
