"""`circuitmap list PLATFORM [--sheet X]`."""

from pathlib import Path

import click

from circuitmap.cli.asking import platform_argument, query
from circuitmap.cli.names import sheet_names


@click.command("list", short_help="List what is transcribed, by kind, and the open ends.")
@platform_argument
@click.option("--sheet", default="", metavar="SHEET", shell_complete=sheet_names, help="Only this sheet.")
@click.option("--undeclared", is_flag=True, help="Only what was never declared, as lines to fill in and paste.")
@query
def command(
    platform: Path, sheet: str, undeclared: bool, fitted: tuple[str, ...], absent: tuple[str, ...], as_json: bool
) -> int:
    """List what is transcribed of PLATFORM, by kind, and the open ends.

    With --sheet: what was typed in of one sheet, with its wires, to compare with the paper.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.questions import open_bench
    from circuitmap.reports.circuit.inventory import inventory_of

    bench = open_bench(platform, fitted, absent)
    inventory = inventory_of(bench.platform, sheet, bench.fitting)
    if as_json:
        from circuitmap.reports.circuit.list_json import list_json

        return answer_json(bench, platform, list_json(inventory))
    if undeclared:
        from circuitmap.transcribing.to_declare import to_declare

        return answer_text(bench, platform, to_declare(bench.platform) or "Everything that is used is declared.\n")
    from circuitmap.reports.circuit.list_text import list_text

    return answer_text(bench, platform, list_text(inventory))
