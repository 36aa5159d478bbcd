"""`circuitmap card new|add|strike|show`: the job card, from intake to verdict."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from circuitmap.cli.asking import FILE, FOLDER, json_option
from circuitmap.plain_files import real_path

if TYPE_CHECKING:
    from circuitmap.jobs.job import Job
    from circuitmap.problems import Problem

CARD = FILE
PROBLEMS = 1


def earlier_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """`--without-earlier-jobs`: only this car; otherwise closed cards beside and below the card count."""
    return click.option(
        "--without-earlier-jobs", "alone", is_flag=True, help="Leave out what the jobs beside this card found."
    )(command)


@click.group("card", short_help="Keep a job's card: new, add, strike, show.")
def command() -> None:
    """Keep the card of a job: one YAML file from intake to verdict.

    Entries are added at its end; a mistake is struck with a reason, never erased. Everything can also be edited by
    hand.
    """


@command.command("new", short_help="Begin a card for a vehicle that came in.")
@click.argument("platform", type=FOLDER)
@click.argument("card", type=CARD)
@click.option("--job", default="", metavar="NUMBER", help="The job's number; else the card's name.")
@click.option("--vehicle", default="", help="What to call the vehicle; it is shared, so no number plate.")
@click.option("--complaint", default="", help="What the owner says.")
@click.option("--since", default="", help="Since when.")
@click.option("--flat-after", default="", metavar="TIME", help="How long it takes to go flat: '2 days', 36h.")
@click.option("--done-before", default="", help="What was done to the vehicle just before it began.")
@click.option("--happens-when", default="", help="When it happens: cold, wet, hot, after towing.")
@click.option("--battery", default="", metavar="SIZE", help="72Ah, or 'RC 120min'.")
@click.option("--battery-type", default="", help="flooded, agm, gel or lithium.")
@click.option("--battery-age", default="", metavar="TIME", help="'7 years'.")
@click.option("--battery-volts", default="", metavar="VOLTS", help="At rest, each battery: 12.45V.")
@click.option("--temperature", default="", metavar="TEMP", help="Of the battery: -5C.")
@click.option("--odometer", default="")
@click.option("--customer", default="", help="Stays on the card; left out of everything that is shared.")
@click.option("--phone", default="")
@click.option("--option", "fitted", multiple=True, metavar="NAME", help="Equipment this vehicle has.")
@click.option("--without", "absent", multiple=True, metavar="NAME", help="Equipment or parts it does not have.")
@json_option
def new(
    platform: Path, card: Path, fitted: tuple[str, ...], absent: tuple[str, ...], as_json: bool, **intake: str
) -> int:
    """Begin CARD for a vehicle of PLATFORM, and say how to prepare it before anything is measured."""
    from circuitmap.cli.printing import say
    from circuitmap.failures import WrongUse
    from circuitmap.flows.job import job_from
    from circuitmap.flows.questions import open_platform
    from circuitmap.jobs.card_writing import new_card
    from circuitmap.jobs.equipment import known_equipment
    from circuitmap.reports.job.intake_text import preparation_text, still_to_ask
    from circuitmap.saving import save

    if card.exists():
        raise WrongUse(f"There is a card {card} already.", f"circuitmap card show {card} shows it.")
    where = os.path.relpath(real_path(platform), real_path(card).parent)
    said = {key.replace("_", "-"): value for key, value in intake.items()}
    said["job"] = said["job"] or card.stem
    fields = [("platform", Path(where).as_posix()), *((key, value) for key, value in said.items() if value)]
    lists = [(key, names) for key, names in (("fitted", fitted), ("absent", absent)) if names]
    text = new_card([*fields, *lists])
    opened = open_platform(platform)
    known_equipment(opened, fitted, absent)
    job = job_from(opened, text, card.name)
    if job.problems:
        return _broken(job.problems)
    save(card, text.encode("utf-8"), based_on=None)
    if as_json:
        from circuitmap.cli.printing import print_json

        print_json({"file": str(card)})
    else:
        say("\n".join([f"{card} is begun.", "", *still_to_ask(said), *preparation_text(job.platform)]))
    return _ending(card, job, as_json)


@command.command("add", short_help="Add an entry: one short line, such as F22=0.46A.")
@click.argument("card", type=CARD)
@click.argument("line", nargs=-1, required=True)
@click.option("--at", default="", metavar="TIME", help="10:50, or '2026-11-24 10:50'; else now.")
@click.option("--meter", default="", metavar="KIND", help="clamp, low-current-clamp or series; holds from here on.")
@click.option("--resolution", default="", metavar="STEP", help="The meter's display step, such as 10mA.")
@click.option("--steady", is_flag=True, help="The current was steady: asleep, whatever the clock says.")
@earlier_option
@json_option
def add(
    card: Path, line: tuple[str, ...], at: str, meter: str, resolution: str, steady: bool, alone: bool, as_json: bool
) -> int:
    """Add one entry to CARD and say what it changes (card show: the whole answer).

    \b
    LINE is one of:
      F22=0.46A F14=draws; total 1.85A
      CAB mV: all 0.0 except F22 0.6 F14 1.0, not read F30; total 0.62
      locked | opened | key on | key off | door opened | door shut | zeroed
      out HEATER; BAT=0.05A      back HEATER              back all
      out F22: gone | less | no change (no figure)        back F22: again
      network CHASSIS 2.5V BODY asleep                    scan silent HEATER unsteady SUSP
      relay REAR.K3 held         input DOORD wrong HOOD right        looked
      dead SCRL SCRR             works MIRL               (M12@S14=4: in that position)
      probe F72.1 12.3V F72.2 0.02V (while they are switched on, the black lead on the battery's minus)
      volts HEATER.A5 0.0V       (to ground: a pin, fuse, rail, splice, cavity)
      found DOME burning, X20 wet (or warm, smells, chafed; sound: followed, nothing wrong)
      battery rest 12.45V charging 14.2V test fine
      option TOW                 without ALARM            set LIVSW on
      fitted COOLER from F22 6mA (on no sheet; what it takes standing by, if its papers say)
      own-battery SIREN          in-slot FC4 10A mini (the fuse in it, where the sheets do not say, or say another)
      turned BUNKSW off (and left so)
      codes U0140 back BCM       log floor 0.05A peak 1.2A mean 0.31A every 10min for 60min
      logged night.csv           (a recorder's file beside the card; zero 0A,0.01A, unit mA .. behind it)
      F22=0.31A; event           F22=0A; floor            (read while what comes and goes was up, or down)
      tested HEATER inputs fine outputs fine feed 0.08V ground 0.03V
      cause X20.8, rubbed through; kind chafed
      remark ... | claim ... | photo ... | to-mend ... | until-then ... | mended ...
    """
    from circuitmap.cli.printing import complain
    from circuitmap.flows.job import add_to_card

    added = add_to_card(card, " ".join(line), at=at, meter=meter, resolution=resolution, steady=steady)
    for remark in added.understood:
        complain(remark)
    if as_json:
        return _show_standing(card, added.job, alone, as_json)
    from circuitmap.cli.printing import say
    from circuitmap.flows.job import NextSteps, next_steps
    from circuitmap.reports.job.job_text import added_text

    steps = next_steps(added.job, () if alone else (real_path(card).parent,)) if added.measured else NextSteps([])
    say("\n".join(added_text(added.before, added.job, added.measured, steps.lines, steps.maker)))
    photo = next((e.photo for e in added.job.card.entries[-1:] if e.photo is not None), None)
    if photo is not None and not os.path.isfile(card.parent / photo.value):
        say(f"There is no file {photo.value} beside the card yet; the entry is kept.")
    return _ending(card, added.job, as_json)


@command.command("strike", short_help="Strike an entry that is wrong, with a reason.")
@click.argument("card", type=CARD)
@click.argument("number", type=int)
@click.argument("reason")
@earlier_option
@json_option
def strike(card: Path, number: int, reason: str, alone: bool, as_json: bool) -> int:
    """Strike entry NUMBER of CARD (see: card show) for a REASON. It stays on the card and no longer counts."""
    from circuitmap.flows.job import strike_on_card

    return _show_standing(card, strike_on_card(card, number, reason), alone, as_json)


@command.command("show", short_help="Show the card, the verdict so far, and what to do next.")
@click.argument("card", type=CARD)
@earlier_option
@json_option
def show(card: Path, alone: bool, as_json: bool) -> int:
    """Show CARD: the verdict so far, the intake, every entry with its number."""
    from circuitmap.cli.printing import say
    from circuitmap.flows.job import open_job
    from circuitmap.reports.job.card_text import card_text

    job = open_job(card)
    code = _show_standing(card, job, alone, as_json)
    if not as_json:
        say("\n".join(["", *card_text(job.card)]))
    return code


def _show_standing(card: Path, job: "Job", alone: bool, as_json: bool) -> int:
    from circuitmap.cli.answering import problem_counts
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.job import next_steps
    from circuitmap.reports.job.job_json import job_json
    from circuitmap.reports.job.job_text import job_text

    if as_json:
        print_json({**job_json(job), "problems": problem_counts(job.platform)})
    else:
        folders = () if alone else (real_path(card).parent,)
        steps = next_steps(job, folders)
        say("\n".join(job_text(job, steps.lines, steps.maker)))
    return _ending(card, job, as_json)


def _ending(card: Path, job: "Job", as_json: bool) -> int:
    """Say what could not be read of the card and, if so, that the platform's text has errors."""
    from circuitmap.cli.answering import problems_code
    from circuitmap.jobs.job import platform_folder

    code = _broken(job.problems) if job.problems else 0
    return problems_code(job.platform, platform_folder(card, job.card), as_json=as_json) or code


def _broken(problems: "tuple[Problem, ...]") -> int:
    from circuitmap.cli.printing import complain
    from circuitmap.reports.problems.problems_text import told_of_card

    complain(told_of_card(problems))
    return PROBLEMS
