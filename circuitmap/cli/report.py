"""`circuitmap report CARD -o FILE.html|.pdf|.md`."""

from pathlib import Path

import click

from circuitmap.cli.asking import FILE, json_option, output_option


@click.command("report", short_help="Write the report of a job: for the customer, then the record.")
@click.argument("card", type=FILE)
@output_option("html", "pdf", "md")
@json_option
def command(card: Path, output: Path, as_json: bool) -> int:
    """Write the report of the job on CARD: one page for the customer, then the record for the technician."""
    from circuitmap.cli.answering import wrote_file
    from circuitmap.page_bench import form_of, job_report

    return wrote_file(output, job_report(card, form_of(output)), as_json)
