"""`circuitmap share PLATFORM|CARD -o FILE.html`."""

from pathlib import Path

import click

from circuitmap.cli.asking import FILE, json_option, output_option


@click.command("share", short_help="Write a platform, or a job without its customer, as one page to send.")
@click.argument("what", metavar="PLATFORM|CARD", type=FILE)
@output_option("html")
@json_option
def command(what: Path, output: Path, as_json: bool) -> int:
    """Write one page that needs nothing else: open it on any phone, offline, without circuitmap.

    Of a PLATFORM: every fuse, load, network and sheet, with drawings and a search. Of a CARD: its report without the
    customer; what you called the vehicle (--vehicle) stays in it.
    """
    from circuitmap.cli.answering import wrote_file
    from circuitmap.page_bench import job_report, shared_page

    content = shared_page(what) if what.is_dir() else job_report(what, "html", private=False)
    return wrote_file(output, content, as_json)
