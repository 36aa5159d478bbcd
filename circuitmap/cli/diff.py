"""`circuitmap diff A [B] [--git REV]...`."""

from pathlib import Path

import click

from circuitmap.cli.asking import FOLDER, json_option
from circuitmap.failures import WrongUse


@click.command("diff", short_help="Say what changed between two states of a platform.")
@click.argument("before", metavar="A", type=FOLDER)
@click.argument("after", metavar="[B]", type=FOLDER, required=False)
@click.option("--git", "revisions", multiple=True, metavar="REV", help="A as it was at this git revision; twice: both.")
@json_option
def command(before: Path, after: Path | None, revisions: tuple[str, ...], as_json: bool) -> int:
    """Say what changed from platform A to platform B, in the trade's words.

    With --git REV: from A at that revision to A as it is now (or to B). With --git twice: from the first revision
    of A to the second. Where things were typed and in what order is no change.
    """
    from circuitmap.changes.between import changes_between
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.questions import open_platform, platform_at
    from circuitmap.reports.problems.changes_text import changes_json, changes_text

    match (revisions, after):
        case ((), None):
            raise WrongUse("diff compares two states: give a second folder, or --git REV.")
        case ((), Path() as other):
            states = open_platform(before), open_platform(other)
        case ((revision,), other):
            states = platform_at(before, revision), open_platform(other or before)
        case ((first, second), None):
            states = platform_at(before, first), platform_at(before, second)
        case _:
            raise WrongUse("With two --git revisions there is no second folder, and there are at most two revisions.")
    changes = changes_between(*states)
    if as_json:
        print_json(changes_json(changes))
    else:
        say(changes_text(changes))
    return 0
