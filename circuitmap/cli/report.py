"""`circuitmap report CARD -o FILE.html|.pdf|.md`."""

from pathlib import Path

import click


@click.command("report", short_help="Write the report of a job: for the customer, then the record.")
@click.argument("card", type=click.Path(path_type=Path))
@click.option("-o", "output", required=True, type=click.Path(path_type=Path), metavar="FILE", help=".html, .pdf or .md")
def command(card: Path, output: Path) -> int:
    """Write the report of the job on CARD: one page for the customer, then the record for the technician."""
    from circuitmap.cli.printing import say
    from circuitmap.page_bench import form_of, job_report
    from circuitmap.saving import write_output

    write_output(output, job_report(card, form_of(output)))
    say(f"Wrote {output}.")
    return 0
