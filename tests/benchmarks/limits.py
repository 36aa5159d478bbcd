"""What every command costs on every hostile platform at the published limits: `python -m tests.benchmarks.limits`.

Writes `limits.md` beside this file: for each platform and command the seconds that the processor worked for it and for
what it started, the megabytes of the largest process, and the seconds by the clock. `--only WORDS` measures the platforms
that have these words in their name, and changes their rows alone; `--missing` those of which the page has no row yet.
`--commands WORDS` asks only these commands. `--patience SECONDS` ends a command for which the processor works longer.
"""

import argparse
import os
import re
import subprocess
import tempfile
from pathlib import Path

from tests.limits.commands import commands_for
from tests.limits.every_platform import EVERY, write
from tests.limits.hostile import Hostile, statements_in
from tests.limits.measuring import Measured, measured

PAGE = Path(__file__).with_name("limits.md")
GROUPS = {
    "check": ("check",),
    "tidy, list": ("tidy", "list"),
    "trace": ("trace ", "trace 2", "trace 3", "trace json"),
    "live": ("live", "live json", "live set"),
    "common": ("common", "common json"),
    "worksheet": ("worksheet", "worksheet pdf"),
    "share": ("share",),
    "diagram": ("diagram", "diagram fuses", "diagram sheet"),
    "diagram --all": ("diagram all",),
    "suspects": ("suspects", "suspects few"),
}
PATIENCE = 25.0
PROMISED = 10.0, 500.0
HEAD = """# What the published limits cost

Every hostile platform of `tests/limits`, each at a published limit: seconds that the processor worked for the command and
all that it started, megabytes of its largest process, in brackets the seconds by the clock; where a column stands for
several commands, the dearest of them. Promised are at most {seconds:g} s and {megabytes:g} MB on this machine when it is idle; what
takes more seconds of the processor, or more memory, is **bold**. `limit`: the command ends with exit code 4 and names the
limit; `-`: not measured. A command for which the processor worked {patience:g} s was ended there.

Measured {when}, on {cores} cores. Asked: {asked}. Written by `python -m tests.benchmarks.limits`.

"""


def row_of(hostile: Hostile, commands: str, patience: float) -> str:
    with tempfile.TemporaryDirectory(prefix="limits") as room:
        files = hostile.files(hostile.limit)
        folder = write(hostile, hostile.limit, Path(room) / "platform")
        work = Path(room) / "work"
        work.mkdir()
        found: dict[str, Measured] = {}
        for asked in commands_for(hostile, hostile.limit, folder, work):
            if not re.search(commands, asked.label):
                continue
            for file in work.iterdir():
                file.unlink()
            found[asked.label] = measured(asked.words, work, patience)
    cells = [_cell([found[label] for label in labels if label in found]) for labels in GROUPS.values()]
    return f"| {hostile.name} ({statements_in(files):,}) | {' | '.join(cells)} |"


def _cell(several: list[Measured]) -> str:
    if not several:
        return "-"
    seconds, megabytes = max(its.seconds for its in several), max(its.megabytes for its in several)
    text = f"{seconds:.1f} s {megabytes:.0f} MB ({max(its.by_the_clock for its in several):.0f})"
    codes = {its.code for its in several}
    if not codes <= {0, 1, 4}:
        return f"**{text}, code {', '.join(map(str, codes - {0, 1, 4}))}**"
    text += " limit" if 4 in codes else ""
    return text if seconds <= PROMISED[0] and megabytes <= PROMISED[1] else f"**{text}**"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", default="")
    parser.add_argument("--commands", default="")
    parser.add_argument("--missing", action="store_true")
    parser.add_argument("--patience", type=float, default=PATIENCE)
    given = parser.parse_args()
    rows: dict[str, str] = {}
    if (given.only or given.missing) and PAGE.exists():
        rows = {
            line.split("|")[1].rpartition(" (")[0].strip(): line
            for line in PAGE.read_text("utf-8").splitlines()
            if line.startswith("| ")
        }
    for hostile in EVERY:
        if re.search(given.only, hostile.name) and not (given.missing and hostile.name in rows):
            rows[hostile.name] = row_of(hostile, given.commands, given.patience)
            print(rows[hostile.name], flush=True)
            _write(rows, given.commands, given.patience)


def _write(rows: dict[str, str], commands: str, patience: float) -> None:
    """The page so far: a measurement that is stopped is gone on with by `--missing`."""
    head = [f"| platform (statements) | {' | '.join(GROUPS)} |", "|---|" + "---|" * len(GROUPS)]
    known = [rows[hostile.name] for hostile in EVERY if hostile.name in rows]
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=PAGE.parent, capture_output=True, text=True, check=False
    ).stdout.strip()  # fmt: skip
    text = HEAD.format(
        seconds=PROMISED[0], megabytes=PROMISED[1], patience=patience, when=f"at commit {commit}" if commit else "",
        cores=os.cpu_count(), asked=f"`{commands}`" if commands else "every command",
    )  # fmt: skip
    PAGE.write_text(text + "\n".join([*head, *known]) + "\n", "utf-8")


if __name__ == "__main__":
    main()
