"""`circuitmap share PLATFORM|CARD -o FILE.html`."""

from pathlib import Path

import click

from circuitmap.cli.asking import FILE, json_option, output_option


@click.command("share", short_help="Write a platform, or a job without its customer, as one page to send.")
@click.argument("what", metavar="PLATFORM|CARD", type=FILE)
@output_option("html")
@click.option("--hide", multiple=True, metavar="WORD", help="Of a CARD: this names the customer; leave it out.")
@click.option("--keep", multiple=True, metavar="WORD", help="Of a CARD: this does not name the customer; it stays.")
@json_option
def command(what: Path, output: Path, hide: tuple[str, ...], keep: tuple[str, ...], as_json: bool) -> int:
    """Write one page that needs nothing else: open it on any phone, offline, without circuitmap.

    Of a PLATFORM: every fuse, load, network and sheet, with drawings and a search. Of a CARD: its report without the
    customer. The name is looked for in all that was written freely, in every spelling; where it may be another word,
    nothing is written until --hide or --keep says so, for one place as --keep 3.remark:may. What you called the
    vehicle (--vehicle) stays in it. A card with problems is not shared.
    """
    if what.is_dir():
        return _platform(what, output, hide, keep, as_json)
    return _job(what, output, hide, keep, as_json)


def _platform(what: Path, output: Path, hide: tuple[str, ...], keep: tuple[str, ...], as_json: bool) -> int:
    from circuitmap.cli.answering import wrote_page
    from circuitmap.failures import WrongUse
    from circuitmap.flows.page import shared_page
    from circuitmap.flows.questions import open_bench

    if hide or keep:
        raise WrongUse("A platform has no customer: --hide and --keep belong to a card.")
    bench = open_bench(what)
    return wrote_page(bench.platform, what, output, shared_page(bench), as_json)


def _job(what: Path, output: Path, hide: tuple[str, ...], keep: tuple[str, ...], as_json: bool) -> int:
    from circuitmap.cli.answering import wrote_page
    from circuitmap.failures import WrongUse
    from circuitmap.flows.job import open_job
    from circuitmap.flows.page import names_customer, shared_job
    from circuitmap.jobs.job import platform_folder
    from circuitmap.reports.job.sharing_text import hidden_lines

    job = open_job(what)
    shared = shared_job(job, hide, keep)
    if names_customer(job, output.name):
        raise WrongUse(
            f"The file's own name, {output.name}, names the customer.", "Give it another name: -o FILE.html."
        )
    more = {"hidden": [{"place": its.place, "text": its.text} for its in shared.hidden]}
    folder = platform_folder(what, job.card)
    return wrote_page(job.platform, folder, output, shared.page, as_json, more, tuple(hidden_lines(shared.hidden)))
