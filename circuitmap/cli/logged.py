"""`circuitmap logged FILE`."""

from pathlib import Path
from typing import Any

import click

from circuitmap.cli.asking import FILE, FOLDER, json_option

TO_BE_ASKED = 2
FORMS = ("svg", "png", "pdf")


def _form(ctx: click.Context, param: click.Parameter, value: Path | None) -> Path | None:
    if value is not None and value.suffix.lower()[1:] not in FORMS:
        raise click.UsageError(f"{value} does not say in which form: its name ends in one of .svg, .png, .pdf.", ctx)
    return value


@click.command("logged", short_help="Say what a night's log of the battery's current shows.")
@click.argument("file", type=FILE)
@click.option("--column", default="", metavar="NAME", help="The column with the battery's current.")
@click.option("--unit", default="", metavar="UNIT", help="Its unit, where the file does not say it: mA.")
@click.option("--scale", default="", metavar="VOLTS/A", help="What stands for one ampere, if it is in volts: 100mV/A.")
@click.option("--distance", default="", metavar="TIME", help="How far apart the samples are, without a time: 1s.")
@click.option("--sign", type=click.Choice(["kept", "turned"]), help="Out of the battery is plus: kept; minus: turned.")
@click.option("--zero", default="", metavar="AMPS", help="Shown with nothing in the clamp: before, or before,after.")
@click.option("--battery", default="", metavar="AH", help="The battery's size, for the time to flat: 95Ah.")
@click.option("--platform", type=FOLDER, metavar="PLATFORM", help="The vehicle: whose its events may be.")
@click.option("--card", type=FILE, metavar="CARD", help="The same from a job's card, with its equipment and battery.")
@click.option("--option", "fitted", multiple=True, metavar="NAME", help="Equipment this vehicle has.")
@click.option("--without", "absent", multiple=True, metavar="NAME", help="Equipment or parts it does not have.")
@click.option("-o", "--output", type=FILE, metavar="FILE.svg|.png|.pdf", callback=_form, help="The night as a picture.")
@json_option
def command(
    file: Path,
    column: str,
    unit: str,
    scale: str,
    distance: str,
    sign: str | None,
    zero: str,
    battery: str,
    platform: Path | None,
    card: Path | None,
    fitted: tuple[str, ...],
    absent: tuple[str, ...],
    output: Path | None,
    as_json: bool,
) -> int:
    """Tell the night that the csv FILE of a recorder holds, whatever its layout: when the vehicle fell asleep and in
    which steps, its floor, what came and went and how often, what was still on, and the smallest thing it could show.

    What was taken for what is said; what the file does not say is asked, and answered by an option.
    """
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.logged import battery_of, open_log, picture_of_night, told_of, zeros_of
    from circuitmap.reports.logged.logged_json import logged_json
    from circuitmap.reports.logged.logged_text import logged_text
    from circuitmap.saving import write_output

    asks_whose = bool(platform or card or fitted or absent)
    if asks_whose:
        from circuitmap.flows.logged_whose import logged_vehicle, whose_events
        from circuitmap.reports.suspects.whose_words import whose_json, whose_sentences
    told = told_of(column, unit, scale, distance, sign or "")
    its_battery = battery_of(battery)
    said: tuple[str, ...] = ()
    whose: list[dict[str, Any]] = []
    if asks_whose:
        vehicle = logged_vehicle(platform, card, fitted, absent)
        its_battery = its_battery or vehicle.battery
    log = open_log(file, told, zeros_of(zero), its_battery)
    if asks_whose:
        events = whose_events(vehicle, log)
        said, whose = tuple(whose_sentences(vehicle.platform, events)), whose_json(events)
    if output is not None:
        write_output(output, picture_of_night(file.name, log, output.suffix.lower()[1:], said))
    if as_json:
        answer = logged_json(str(file), log.recording, log.night, log.zero, log.flat)
        print_json({**answer, "whose": whose, "picture": None if output is None else str(output)})
    else:
        say(logged_text(file.name, log.recording, log.night, log.zero, log.flat, said))
        if output is not None:
            say(f"Wrote {output}.")
    return TO_BE_ASKED if log.recording.asked else 0
