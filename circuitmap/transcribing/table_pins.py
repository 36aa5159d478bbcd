"""A pin list as statements: what the pins of each part do, its outputs, and what the list says of each pin as a
remark."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from circuitmap.notation.names import complaint_about_name
from circuitmap.transcribing.asked import Question
from circuitmap.transcribing.cell_values import is_empty_slot
from circuitmap.transcribing.on_sheet import quoted
from circuitmap.transcribing.pin_words import PIN_ROLES, is_not_used, pin_meant
from circuitmap.transcribing.standing import KnownRow
from circuitmap.transcribing.table_rows import BadRow, TableRow, asked_word, sound, words_in_cell
from circuitmap.wiring.parts import Load, Undeclared
from circuitmap.wiring.pins import pin_as_known

_PIN = re.compile(r"(?:[A-Za-z0-9_+]+(?:[./-][A-Za-z0-9_+]+)*-?|-)\Z")
_DOES = (*PIN_ROLES, "feeds", "grounds", "free")
"""What a pin may do; in each question of a list it has the same number."""
_MOST_OFFERED = 12
_HIDDEN_IN_COMMENT = re.compile(r"[^\x20-\x7e\xa0-\u024f]")


def pin_lines(rows: Sequence[TableRow]) -> Iterator[str | Question | KnownRow]:
    """Of each part: one line with its pins by what they do, its outputs, and the remarks. A list that names no part is
    one question."""
    named = _with_part(rows)
    if isinstance(named, Question):
        yield named
        return
    rows = named
    signs = any(row.text("pin") == "+" for row in rows)
    parts: dict[str, dict[str, list[str]]] = {}
    outputs: dict[str, list[str]] = {}
    remarks: dict[str, list[str]] = {}
    for row in rows:
        try:
            part = _part(row)
            pin = _pin(row, part, signs)
            does = _does(row)
            if pin in {its for roles in parts.get(part, {}).values() for its in roles}:
                raise BadRow(f"Pin {pin} of {part} stands further up already.", row.cell("pin"))
            standing = _standing(row, part, pin, does)
            if standing is not None:
                yield standing
                continue
            if does in ("feeds", "grounds"):
                said = f"output {part}.{pin} {does} {quoted(row.text('what'))}{row.behind()}"
                outputs.setdefault(part, []).append(sound(said, row.cell("pin")))
        except BadRow as why:
            yield why.question
            continue
        says = "; ".join(filter(None, (row.text("what"), row.text("remark"))))
        remarks.setdefault(part, []).append(f"# {part}.{pin}: {_HIDDEN_IN_COMMENT.sub(' ', says)}")
        parts.setdefault(part, {}).setdefault(does, []).append(pin)
    for part, roles in parts.items():
        known = rows[0].known.names.parts.get(part)
        kind = known.kind if isinstance(known, Load) else "module"
        said = "".join(f" {role} {', '.join(roles[role])}" for role in PIN_ROLES if role in roles)
        is_new = known is None or isinstance(known, Undeclared)
        if said or is_new:
            asked = f"  # {part} was not declared: is it a module?" if is_new else ""
            yield f"{kind} {part}{said}{rows[0].behind()}{asked}"
        yield from outputs.get(part, ())
        yield from remarks[part]


def _with_part(rows: Sequence[TableRow]) -> Sequence[TableRow] | Question:
    """The rows, once it is known whose pins they are. It is asked at the first row with a pin, whose cell has no other
    question."""
    first = next((row for row in rows if _PIN.match(row.text("pin"))), None)
    if first is None or first.layout.part or "part" in first.cells:
        return rows
    cell = first.cell("pin")
    part = first.settled.get(cell.span.start, "")
    if not part or first.is_no_name(part):
        parts = first.known.names.parts.values()
        modules = [its.name for its in parts if isinstance(its, Load) and its.kind == "module"]
        headline = "Whose pins are these? The list does not name their part."
        return Question(headline, cell.span, tuple(modules[:_MOST_OFFERED]))
    settled = {at: answer for at, answer in first.settled.items() if at != cell.span.start}
    return [replace(row, layout=row.layout._replace(part=part), settled=settled) for row in rows]


def _standing(row: TableRow, part: str, pin: str, does: str) -> KnownRow | None:
    """A pin that is declared so already. Raises BadRow where it is declared as something else."""
    known = row.known.names.parts.get(part)
    if not isinstance(known, Load) or does == "free":
        return None
    output = row.known.outputs.get((part, pin))
    if output is not None and output.action == does:
        return KnownRow(f"output {part}.{pin} {does}", output.span.place())
    role = known.roles.get(pin, "") if pin not in known.assumed_roles else ""
    if does in ("feeds", "grounds") or role in ("", "network", "output") or known.declared is None:
        return None
    if role != does:
        raise BadRow(f"{part}.{pin} is declared as {role} already: it is left as it is.", row.cell("pin"))
    return KnownRow(f"{known.kind} {part} {role} {pin}", known.declared.place())


def _part(row: TableRow) -> str:
    names = row.known.names
    answer = row.answer("part")
    written = ("" if row.is_no_name(answer) else answer) or row.text("part") or row.layout.part
    if not written:
        raise BadRow("Which part has this pin? Its name is not given.", row.cell("part"))
    found = (written,) if written in names.parts else names.parts_with_tail(written)
    if len(found) > 1:
        raise BadRow(f"{written} may be several: which?", row.cell("part" if row.text("part") else "pin"), found)
    words = words_in_cell(written)
    asked = asked_word(written, (part for word in words for part in names.parts_with_tail(word)), row.cell("part"))
    if not found and asked is not None:
        raise asked
    name = found[0] if found else written
    known = names.parts.get(name)
    if known is not None and not isinstance(known, Load | Undeclared):
        raise BadRow(f"{name} is a {known.kind}: its terminals are known.", row.cell("pin"))
    if complaint_about_name(name) or not _PIN.match(name):
        raise BadRow(f"{written} is not the name of a part.", row.cell("part"))
    if known is None and names.begins_like_connector(name):
        headline = f"{written} is a connector by its name: what a list says of its cavities is left out."
        raise BadRow(headline, row.cell("part"))
    return name


def _pin(row: TableRow, part: str, signs: bool) -> str:
    """The pin as it is declared, if it is. A minus alone is a pin where the list (`signs`) or the part has a plus."""
    known = row.known.names.pins(part)
    pin = row.answer("pin") or row.text("pin")
    if not pin and row.printed("pin") == "-" and (signs or "+" in known or "-" in known):
        pin = "-"
    if not _PIN.match(pin):
        raise BadRow(f"{pin or 'Nothing'} is not the name of a pin.", row.cell("pin"))
    return pin_as_known(pin, known)


def _does(row: TableRow) -> str:
    """A role, `feeds` or `grounds` for an output, or `free`."""
    answer = row.answer("what")
    if answer in _DOES:
        return answer
    text = answer or row.text("what")
    if not text or is_not_used(text) or is_empty_slot(text):
        return "free"
    found = pin_meant(text)
    if len(found) != 1:
        likely = f" It may be {' or '.join(found)}." if found else ""
        raise BadRow(f"What does pin {row.text('pin')} do: {text}?{likely}", row.cell("what"), _DOES)
    return found[0]
