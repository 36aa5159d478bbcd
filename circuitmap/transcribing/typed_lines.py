"""Short lines, one after another, as statements of the notation; what is not clear is asked, and nothing is guessed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from circuitmap.notation.lines import comment_start
from circuitmap.notation.reading import read_text
from circuitmap.notation.statements import ColoursStatement, NamingStatement, Notation, SheetStatement, WireStatement
from circuitmap.problems import Severity
from circuitmap.source import SourceFile, Span
from circuitmap.transcribing.asked import Question, Settled, Unclear
from circuitmap.transcribing.short_lines import LineAbove, above_from, is_full, lengthened
from circuitmap.transcribing.short_names import ShortNames
from circuitmap.transcribing.standing import KnownRow
from circuitmap.wiring.platform import Platform


class KnownHere:
    """What short lines are read by: the names of a platform, what needs no declaration there, the maker's letters."""

    def __init__(self, platform: Platform, notations: Iterable[Notation]) -> None:
        statements = [statement for notation in notations for statement in notation.statements]
        patterns = [
            (pattern.text.rstrip("*"), kind.text)
            for statement in statements
            if isinstance(statement, NamingStatement)
            for pattern, kind in statement.patterns
        ]
        self.names = ShortNames(platform, patterns)
        self.outputs = {(its.module, its.pin): its for its in platform.outputs if not its.assumed}
        self.letters: Mapping[str, str] = {
            letters.text: code.text
            for statement in statements
            if isinstance(statement, ColoursStatement)
            for letters, code in statement.letters
        }


@dataclass(frozen=True, slots=True)
class TypedText:
    """`lines` as they are to be written, comments with them; `questions` about what is not clear: of a line how each
    new terminal is spelt, up to the first of another kind; of a table, `standing` are rows that say nothing new."""

    lines: tuple[str, ...]
    questions: tuple[Question, ...]
    standing: tuple[KnownRow, ...] = ()


def typed_text(source: SourceFile, known: KnownHere, settled: Settled | None = None) -> TypedText:
    """All lines of a text, each as the notation writes it; `settled` are answers by their offset in the text."""
    settled = settled or {}
    lines: list[str] = []
    questions: list[Question] = []
    above = LineAbove()
    spelt: set[str] = set()
    for number, start in enumerate(source.line_starts, 1):
        typed = source.line(number)
        at = comment_start(typed)
        code, comment = typed[:at].strip(), typed[at:].rstrip()
        if not code:
            lines += [comment] if comment else []
            continue
        begin = start + typed.index(code)
        its = {offset - begin: answer for offset, answer in settled.items() if begin <= offset < begin + len(code)}
        asked: list[Question] = []
        statement = ""
        while not statement:
            try:
                statement, after, ends = _statement(code, known, above, its)
            except Unclear as why:
                alike = _spellings_of_one(why.choices)
                as_above = [end for end in spelt if alike and end.casefold() == why.choices[0].casefold()]
                if len(as_above) == 1 and why.start not in its:
                    its[why.start] = as_above[0]
                    continue
                span = Span(source, begin + why.start, begin + max(why.end, why.start + 1))
                asked.append(Question(why.headline, span, why.choices))
                if not alike or why.start in its:
                    break
                its[why.start] = why.choices[0]  # only to see what else has to be asked
        if asked:
            questions += asked
            above = replace(above, whole=False)
            continue
        above = after
        spelt.update(ends)
        lines.append(f"{statement}  {comment}" if comment else statement)
    return TypedText(tuple(lines), tuple(questions))


def as_far_as_clear(source: SourceFile, typed: TypedText) -> str:
    """The text with each line in full that is clear, and the others as they were typed: read again it says the same,
    whatever was answered."""
    asked = {question.span.line for question in typed.questions}
    clear = iter(typed.lines)
    lines = []
    for number in range(1, len(source.line_starts) + 1):
        line = source.line(number)
        if line.strip():
            lines.append(line.strip() if number in asked else next(clear))
    return "".join(f"{line}\n" for line in lines)


def _spellings_of_one(choices: tuple[str, ...]) -> bool:
    """Whether a question is about large and small letters only: then nothing else of its line hangs on the answer."""
    return len(choices) > 1 and len({choice.casefold() for choice in choices}) == 1


def _statement(
    code: str, known: KnownHere, above: LineAbove, settled: Settled
) -> tuple[str, LineAbove, tuple[str, ...]]:
    """One line as the notation writes it, what the next may take from it, and the ends of its wires."""
    full = is_full(code)
    text = code if full else lengthened(code, known.names, known.letters, above, settled)
    notation, problems = read_text(SourceFile("", text))
    wrong = [problem for problem in problems if problem.severity is Severity.ERROR]
    if wrong or len(notation.statements) != 1:
        headline = wrong[0].headline if wrong else "This is not one statement."
        start, end = (wrong[0].span.start, wrong[0].span.end) if wrong and full else (0, len(code))
        raise Unclear(headline, start, end)
    statement = notation.statements[0]
    if isinstance(statement, SheetStatement):
        raise Unclear("All lines go to one sheet: this line does not belong here.", 0, len(code))
    if not isinstance(statement, WireStatement):
        return text, above, ()
    points = (statement.first, *(step.ends for step in statement.steps))
    ends = tuple(end.name.text for point in points for end in point if not end.is_open)
    return text, above_from(statement, known.names, above), ends
