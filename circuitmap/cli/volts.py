"""`circuitmap volts PLATFORM POINT [--running LOAD] [--saw POINT=VOLTS] [--if PLACE=OHMS] ...`."""

from pathlib import Path

import click

from circuitmap.cli.asking import FILE, all_option, platform_argument
from circuitmap.cli.names import part_names
from circuitmap.cli.stating import StateAsked, asks_in_a_state


@click.command("volts", short_help="Say what a voltmeter should show at a point, and what a reading points to.")
@platform_argument
@click.argument("point", shell_complete=part_names)
@click.option(
    "--running",
    multiple=True,
    metavar="LOAD",
    shell_complete=part_names,
    help="What is switched on meanwhile, several with commas; not said: what the point feeds.",
)
@click.option(
    "--saw",
    multiple=True,
    metavar="POINT=VOLTS",
    help="What was read: SCRL.1=9.7V; BAT=12.5V at the posts; F72=9.6A. May be repeated.",
)
@click.option(
    "--if",
    "bad",
    multiple=True,
    metavar="PLACE=OHMS",
    help="Suppose a place bad: SP31=0.25ohm, G11=open. May be repeated.",
)
@click.option(
    "-o",
    "--output",
    type=FILE,
    metavar="FILE.svg|.png|.pdf",
    help="The way as a sheet: volts to expect, volts read, fields to write into.",
)
@click.option(
    "--drawing",
    type=FILE,
    metavar="FILE.svg|.png|.pdf",
    help="The wiring that the current passes, with these volts at its points.",
)
@all_option
@asks_in_a_state
def command(
    asked: StateAsked,
    point: str,
    running: tuple[str, ...],
    saw: tuple[str, ...],
    bad: tuple[str, ...],
    output: Path | None,
    drawing: Path | None,
    whole: bool,
) -> int:
    """Say what a voltmeter should show at POINT of PLATFORM while current flows, and along its way to ground.

    Nine times in ten, and at most; what a bad place would show there; and, with --saw, which place the readings point
    to. POINT is a pin, a cavity, a splice, a fuse (its outgoing side; F72.1 is its feed side).
    """
    from circuitmap.cli.answering import answer_json, answer_text, wrote
    from circuitmap.flows.volts import picture_of_way, volts_at

    bench, folder = asked.bench, asked.folder
    there = volts_at(bench, asked.state, point, running, saw, bad)
    file = output or drawing
    if file is not None:
        if output is not None and drawing is not None:
            raise click.UsageError("One file at once: the way as a sheet (-o), or the wiring (--drawing).")
        form = file.suffix.lower()[1:]
        if form not in ("svg", "png", "pdf"):
            raise click.UsageError(f"{file} does not say in which form: its name ends in .svg, .png or .pdf.")
        if drawing is not None:
            from circuitmap.flows.volts_drawn import drawing_with_volts

            return wrote(bench, folder, file, drawing_with_volts(bench, there, form), asked.as_json)
        return wrote(bench, folder, file, picture_of_way(bench, there, form), asked.as_json)
    if asked.as_json:
        from circuitmap.reports.volts.volts_json import volts_json

        return answer_json(bench, folder, volts_json(bench.platform, there))
    from circuitmap.reports.volts.volts_text import volts_text

    return answer_text(bench, folder, volts_text(bench.platform, there, whole=whole))
