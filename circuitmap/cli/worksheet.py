"""`circuitmap worksheet PLATFORM -o FILE.pdf|.html|.txt`."""

from pathlib import Path

import click

from circuitmap.cli.asking import output_option, platform_argument, query


@click.command("worksheet", short_help="Write the list of fuses to carry to the car.")
@platform_argument
@output_option("pdf", "html", "txt")
@query
def command(platform: Path, output: Path, fitted: tuple[str, ...], absent: tuple[str, ...], as_json: bool) -> int:
    """Write the list to carry to the car: every fuse of PLATFORM, box by box in the order of the box.

    With what hangs on it and how that is fed, the millivolts that small currents give across it, and
    room to write.
    """
    from circuitmap.cli.answering import wrote
    from circuitmap.flows.questions import open_bench, worksheet

    bench = open_bench(platform, fitted, absent)
    content = worksheet(bench, output.suffix[1:].lower())
    return wrote(bench, platform, output, content, as_json)
