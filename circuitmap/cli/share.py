"""`circuitmap share PLATFORM|CARD -o FILE.html`."""

from pathlib import Path

import click


@click.command("share", short_help="Write a platform, or a job without its customer, as one page to send.")
@click.argument("what", metavar="PLATFORM|CARD", type=click.Path(path_type=Path))
@click.option("-o", "output", required=True, type=click.Path(path_type=Path), metavar="FILE", help="An .html file.")
def command(what: Path, output: Path) -> int:
    """Write one page that needs nothing else: open it on any phone, offline, without circuitmap.

    Of a PLATFORM: every fuse, load, network and sheet, with drawings and a search. Of a CARD: its report without the
    customer.
    """
    from circuitmap.cli.printing import say
    from circuitmap.failures import WrongUse
    from circuitmap.page_bench import form_of, job_report, shared_page
    from circuitmap.saving import write_output

    if form_of(output) != "html":
        raise WrongUse("A shared page is an .html file.")
    content = shared_page(what) if what.is_dir() else job_report(what, "html", private=False)
    write_output(output, content)
    say(f"Wrote {output}, {len(content) // 1024 + 1} KB.")
    return 0
