"""`circuitmap live PLATFORM [--key POS] [--set SWITCH=POS] ...`."""

from pathlib import Path

import click

from circuitmap.cli.asking import all_option, platform_argument, query
from circuitmap.cli.names import fuse_names, part_names
from circuitmap.cli.stating import state_options


@click.command("live", short_help="Say what is live and drawing; with no options: what is unswitched.")
@platform_argument
@state_options
@click.option("--stuck", multiple=True, metavar="CONTACT", help="A contact or output stuck closed, such as K4.87.")
@click.option(
    "--unplug",
    multiple=True,
    metavar="PART",
    shell_complete=part_names,
    help="A part, plug or connector taken off.",
)
@click.option("--pull", multiple=True, metavar="FUSE", shell_complete=fuse_names, help="A fuse or relay pulled out.")
@click.option(
    "--touch",
    "touching",
    multiple=True,
    metavar="POINT=POINT",
    help="Two points that touch, such as a chafed wire at M.4=case: what blows, and what is live then.",
)
@click.option(
    "--at",
    "probed",
    multiple=True,
    metavar="POINT",
    shell_complete=part_names,
    help="Only what is found at a terminal, or at all of a part's, in this state; may be repeated.",
)
@all_option
@query
def command(
    platform: Path,
    key: str,
    switches: tuple[str, ...],
    awake: tuple[str, ...],
    stuck: tuple[str, ...],
    unplug: tuple[str, ...],
    pull: tuple[str, ...],
    feeding: tuple[str, ...],
    touching: tuple[str, ...],
    probed: tuple[str, ...],
    whole: bool,
    fitted: tuple[str, ...],
    absent: tuple[str, ...],
    as_json: bool,
) -> int:
    """Say what of PLATFORM is live and drawing, and why.

    With no options the vehicle is parked, locked and asleep: what is live then is unswitched.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.questions import open_bench
    from circuitmap.flows.states import live, points_of, state_of

    bench = open_bench(platform, fitted, absent)
    state = state_of(
        bench,
        key=key,
        switches=switches,
        awake=awake,
        stuck=stuck,
        unplugged=unplug,
        pulled=pull,
        feeding=feeding,
        touching=touching,
    )
    at = points_of(bench.platform, probed)
    now = live(bench, state)
    if as_json:
        from circuitmap.reports.live.live_json import live_json

        return answer_json(bench, platform, live_json(now.powered, now.classes, now.expected, now.thrown, at))
    from circuitmap.reports.live.live_text import live_text

    return answer_text(
        bench, platform, live_text(now.powered, now.classes, now.expected, whole=whole, thrown=now.thrown, at=at)
    )
