"""`circuitmap tidy PLATFORM [--check]`."""

from pathlib import Path

import click

from circuitmap.cli.asking import json_option, platform_argument


@click.command("tidy", short_help="Lay out notation files evenly, meaning and comments kept.")
@platform_argument
@click.option("--check", "only_check", is_flag=True, help="Change nothing; exit with 1 if a file would change.")
@json_option
def command(platform: Path, only_check: bool, as_json: bool) -> int:
    """Lay out the notation files of PLATFORM evenly, in place: spaces, indents, comments below each other.

    Meaning, order and comments stay. A line that cannot be read stays as it is.
    """
    from circuitmap.cli.printing import complain, print_json, say
    from circuitmap.notation.tidy_folder import tidied
    from circuitmap.reports.problems.problems_text import counted, problem_text

    done = tidied(platform, write=not only_check)
    if as_json:
        print_json({"changed": list(done.changed), "files": done.files, "written": not only_check})
    elif done.changed:
        verb = "would be tidied" if only_check else "tidied"
        say("\n".join(f"{name}: {verb}" for name in done.changed))
    else:
        say(f"{done.files} file{'' if done.files == 1 else 's'}, tidy.")
    if done.problems and not as_json:
        for problem in done.problems:
            complain(problem_text(problem))
        complain(counted(done.problems))
    return int(bool(done.problems) or (only_check and bool(done.changed)))
