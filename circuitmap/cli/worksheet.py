"""`circuitmap worksheet PLATFORM -o FILE.pdf|.html|.txt [--dead LOAD] ...`."""

from pathlib import Path

import click

from circuitmap.cli.asking import output_option, platform_argument
from circuitmap.cli.names import part_names
from circuitmap.cli.stating import StateAsked, asks_in_a_state


@click.command("worksheet", short_help="Write the list of fuses, or of probes, to carry to the car.")
@platform_argument
@output_option("pdf", "html", "txt")
@click.option(
    "--dead",
    "loads",
    multiple=True,
    metavar="LOAD",
    shell_complete=part_names,
    help="Write the probes for a load that does not work; several with commas; may be repeated.",
)
@click.option(
    "--works",
    multiple=True,
    metavar="LOAD",
    shell_complete=part_names,
    help="A load that works, for the probes; several with commas; may be repeated.",
)
@asks_in_a_state
def command(asked: StateAsked, output: Path, loads: tuple[str, ...], works: tuple[str, ...]) -> int:
    """Write the list to carry to the car: every fuse of PLATFORM, box by box in the order of the box.

    With what hangs on it and how that is fed, the millivolts that small currents give across it, and
    room to write. With --dead the probes for what does not work, one after another: where each is held,
    the volts to expect, room for those that were read, and where to go on from there.
    """
    from circuitmap.cli.answering import wrote
    from circuitmap.flows.dead import probing_sheet
    from circuitmap.flows.questions import worksheet
    from circuitmap.power.state import VehicleState

    form = output.suffix[1:].lower()
    if loads:
        content = probing_sheet(asked.bench, asked.state, loads, works, form)
    elif works or asked.state != VehicleState(fitting=asked.bench.fitting):
        raise click.UsageError("What works, and the state, belong to what does not work: say it with --dead.")
    else:
        content = worksheet(asked.bench, form)
    return wrote(asked.bench, asked.folder, output, content, asked.as_json)
