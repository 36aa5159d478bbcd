"""`circuitmap diagram PLATFORM [PART...] -o FILE`."""

from pathlib import Path

import click

from circuitmap.cli.asking import output_option, platform_argument, query, quiet_option
from circuitmap.cli.names import fuse_names, part_names, sheet_names


@click.command("diagram", short_help="Draw the part of the wiring that joins the named parts.")
@platform_argument
@click.argument("parts", nargs=-1, metavar="[PART|PLACE=READING]...", shell_complete=part_names)
@click.option(
    "--drawing",
    multiple=True,
    metavar="FUSE",
    shell_complete=fuse_names,
    help="A fuse that draws; may be repeated.",
)
@quiet_option
@click.option(
    "--unread",
    multiple=True,
    metavar="FUSE",
    shell_complete=fuse_names,
    help="A fuse that was not read; may be repeated.",
)
@click.option(
    "--suspect",
    multiple=True,
    metavar="PART",
    shell_complete=part_names,
    help="A part under suspicion; may be repeated.",
)
@click.option("--sheet", default="", metavar="SHEET", shell_complete=sheet_names, help="One sheet, as it was typed.")
@click.option("--all", "everything", is_flag=True, help="All of it, in one picture, however large.")
@output_option("svg", "png", "pdf", "dot")
@query
def command(
    platform: Path,
    parts: tuple[str, ...],
    drawing: tuple[str, ...],
    quiet: tuple[str, ...],
    unread: tuple[str, ...],
    suspect: tuple[str, ...],
    sheet: str,
    everything: bool,
    output: Path,
    fitted: tuple[str, ...],
    absent: tuple[str, ...],
    as_json: bool,
) -> int:
    """Draw the part of the wiring of PLATFORM that joins the named PARTs, from supply to ground.

    --drawing and --quiet mark fuses that were read. With readings (F22=0.46A, F40=0.0mV) they are
    marked by what they show, and so is what the readings point to. --sheet draws one sheet as it was
    typed, to compare with the paper. More than 40 parts are folded to stubs, unless --all; --all
    and no name draws the whole vehicle.
    """
    from circuitmap.cli.answering import wrote
    from circuitmap.flows.drawing import DrawingAsked, diagram, drawing_process
    from circuitmap.flows.questions import open_bench

    form = output.suffix[1:].lower()
    readings = tuple(word for word in parts if "=" in word)
    names = tuple(word for word in parts if "=" not in word)
    if not (parts or drawing or quiet or unread or suspect or sheet or everything):
        raise click.UsageError(
            "Nothing to draw: name a part, a fuse that draws (--drawing), or a sheet (--sheet); or --all of it."
        )
    asked = DrawingAsked(names, drawing, quiet, unread, suspect, readings, sheet, everything)
    with drawing_process(form) as process:
        bench = open_bench(platform, fitted, absent)
        drawn = diagram(bench, asked, form, process)
    more = {
        "title": drawn.title,
        "parts": list(drawn.parts),
        "sheets": list(drawn.sheets),
        "marks": {mark: list(names) for mark, names in drawn.marks._asdict().items()},
        "notes": list(drawn.notes),
    }
    remarks = "".join(f"\n{note}" for note in drawn.notes)
    return wrote(bench, platform, output, drawn.content, as_json, more, remarks)
