"""`circuitmap dead PLATFORM LOAD... [--works LOAD] [--saw POINT=VOLTS] ...`."""

import click

from circuitmap.cli.asking import all_option, platform_argument
from circuitmap.cli.names import part_names
from circuitmap.cli.stating import StateAsked, asks_in_a_state


@click.command("dead", short_help="Say why these loads do not work, and where to put the probe next.")
@platform_argument
@click.argument("loads", nargs=-1, required=True, metavar="LOAD...", shell_complete=part_names)
@click.option(
    "--works",
    multiple=True,
    metavar="LOAD",
    shell_complete=part_names,
    help="A load that works, several with commas; may be repeated.",
)
@click.option(
    "--saw",
    multiple=True,
    metavar="POINT=VOLTS",
    help="What the probe showed while they were switched on: F72=0.02V (outgoing side), F72.1=12.3V. May be repeated.",
)
@all_option
@asks_in_a_state
def command(
    asked: StateAsked,
    loads: tuple[str, ...],
    works: tuple[str, ...],
    saw: tuple[str, ...],
    whole: bool,
) -> int:
    """Say what of PLATFORM may be interrupted where each LOAD is dead, and where to put the probe next.

    What the dead share and the working do not: fuse, wire, cavity, splice, contact, coil, control wire, output, ground.
    The state is that in which they should work; what is not said of it is looked for. LOAD@SWITCH=POS speaks of one
    position, MODULE@NETWORK or MODULE@scan of its answer; a fuse that blew is named by itself.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.dead import dead_or_blown

    its = dead_or_blown(asked.bench, asked.state, loads, works, saw)
    if asked.as_json:
        from circuitmap.reports.dead.dead_json import dead_json

        return answer_json(asked.bench, asked.folder, dead_json(asked.bench.platform, its))
    from circuitmap.reports.dead.dead_text import dead_text

    return answer_text(asked.bench, asked.folder, dead_text(asked.bench.platform, its, whole=whole))
