"""`circuitmap check PLATFORM [--strict]`."""

from pathlib import Path

import click

from circuitmap.cli.asking import json_option, platform_argument


@click.command("check", short_help="Find what is wrong, or may be, in what was typed.")
@platform_argument
@click.option("--strict", is_flag=True, help="Exit with 1 for warnings too, not only for errors.")
@json_option
def command(platform: Path, strict: bool, as_json: bool) -> int:
    """Find what is wrong, or may be, in the notation of PLATFORM: all of it in one run.

    Errors cannot be a circuit, warnings are probably slips, notes say what is not transcribed. An
    incomplete platform is normal.
    """
    from circuitmap.cli.answering import problem_counts
    from circuitmap.cli.printing import print_json, say
    from circuitmap.flows.questions import check
    from circuitmap.problems import Severity, worst
    from circuitmap.reports.problems.problems_json import problem_json
    from circuitmap.reports.problems.problems_text import problems_text

    checked = check(platform)
    if as_json:
        print_json(
            {
                "platform": checked.name,
                "problems": problem_counts(checked),
                "found": [problem_json(problem) for problem in checked.problems],
            }
        )
    else:
        say(problems_text(checked.problems) or f"Nothing to find fault with in {platform}.")
    severity = worst(checked.problems)
    fails_from = Severity.WARNING if strict else Severity.ERROR
    return int(severity is not None and severity >= fails_from)
