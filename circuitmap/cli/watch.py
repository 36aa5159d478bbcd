"""`circuitmap watch PLATFORM [-o FILE] [--sheet SHEET]`."""

import sys
import time
from pathlib import Path

import click

from circuitmap.cli.asking import FILE, platform_argument
from circuitmap.cli.names import sheet_names

FORMS = (".svg", ".png", ".pdf", ".dot")


@click.command("watch", short_help="Say at each save what is wrong now, and draw the sheet.")
@platform_argument
@click.option("-o", "--output", type=FILE, metavar="FILE.svg|.png|.pdf|.dot", help="Draw a sheet into this file.")
@click.option("--sheet", default="", metavar="SHEET", shell_complete=sheet_names, help="Always this sheet.")
def command(platform: Path, output: Path | None, sheet: str) -> int:
    """Watch PLATFORM while it is typed in with an editor: at each save, what is new among the problems.

    With -o the sheet that was saved is drawn each time, or always the one that --sheet names. Ctrl-C ends it.
    """
    from circuitmap.cli.printing import complain, say
    from circuitmap.flows.watching import SeenSave, Watching
    from circuitmap.notation.folder import read_folder
    from circuitmap.reports.problems.watched_text import watched_text

    if output is not None and output.suffix.lower() not in FORMS:
        raise click.UsageError(f"{output} does not say in which form: its name ends in one of {', '.join(FORMS)}.")
    if sheet and output is None:
        raise click.UsageError("--sheet says what is drawn: name a file with -o.")
    read_folder(platform)  # a folder that is not there is told at once

    def tell(seen: SeenSave) -> None:
        if seen.trouble:
            complain(seen.trouble)
        if seen.problems or not seen.trouble:
            say(watched_text(seen.new, seen.gone, seen.problems, time.strftime("%H:%M:%S")))
        if seen.drawn:
            say(f"Drew {seen.drawn}")
        sys.stdout.flush()

    watching = Watching(platform, output, sheet)
    try:
        watching.watch(tell, time.sleep)
    finally:
        watching.pictures.close()
    return 0
