"""`circuitmap transcribe sister|checked`: a platform begun from a sister, and checked off against the paper."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitmap.cli.asking import FOLDER, json_option, platform_argument
from circuitmap.cli.names import sheet_names

if TYPE_CHECKING:
    from circuitmap.flows.transcribing import Folder
    from circuitmap.transcribing.copied import Unchecked

LEFT = 1


@click.command("sister", short_help="Begin a platform from one that is there already.")
@click.argument("sister", type=FOLDER)
@click.argument("new", type=FOLDER)
@click.option("--name", required=True, help="What the new platform is called.")
@json_option
def sister(sister: Path, new: Path, name: str, as_json: bool) -> int:
    """Begin a platform in the folder NEW with all that is typed in of SISTER.

    Every statement is marked as copied, and answers say so, until it is checked off: circuitmap transcribe checked.
    """
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.copied import begin_sister

    begun = begin_sister(sister, new, name)
    if as_json:
        print_json({"files": [str(path) for path in begun.files], "statements": begun.to_check})
    else:
        say(f"Wrote {len(begun.files)} files to {new}: {begun.to_check:,} statements to check.")
        say(f"circuitmap transcribe checked {new} goes through them.")
    return 0


@click.command("checked", short_help="Check off what was copied, line by line, against the paper.")
@platform_argument
@click.option("--sheet", default="", metavar="SHEET", shell_complete=sheet_names, help="Only this sheet.")
@click.option("--sister", type=FOLDER, help="Compare with this sister; else those in the folders beside it.")
@json_option
def checked(platform: Path, sheet: str, sister: Path | None, as_json: bool) -> int:
    """Go through what was copied in PLATFORM and compare it with the paper.

    For each statement: s if the paper says the same, d and the line anew (in full, or as a short line) if it differs,
    n if it is not there, l to leave it for later, q to stop. Each answer is written at once. Without a terminal, what
    is left is listed, and the exit code is 1 if anything is. Sheets that only one of the two sisters has are told.
    """
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.copied import counted_by_sheet, left_to_check
    from circuitmap.flows.sister_sheets import sheets_of_one
    from circuitmap.flows.transcribing import open_folder
    from circuitmap.reports.problems.copied_text import left_json, left_text, one_sided_lines

    folder = open_folder(platform)
    left = left_to_check(folder, sheet or None)
    apart = sheets_of_one(folder, sister)
    if not as_json and (lines := one_sided_lines(apart)):
        say("\n".join(lines) + "\n")
    if as_json:
        print_json(left_json(left, apart))
    elif left and is_terminal():
        left = _checked_off(folder, sheet or None)
        say("Everything is checked." if not left else f"{len(left)} left to check.")
    else:
        say(left_text(left, counted_by_sheet(left)))
    return LEFT if left else 0


def _checked_off(folder: "Folder", sheet: str | None) -> "tuple[Unchecked, ...]":
    """Ask about one statement after another; what is left when somebody stops."""
    from circuitmap.cli.printing import say
    from circuitmap.failures import WrongUse
    from circuitmap.flows.copied import check_off, is_different, is_not_there, is_same, left_to_check
    from circuitmap.reports.problems.copied_text import unchecked_text

    later = 0
    while len(left := left_to_check(folder, sheet)) > later:
        its = left[later]
        say(unchecked_text(its))
        answer = str(click.prompt("s, d, n, l or q:", default="", show_default=False, prompt_suffix=" ")).strip()
        key, _, typed = answer.partition(" ")
        try:
            if key == "s" and not typed:
                folder = check_off(folder, is_same(folder, its))
            elif key == "n" and not typed:
                folder = check_off(folder, is_not_there(folder, its))
            elif key == "d" and typed:
                folder = check_off(folder, is_different(folder, its, typed))
            elif key == "l":
                later += 1
            elif key == "q":
                break
            else:
                say("s: the same; d and the line anew: different; n: not there; l: later; q: stop.")
        except WrongUse as why:
            say(f"{why.message} {why.advice}".rstrip())
    return left_to_check(folder, sheet)


def is_terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin is not None and sys.stdin.isatty() and sys.stdout.isatty()


COPIED = (sister, checked)
