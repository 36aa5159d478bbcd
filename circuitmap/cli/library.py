"""`circuitmap library [FOLDER] [--find WORDS]`."""

from pathlib import Path

import click

from circuitmap.cli.asking import FOLDER, json_option


@click.command("library", short_help="List the platforms and jobs under a folder, or find them.")
@click.argument("folder", type=FOLDER, default=Path("."))
@click.option("--find", "words", default="", metavar="WORDS", help="Only what has these in it: a part, network, fault.")
@json_option
def command(folder: Path, words: str, as_json: bool) -> int:
    """List the platforms and jobs under FOLDER (a shop's share, a git clone), or find them by what is in them.

    A local index makes the second time quick; it can be deleted at any time.
    """
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.shelf import open_library
    from circuitmap.reports.job.shelf_text import library_json, library_text

    library = open_library(folder, words)
    if as_json:
        print_json(library_json(library.found, library.shelf))
    else:
        say("\n".join(library_text(library.found, library.shelf, words)))
    return 0
