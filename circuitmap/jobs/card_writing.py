"""Adding to a job card without touching what is there: new entries go to its end, a mistake is struck, not erased.

A change is made in the text, then the card is read again: if anything but the wanted entry came out different, the card
is left alone. So whatever somebody did to the card by hand is kept, comments included.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from circuitmap.evidence.job_card import Entry, JobCard, ReadCard, read_card
from circuitmap.failures import CannotRead, LimitReached, WrongUse
from circuitmap.problems import Problem, Severity
from circuitmap.source import SourceFile

Value = str | Sequence[str] | Sequence[tuple[str, str]]
Fields = Sequence[tuple[str, Value]]
"""What an entry says, in order: a text, a list of texts, or names with a text each."""

_PLAIN = re.compile(r"[A-Za-z0-9/(+.][A-Za-z0-9 _./+()=%-]*\Z", re.ASCII)
_TIME = re.compile(r"(\d{4}-\d\d-\d\d )?\d\d:\d\d(:\d\d)?\Z", re.ASCII)
_WIDTH = 100


class BrokenCard(CannotRead):
    """The card has errors, so it is not written to; `problems` say where."""

    def __init__(self, card: JobCard, problems: tuple[Problem, ...]) -> None:
        first = problems[0]
        super().__init__(
            f"{card.source.path} cannot be added to: {first.span.place()}: {first.headline}",
            "Mend it by hand first; nothing was written.",
        )
        self.problems = problems


def new_card(intake: Fields) -> str:
    """The text of a card without entries."""
    lines = [line for key, value in intake for line in _field(key, value, "")]
    return "\n".join([*lines, "entries:"]) + "\n"


def with_entry(read: ReadCard, fields: Fields, behind_entry: int | None = None) -> ReadCard:
    """The card with one more entry at the end of its text, or behind the entry of that number (0: before the first),
    after reading it again. Raises BrokenCard if the card has errors."""
    card, source = _sound(read), read[0].source
    number = len(card.entries) if behind_entry is None else behind_entry
    text = source.text if source.text.endswith("\n") or not source.text else source.text + "\n"
    before, indent, behind = _place_behind(text, card, number)
    lines = [line for key, value in fields for line in _field(key, value, indent + "  ")]
    lines[0] = f"{indent}- {lines[0].lstrip()}"
    line_end = "\r\n" if "\r\n" in text else "\n"
    new = before + line_end.join(lines) + line_end + behind
    after = read_card(SourceFile(source.path, new))
    _only_added(card, number, *after)
    return after


def with_strike(read: ReadCard, number: int, reason: str) -> ReadCard:
    """The card with entry `number`, counted from 1, struck in its text for a reason, after reading it again."""
    card, source = _sound(read), read[0].source
    if not 1 <= number <= len(card.entries):
        raise WrongUse(f"There is no entry {number}: the card has {len(card.entries)}.")
    entry = card.entries[number - 1]
    if entry.struck is not None:
        raise WrongUse(f"Entry {number} is struck already: {entry.struck.value}.")
    if not reason.strip():
        raise WrongUse("A strike needs a reason.")
    text = source.text
    opening = text[entry.span.start]
    if opening == "{":
        at = entry.span.start + 1
        rest = text[at:].lstrip()
        new = f"{text[:at]}struck: {_quoted(reason)}{'' if rest.startswith('}') else ', '}{text[at:]}"
    else:
        start = entry.span.start
        line_start = text.rfind("\n", 0, start) + 1
        indent = " " * (start - line_start)
        line_end = "\r\n" if "\r\n" in text else "\n"
        new = f"{text[:start]}struck: {_scalar(reason)}{line_end}{indent}{text[start:]}"
    after, problems = read_card(SourceFile(source.path, new))
    wanted = [bare(e) for e in card.entries]
    got = [bare(replace(e, struck=None)) if n == number - 1 else bare(e) for n, e in enumerate(after.entries)]
    if _errors(problems) or got != wanted or after.entries[number - 1].struck is None:
        raise CannotRead(f"{source.path} is laid out so that entry {number} cannot be struck; do it by hand.")
    return after, problems


def bare(value: object) -> object:
    """An entry without its places in the text, so that what it says can be compared."""
    if isinstance(value, Entry):
        said = ((name, getattr(value, name)) for name in Entry.__slots__ if name != "span")
        return tuple((name, bare(part)) for name, part in said if part)
    if isinstance(value, tuple):
        return tuple(bare(item) for item in value)
    for name in ("value", "name"):
        if hasattr(value, name) and hasattr(value, "span"):
            return getattr(value, name)
    if hasattr(value, "name") and hasattr(value, "value"):
        return (bare(value.name), bare(value.value))
    return value


def _sound(read: ReadCard) -> JobCard:
    card, problems = read
    errors = _errors(problems)
    if errors:
        raise BrokenCard(card, errors)
    return card


def _errors(problems: tuple[Problem, ...]) -> tuple[Problem, ...]:
    return tuple(p for p in problems if p.severity is Severity.ERROR)


def _place_behind(text: str, card: JobCard, number: int) -> tuple[str, str, str]:
    """The text up to the place of a new entry behind that of `number`, how far the entry's dash is indented, and the
    text after it."""
    if card.entries:
        last = card.entries[max(number, 1) - 1]
        line_start = text.rfind("\n", 0, last.span.start) + 1
        dash = text.rfind("-", line_start, last.span.start)
        if dash < 0 or text[line_start:dash].strip():
            raise CannotRead(f"{card.source.path}: entries do not stand one below the other; add it by hand.")
        if number == 0:
            return text[:line_start], text[line_start:dash], text[line_start:]
        end = last.span.end
        while end > last.span.start and text[end - 1] in " \t\r\n":
            end -= 1
        at = text.find("\n", end) + 1 or len(text)
        return text[:at], text[line_start:dash], text[at:]
    match = re.search(r"^entries:[ \t]*(\[[ \t]*\]|null|~)?[ \t]*(#[^\r\n]*)?\r?\n", text, re.MULTILINE)
    if match is None:
        return text + "entries:\n", "  ", ""
    line = text[match.start() : match.end()]
    if match[1]:
        line = line.replace(match[1], "", 1)
    return text[: match.start()] + line, "  ", text[match.end() :]


def _only_added(card: JobCard, number: int, after: JobCard, problems: tuple[Problem, ...]) -> None:
    errors = _errors(problems)
    if any(error.code == "card-too-long" for error in errors):
        raise LimitReached(
            f"{card.source.path} is full: {errors[0].headline}", "Nothing was added; begin another card."
        )
    same_intake = {k: t.value for k, t in after.intake.items()} == {k: t.value for k, t in card.intake.items()}
    others = (*after.entries[:number], *after.entries[number + 1 :])
    same_entries = [bare(e) for e in others] == [bare(e) for e in card.entries]
    if errors or not same_intake or not same_entries or len(after.entries) != len(card.entries) + 1:
        where = f": {errors[0].headline}" if errors else ""
        raise CannotRead(f"{card.source.path} is laid out so that nothing can be added{where}; add it by hand.")


def _field(key: str, value: Value, indent: str) -> list[str]:
    if isinstance(value, str):
        return [f"{indent}{key}: {_scalar(value)}"]
    items = [_scalar(item) if isinstance(item, str) else f"{_scalar(item[0])}: {_scalar(item[1])}" for item in value]
    opening, closing = ("[", "]") if all(isinstance(item, str) for item in value) else ("{", "}")
    lines = [f"{indent}{key}: {opening}"]
    for number, item in enumerate(items):
        piece = item + (", " if number < len(items) - 1 else closing)
        if len(lines[-1]) + len(piece.rstrip()) > _WIDTH:
            lines[-1] = lines[-1].rstrip()
            lines.append(indent + "  ")
        lines[-1] += piece
    return lines if items else [f"{indent}{key}: {opening}{closing}"]


def _scalar(text: str) -> str:
    """A text as YAML: plain where it cannot be misread, else in double quotes."""
    plain = (_PLAIN.match(text) and text == text.strip()) or _TIME.match(text)
    return text if plain else _quoted(text)


def _quoted(text: str) -> str:
    out = ['"']
    for character in text:
        code = ord(character)
        if character in '"\\':
            out.append("\\" + character)
        elif character == "\n":
            out.append("\\n")
        elif character == "\t":
            out.append("\\t")
        elif code < 0x20 or 0x7F <= code < 0xA0 or 0xD800 <= code < 0xE000 or code in (0x2028, 0x2029, 0xFEFF):
            out.append(f"\\u{code:04x}" if code < 0xD800 or code > 0xDFFF else "\\ufffd")
        elif code > 0xFFFF:
            out.append(f"\\U{code:08x}")
        else:
            out.append(character)
    return "".join(out) + '"'
