"""`circuitmap report CARD -o FILE.html|.pdf|.md`."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitmap.cli.asking import FILE, json_option, output_option

if TYPE_CHECKING:
    from circuitmap.reports.pages.report import ReportNight


@click.command("report", short_help="Write the report of a job: for the customer, then the record.")
@click.argument("card", type=FILE)
@output_option("html", "pdf", "md")
@json_option
def command(card: Path, output: Path, as_json: bool) -> int:
    """Write the report of the job on CARD: one page for the customer, then the record for the technician.

    Where parts of the card could not be read the report says so beside its verdict, and the exit code is 1.
    """
    from circuitmap.cli.answering import tell_of_card, wrote_page
    from circuitmap.flows.job import open_job
    from circuitmap.flows.page import form_of, job_report
    from circuitmap.flows.photos import photos_of
    from circuitmap.jobs.job import platform_folder

    job = open_job(card)
    nights: tuple[ReportNight, ...] = ()
    if any(entry.logged for entry in job.card.entries):
        from circuitmap.flows.logged_pictures import nights_of

        nights = tuple(nights_of(card, job))
    content = job_report(job, form_of(output), tuple(photos_of(card, job.card)), nights)
    folder = platform_folder(card, job.card)
    code = wrote_page(job.platform, folder, output, content, as_json, {"card_problems": len(job.problems)})
    return tell_of_card(job.problems) or code
