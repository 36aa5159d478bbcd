"""`circuitmap suspects PLATFORM [PLACE=READING]...`."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from circuitmap.cli.asking import FOLDER, json_option, platform_argument
from circuitmap.cli.names import network_names, option_names, part_names, switch_positions

if TYPE_CHECKING:
    from circuitmap.diagnosis.diagnosis import Diagnosis
    from circuitmap.jobs.standing import JobStanding
    from circuitmap.problems import Problem
    from circuitmap.wiring.platform import Platform


@click.command("suspects", short_help="Rank what explains the readings, and the test to do next.")
@platform_argument
@click.argument("readings", nargs=-1, metavar="[PLACE=READING]...")
@click.option("--total", default="", metavar="AMPS", help="The battery's current, where there is one battery: 1.85A.")
@click.option(
    "--meter",
    type=click.Choice(["clamp", "low-current-clamp", "series"]),
    default="clamp",
    show_default=True,
    help="What currents were read with.",
)
@click.option("--resolution", default="", metavar="AMPS", help="The meter's last digit, if it is not its kind's: 10mA.")
@click.option("--silent", multiple=True, metavar="MODULE", shell_complete=part_names, help="Never answered, key on.")
@click.option(
    "--unsteady", multiple=True, metavar="MODULE", shell_complete=part_names, help="Came and went in scans, key on."
)
@click.option(
    "--network",
    "networks",
    multiple=True,
    metavar="NAME=STATE",
    shell_complete=network_names,
    help="awake, asleep, or the volts of a line at rest: BODY=2.5V.",
)
@click.option(
    "--unplugged",
    multiple=True,
    metavar="PART=READING",
    help="The battery's current with PART out, or gone, less, 'no change'; several at once with commas; "
    "PART@PLACE=READING read elsewhere.",
)
@click.option(
    "--relay",
    "relays",
    multiple=True,
    metavar="NAME=STATE",
    shell_complete=part_names,
    help="Volts before it was touched: held (at its coil), stuck (none, contact closed) or open.",
)
@click.option(
    "--input",
    "inputs",
    multiple=True,
    metavar="NAME=SEEN",
    shell_complete=part_names,
    help="A switch, or a module's inputs, in the live data: right or wrong.",
)
@click.option(
    "--found",
    multiple=True,
    metavar="PLACE=SIGN",
    shell_complete=part_names,
    help="Found without a meter: burning or dark, warm, smells, wet, chafed; sound: its wire was followed.",
)
@click.option("--own-battery", multiple=True, metavar="PART", shell_complete=part_names, help="Goes on by its own.")
@click.option("--looked", is_flag=True, help="Somebody looked all round and found nothing.")
@click.option(
    "--option", "options", multiple=True, metavar="NAME", shell_complete=option_names, help="Equipment that it has."
)
@click.option(
    "--without",
    "absent",
    multiple=True,
    metavar="NAME",
    shell_complete=option_names,
    help="Equipment, or a part on the sheets, that this car does not have.",
)
@click.option(
    "--set",
    "positions",
    multiple=True,
    metavar="SWITCH=POS",
    shell_complete=switch_positions,
    help="How a switch stands on this car, if not in its first position.",
)
@click.option("--fitted", multiple=True, metavar='"NAME from PLACE"', help="On no sheet, fitted to this car.")
@click.option("--card", type=FOLDER, metavar="FILE", help="A job card with the evidence in order.")
@click.option(
    "--earlier-jobs",
    "shelves",
    multiple=True,
    type=FOLDER,
    metavar="FOLDER",
    help="Closed cards below this folder count; with --card those beside it do.",
)
@click.option("--without-earlier-jobs", "alone", is_flag=True, help="Earlier jobs do not count.")
@click.option("--top", default=10, show_default=True, type=click.IntRange(1, 100), help="How many are listed.")
@click.option("--explain", "row", type=click.IntRange(1, 100), metavar="ROW", help="Only the case for explanation ROW.")
@click.option("--numbers", is_flag=True, help="The figures behind the answer, too.")
@json_option
def command(
    platform: Path,
    readings: tuple[str, ...],
    total: str,
    meter: str,
    resolution: str,
    silent: tuple[str, ...],
    unsteady: tuple[str, ...],
    networks: tuple[str, ...],
    unplugged: tuple[str, ...],
    relays: tuple[str, ...],
    inputs: tuple[str, ...],
    found: tuple[str, ...],
    own_battery: tuple[str, ...],
    looked: bool,
    options: tuple[str, ...],
    absent: tuple[str, ...],
    positions: tuple[str, ...],
    fitted: tuple[str, ...],
    card: Path | None,
    shelves: tuple[Path, ...],
    alone: bool,
    top: int,
    row: int | None,
    numbers: bool,
    as_json: bool,
) -> int:
    """Rank what explains the readings, say what speaks for it and against it, and the test to do next.

    A place is a fuse, a battery, a box (its feeder) or the cable of an alternator or starter: F22=0.46A, F22=1.6mV,
    F9=0A, BAT=1.85A, CAB=0.9A.
    What is not named was not read.
    """
    from circuitmap.cli.answering import PROBLEMS_IN_THE_TEXT, answer_json, answer_text, tell_of_card
    from circuitmap.failures import WrongUse
    from circuitmap.flows.diagnosis import (
        TypedEvidence,
        evidence_on_card,
        evidence_typed,
        experience_of,
        open_for,
        suspects,
    )
    from circuitmap.plain_files import real_path

    bench, absent_parts = open_for(platform, options, absent)
    typed = TypedEvidence(
        readings=readings, total=total, meter=meter, resolution=resolution, silent=silent, unsteady=unsteady,
        networks=networks, unplugged=unplugged, relays=relays, inputs=inputs, fitted=fitted, absent=absent_parts,
        positions=positions, looked=looked, found=found, own_battery=own_battery,
    )  # fmt: skip
    evidence = evidence_typed(bench.platform, typed)
    problems: tuple[Problem, ...] = ()
    job = since = None
    if card is not None:
        on_card, problems, job, since = evidence_on_card(bench.platform, card)
        evidence = on_card.and_also(evidence)
    beside = (real_path(card).parent,) if card is not None else ()
    experience = None if alone else experience_of(bench.platform, (*shelves, *beside), job)
    answer = suspects(bench, evidence, experience)
    if row is not None and row > len(answer.rows):
        raise WrongUse(f"There is no explanation {row}: {len(answer.rows)} are listed.")

    if as_json:
        from circuitmap.reports.problems.problems_json import problem_json
        from circuitmap.reports.suspects.suspects_json import suspects_json

        fields = suspects_json(bench.platform, answer, top)
        if card is not None:
            fields["card_problems"] = [problem_json(problem) for problem in problems]
            fields["card_stage"] = since.stage if since is not None else None
        code = answer_json(bench, platform, fields)
        return code or (PROBLEMS_IN_THE_TEXT if problems else 0)
    told = _told(bench.platform, answer, since, top, row, numbers)
    if since is not None:
        from circuitmap.reports.job.mended_text import mended_headline
        from circuitmap.reports.words.paragraphs import as_text, wrapped

        told = as_text(wrapped(mended_headline(bench.platform, since), rest="  "), [told])
    code = answer_text(bench, platform, told)
    return tell_of_card(problems) or code


def _told(
    platform: "Platform", found: "Diagnosis", since: "JobStanding | None", top: int, row: int | None, numbers: bool
) -> str:
    from circuitmap.reports.suspects.numbers import explain_text, numbers_text
    from circuitmap.reports.suspects.suspects_text import suspects_text

    if row is not None:
        return explain_text(platform, found, row)
    left_to_do: list[str] = []
    if since is not None and since.stage != "not-repaired":
        from circuitmap.reports.job.next_step import next_label, next_sentences
        from circuitmap.reports.words.paragraphs import section

        left_to_do = section(next_label(since), next_sentences(platform, since))
    told = suspects_text(platform, found, left_to_do=left_to_do)
    return f"{told}\n{numbers_text(platform, found, top)}" if numbers else told
