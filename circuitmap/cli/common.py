"""`circuitmap common PLATFORM FUSE... [--quiet FUSE]...`."""

from pathlib import Path

import click

from circuitmap.cli.asking import all_option, platform_argument, query, quiet_option
from circuitmap.cli.names import fuse_names


@click.command("common", short_help="Say what the fuses that draw have in common.")
@platform_argument
@click.argument("fuses", nargs=-1, required=True, metavar="FUSE...", shell_complete=fuse_names)
@quiet_option
@all_option
@query
def command(
    platform: Path,
    fuses: tuple[str, ...],
    quiet: tuple[str, ...],
    whole: bool,
    fitted: tuple[str, ...],
    absent: tuple[str, ...],
    as_json: bool,
) -> int:
    """Say what the fuses that draw have in common: loads, splices, supply, contacts, grounds, networks.

    Name the FUSEs that draw; --quiet names those that were read and do not: they speak against what
    would make them draw too.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.questions import in_common, open_bench

    bench = open_bench(platform, fitted, absent)
    shared = in_common(bench, fuses, quiet)
    if as_json:
        from circuitmap.reports.circuit.common_json import common_json

        return answer_json(bench, platform, common_json(bench.platform, shared, bench.circuit.hands_off))
    from circuitmap.reports.circuit.common_text import common_text

    text = common_text(bench.platform, shared, whole=whole, hands_off=bench.circuit.hands_off)
    return answer_text(bench, platform, text)
