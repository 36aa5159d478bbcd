"""`circuitmap merge BASE OURS THEIRS`: for git, which calls it when two branches changed the same notation file."""

from pathlib import Path

import click

from circuitmap.cli.asking import FILE, json_option

CONFLICTS = 1


def _set_up(context: click.Context, _option: click.Parameter, wanted: bool) -> None:
    if not wanted or context.resilient_parsing:
        return
    from circuitmap.changes.git_driver import set_up_git
    from circuitmap.cli.printing import say

    attributes = set_up_git(Path())
    say(f"git merges notation by statement here from now on. Commit {attributes.name}: it names the files.")
    say("Whoever else works on a clone of it types circuitmap merge --set-up there, once.")
    context.exit()


@click.command("merge", short_help="Merge two people's changes to one notation file (for git).")
@click.argument("base", type=FILE)
@click.argument("ours", type=FILE)
@click.argument("theirs", type=FILE)
@click.option("--name", default="", metavar="PATH", help="What the file is called, for messages.")
@click.option("-o", "output", type=FILE, help="Write here instead of over OURS.")
@click.option(
    "--set-up",
    is_flag=True,
    is_eager=True,
    expose_value=False,
    callback=_set_up,
    help="Tell git to do so, in the repository of this folder; nothing is merged now.",
)
@json_option
def command(base: Path, ours: Path, theirs: Path, name: str, output: Path | None, as_json: bool) -> int:
    """Put the changes of OURS and THEIRS, both made from BASE, together in OURS, statement by statement.

    What does not go together stays in the file between marks, each at its place, and the exit code is 1.
    """
    from circuitmap.changes.merge import merge_files
    from circuitmap.cli.printing import complain, print_json
    from circuitmap.notation.folder import file_content
    from circuitmap.saving import replace_unlocked, write_output

    contents = [file_content(path) for path in (base, ours, theirs)]
    merged = merge_files(*(_text(path, content) for path, content in zip((base, ours, theirs), contents, strict=True)))
    if output is None:
        replace_unlocked(ours, merged.text.encode("utf-8"), based_on=contents[1])
    else:
        write_output(output, merged.text.encode("utf-8"))
    if as_json:
        print_json({"conflicts": [{"line": c.line, "what": c.what} for c in merged.conflicts]})
    for conflict in merged.conflicts:
        complain(f"{name or output or ours}:{conflict.line}: both changed this: {conflict.what}")
    return CONFLICTS if merged.conflicts else 0


def _text(path: Path, content: bytes) -> str:
    """The text of a file, with a byte order mark if it has one."""
    from circuitmap.failures import CannotRead

    if b"\0" in content:
        raise CannotRead(f"{path} is not a text file; nothing was merged.")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        raise CannotRead(f"{path} is not written in UTF-8; nothing was merged.") from None
