"""`circuitmap dead PLATFORM LOAD... [--works LOAD] [--saw POINT=VOLTS] ...`."""

from pathlib import Path

import click

from circuitmap.cli.asking import all_option, platform_argument, query
from circuitmap.cli.names import part_names
from circuitmap.cli.stating import state_options


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
@state_options
@all_option
@query
def command(
    platform: Path,
    loads: tuple[str, ...],
    works: tuple[str, ...],
    saw: tuple[str, ...],
    key: str,
    switches: tuple[str, ...],
    awake: tuple[str, ...],
    feeding: tuple[str, ...],
    whole: bool,
    fitted: tuple[str, ...],
    absent: tuple[str, ...],
    as_json: bool,
) -> int:
    """Say what of PLATFORM may be interrupted where each LOAD is dead, and where to put the probe next.

    What the dead share and the working do not: fuse, wire, cavity, splice, contact, coil, control wire, output, ground.
    The state is that in which they should work; what is not said of it is looked for. LOAD@SWITCH=POS speaks of one
    position, MODULE@NETWORK or MODULE@scan of its answer; a fuse that blew is named by itself.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.dead import dead_or_blown
    from circuitmap.flows.questions import open_bench
    from circuitmap.flows.states import state_of

    bench = open_bench(platform, fitted, absent)
    state = state_of(bench, key=key, switches=switches, awake=awake, feeding=feeding)
    its = dead_or_blown(bench, state, loads, works, saw)
    if as_json:
        from circuitmap.reports.dead.dead_json import dead_json

        return answer_json(bench, platform, dead_json(bench.platform, its))
    from circuitmap.reports.dead.dead_text import dead_text

    return answer_text(bench, platform, dead_text(bench.platform, its, whole=whole))
