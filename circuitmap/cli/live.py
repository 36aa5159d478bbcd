"""`circuitmap live PLATFORM [--key POS] [--set SWITCH=POS] ...`."""

import click

from circuitmap.cli.asking import all_option, platform_argument, query
from circuitmap.cli.names import part_names
from circuitmap.cli.stating import StateAsked, in_a_state, meddling_options, state_options


@click.command("live", short_help="Say what is live and drawing; with no options: what is unswitched.")
@platform_argument
@state_options
@meddling_options
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
@in_a_state
def command(asked: StateAsked, probed: tuple[str, ...], whole: bool) -> int:
    """Say what of PLATFORM is live and drawing, and why.

    With no options the vehicle is parked, locked and asleep: what is live then is unswitched.
    """
    from circuitmap.cli.answering import answer_json, answer_text
    from circuitmap.flows.states import live, points_of

    bench, folder = asked.bench, asked.folder
    at = points_of(bench.platform, probed)
    now = live(bench, asked.state)
    if asked.as_json:
        from circuitmap.reports.live.live_json import live_json

        return answer_json(bench, folder, live_json(now.powered, now.classes, now.expected, now.thrown, at))
    from circuitmap.reports.live.live_text import live_text

    return answer_text(
        bench, folder, live_text(now.powered, now.classes, now.expected, whole=whole, thrown=now.thrown, at=at)
    )
