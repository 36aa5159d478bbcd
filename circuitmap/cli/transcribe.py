"""`circuitmap transcribe lines|table|sister|checked|template`: typing in a platform with few keys."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from circuitmap.cli.asking import FILE, json_option, platform_argument
from circuitmap.cli.names import sheet_names
from circuitmap.cli.transcribe_asked import asked, begun_draft, kept_text, prompted, settled_with, typed_in
from circuitmap.cli.transcribe_copied import COPIED, is_terminal
from circuitmap.cli.transcribe_template import template

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from circuitmap.flows.transcribing import Addition, Folder, TableWishes
    from circuitmap.source import SourceFile
    from circuitmap.transcribing.asked import Question
    from circuitmap.transcribing.columns import Guess
    from circuitmap.transcribing.grid import Grid

ASKED = 1


@click.group("transcribe", short_help="Type in a platform with few keys: lines, tables, sisters.")
def command() -> None:
    """Type in a platform with few keys. What is written is always the full notation; what is not clear is asked."""


@command.command("lines", short_help="Turn short lines into wires of a sheet.")
@platform_argument
@click.argument("file", type=FILE, required=False)
@click.option("--sheet", required=True, metavar="SHEET", shell_complete=sheet_names, help="The sheet they are on.")
@click.option("--title", default="", metavar="TITLE", help="Begin this sheet: what it shows.")
@json_option
def lines(platform: Path, file: Path | None, sheet: str, title: str, as_json: bool) -> int:
    """Turn short lines from FILE, or as they are typed, into wires on a sheet of PLATFORM.

    `f40 x61.1 lift.a1 rdbu 4` becomes FRM.F40 -> X61.1 -> LIFT.A1 in RD/BU 4: any unique tail of a name, in small
    letters. `.a2` is a terminal of the part above, `x61.+` the next cavity, `~` the last end above, `=` its colour and
    size. Whatever may mean several things is asked; without a terminal the questions are listed and nothing is
    written.
    """
    from circuitmap.cli.printing import complain, print_json
    from circuitmap.flows.transcribing import addition, open_folder, short_lines
    from circuitmap.reports.problems.questions_text import questions_text
    from circuitmap.reports.problems.transcribing_json import transcribed_json

    folder = open_folder(platform)
    addition(folder, (), sheet, title)  # a sheet that is not there is told before anything is typed
    if not as_json and is_terminal():
        return _lines_asked(folder, file, sheet, title)
    typed = short_lines(folder, _text_of(file))
    if not typed.questions:
        return _write(folder, addition(folder, typed.lines, sheet, title), as_json)
    if as_json:
        print_json(transcribed_json(typed.lines, typed.questions, (), ""))
    else:
        complain(questions_text(typed.questions))
    return ASKED


def _lines_asked(folder: "Folder", file: Path | None, sheet: str, title: str) -> int:
    """Short lines where somebody can be asked: what was typed or answered is written, or kept and said where."""
    from circuitmap.cli.printing import complain, say
    from circuitmap.flows.transcribing import addition
    from circuitmap.flows.typed_draft import free_draft_for

    given = _text_of(file) if file is not None else None
    draft = begun_draft(folder, sheet) if given is None else free_draft_for(folder.path, sheet)
    try:
        typed = typed_in(folder, draft) if given is None else settled_with(folder, given, {}, draft)[0]
        its = addition(folder, typed.lines, sheet, title)
        if its.ready:
            say("\n".join(its.lines))
            click.confirm(f"Write {_count(its)} to {its.path}?", default=None, abort=True)
        code = _write(folder, its, False)
        if not its.lines or code == 0:
            draft.drop()
    finally:
        left = kept_text(draft)
        if left:
            complain(f"\n{left}")
    return code


@command.command("table", short_help="Turn a fuse chart, pin list or wire list into statements of a sheet.")
@platform_argument
@click.argument("file", type=FILE, required=False)
@click.option("--sheet", required=True, metavar="SHEET", shell_complete=sheet_names, help="The sheet it is on.")
@click.option("--title", default="", metavar="TITLE", help="Begin this sheet: what it shows.")
@click.option("--columns", default="", metavar="NAME,NAME...", help="What the columns are; this confirms them.")
@click.option("--head/--no-head", "headed", default=None, help="Whether the first row is a head.")
@click.option("--box", default="", metavar="BOX", help="The box that the fuses of a chart sit in.")
@click.option("--part", default="", metavar="PART", help="The part whose pins a list names.")
@click.option("--again", is_flag=True, help="Take rows, too, whose wire stands there already.")
@click.option("--sides", default="in,out", metavar="IN,OUT", help="What is printed at feed and outgoing side of fuses.")
@json_option
def table(platform: Path, file: Path | None, sheet: str, as_json: bool, **wishes: Any) -> int:
    """Turn a table from FILE, or as it is pasted, into statements on a sheet of PLATFORM.

    Cells stand apart by tabs (a spreadsheet's clipboard), semicolons, strokes, commas or columns of blanks. What the
    columns are is guessed, shown, and always confirmed: by --columns, or by a yes at the terminal. A row that is not
    clear is a question; the others go on. What came from a table is marked until the mark is deleted.
    """
    from circuitmap.cli.printing import print_json, say
    from circuitmap.failures import WrongUse
    from circuitmap.flows.transcribing import TableWishes, addition, confirmed_guess, open_folder, read_table
    from circuitmap.reports.problems.table_text import guess_json, guess_text, how_to_confirm
    from circuitmap.reports.problems.transcribing_json import transcribed_json

    sides = tuple(wishes["sides"].split(","))
    if len(sides) != 2 or not all(sides) or sides[0] == sides[1]:
        raise WrongUse("--sides takes what is printed at the feed and at the outgoing side: --sides a,b")
    folder = open_folder(platform)
    addition(folder, (), sheet, wishes["title"])
    at_terminal = not as_json and is_terminal()
    source = _pasted() if file is None and at_terminal else _text_of(file)
    grid, guess = read_table(folder, source)
    if wishes["columns"]:
        columns = [role.strip() for role in wishes["columns"].split(",")]
        guess = confirmed_guess(grid, guess, columns, wishes["headed"])
    elif wishes["headed"] is not None:
        guess = guess._replace(headed=wishes["headed"])
    told = {"table": guess_json(grid, guess), "confirmed": bool(wishes["columns"])}
    if not wishes["columns"]:
        if not at_terminal:
            if as_json:
                print_json(transcribed_json((), (), (), "", told))
            else:
                say(f"{guess_text(grid, guess)}\n\n{how_to_confirm(guess)}")
            return ASKED
        guess = _confirmed(grid, guess)
    its = TableWishes(wishes["box"], wishes["part"], (sides[0], sides[1]))
    return _table_written(
        folder, _Table(grid, guess, source.path, its, wishes["again"]), sheet, wishes["title"], as_json, told
    )


class _Table(NamedTuple):
    """A table whose columns were confirmed."""

    grid: "Grid"
    guess: "Guess"
    path: str
    wishes: "TableWishes"
    again: bool


def _table_written(
    folder: "Folder", its: _Table, sheet: str, title: str, as_json: bool, told: "Mapping[str, Any]"
) -> int:
    """Write the rows that are clear; those that are not are asked at a terminal, or else listed."""
    from circuitmap.cli.printing import complain, say
    from circuitmap.flows.transcribing import addition, table_lines, without_rows_that_stand
    from circuitmap.flows.typed_draft import free_draft_for
    from circuitmap.reports.problems.questions_text import questions_text, standing_text
    from circuitmap.transcribing.asked import LEFT_OUT

    settled: dict[int, str] = {}
    at_terminal = not as_json and is_terminal()
    name = Path(its.path).name
    draft = free_draft_for(folder.path, sheet)
    try:
        while (typed := table_lines(folder, its.grid, its.guess, name, its.wishes, settled)).questions and at_terminal:
            if settled:
                draft.keep("".join(f"{line}\n" for line in without_rows_that_stand(folder, typed).lines))
            first = typed.questions[0]
            answer = asked(first, "the row")
            chosen = answer.isdecimal() and 0 < int(answer[:9]) <= len(first.choices)
            settled[first.span.start] = first.choices[int(answer) - 1] if chosen else answer or LEFT_OUT
        if not its.again:
            typed = without_rows_that_stand(folder, typed)
        if settled:
            draft.keep("".join(f"{line}\n" for line in typed.lines))
        told = {**told, "there": [row._asdict() for row in typed.standing]}
        if typed.standing and not as_json:
            say(standing_text(typed.standing))
        added = addition(folder, typed.lines, sheet, title)
        if at_terminal and added.ready:
            say("\n".join(added.lines))
            click.confirm(f"Write {_count(added)} to {added.path}?", default=None, abort=True)
        code = _write(folder, added, as_json, typed.questions, told)
        if draft.text and (not added.lines or code == 0):
            draft.drop()
    finally:
        left = kept_text(draft, "`circuitmap transcribe lines`")
        if left:
            complain(f"\n{left}")
    if typed.questions and not as_json:
        complain(f"\n{questions_text(typed.questions, 'not written')}")
        if its.guess.kind == "pins" and "part" not in its.guess.columns and not its.wishes.part:
            complain("--part NAME says whose pins they are, declared or not.")
    return max(code, ASKED if typed.questions else 0)


def _confirmed(grid: "Grid", guess: "Guess") -> "Guess":
    """Show the columns until somebody says that they are right."""
    from circuitmap.cli.printing import say
    from circuitmap.failures import WrongUse
    from circuitmap.flows.transcribing import confirmed_guess
    from circuitmap.reports.problems.table_text import guess_text
    from circuitmap.transcribing.columns import ROLES

    roles = dict.fromkeys(role for its in ROLES.values() for role in its)
    say(f"Columns: {' '.join(roles)}, or - for none of them.")
    while True:
        say(guess_text(grid, guess))
        answer = (
            prompted("y if this is right, 3=what to correct a column, h for the head; nothing stops:")
            .strip()
            .casefold()
        )
        if answer in ("y", "yes"):
            try:
                return confirmed_guess(grid, guess, guess.columns, guess.headed)
            except WrongUse as why:
                say(f"{why.message} {why.advice}")
                continue
        if answer == "h":
            guess = guess._replace(headed=not guess.headed)
            continue
        number, sign, role = answer.partition("=")
        meant = [its for its in (*roles, "-") if its == role] or [its for its in roles if role and its.startswith(role)]
        if not sign or not number.isdecimal() or not 0 < int(number[:3]) <= grid.width or len(meant) != 1:
            if not answer:
                raise click.Abort
            say(f"{answer} corrects no column. An empty line stops.")
            continue
        at = int(number) - 1
        columns = ["-" if its == meant[0] else its for its in guess.columns]
        columns[at] = meant[0]
        guess = guess._replace(columns=tuple(columns), leads=(*guess.leads[:at], 1.0, *guess.leads[at + 1 :]))


def _write(
    folder: "Folder",
    its: "Addition",
    as_json: bool,
    questions: "Sequence[Question]" = (),
    more: "Mapping[str, Any] | None" = None,
) -> int:
    """Write what may be written, and say what is new among the problems."""
    from circuitmap.cli.printing import complain, print_json, say
    from circuitmap.flows.transcribing import write_addition
    from circuitmap.reports.problems.problems_text import problems_text
    from circuitmap.reports.problems.transcribing_json import transcribed_json

    written = str(write_addition(folder, its)) if its.ready else ""
    if as_json:
        print_json(transcribed_json(its.lines, questions, its.problems, written, more))
    else:
        if written:
            lines = () if is_terminal() else its.lines  # there they were shown to be confirmed
            say("\n".join([*lines, f"Wrote {_count(its)} to {written}."]))
        if its.problems:
            complain(f"\nNew in circuitmap check:\n\n{problems_text(its.problems)}")
        if not written:
            complain("Nothing was written." if its.lines else "There is no line to write.")
    return 0 if written or not its.lines else ASKED


def _count(its: "Addition") -> str:
    return f"{len(its.lines)} line{'' if len(its.lines) == 1 else 's'}"


for _more in (*COPIED, template):
    command.add_command(_more)


# ---- asking ----


def _text_of(file: Path | None) -> "SourceFile":
    from circuitmap.flows.transcribing import typed_source
    from circuitmap.notation.folder import LARGEST_FILE

    if file is not None:
        return typed_source(file)
    if sys.stdin is None:
        raise click.UsageError("There is no standard input: name a file.")
    content = sys.stdin.buffer.read(LARGEST_FILE + 1)
    if len(content) > LARGEST_FILE:
        raise click.UsageError(f"That is more than {LARGEST_FILE:,} bytes.")
    return typed_source(None, content)


def _pasted() -> "SourceFile":
    """What is pasted at the terminal, up to an empty line."""
    from circuitmap.cli.printing import say
    from circuitmap.flows.transcribing import typed_source
    from circuitmap.notation.folder import LARGEST_FILE

    say("Paste the table; an empty line ends it.")
    lines: list[str] = []
    while (line := sys.stdin.readline(LARGEST_FILE)).strip() and sum(map(len, lines)) < LARGEST_FILE:
        lines.append(line)
    return typed_source(None, "".join(lines).encode("utf-8", "replace"))
