"""The program: its commands, imported one at a time, and the one place where failures become messages."""

import gc
import os
import sys
from importlib import import_module
from typing import NamedTuple, NoReturn

import click

from circuitmap import __version__
from circuitmap.cli.ending import end_of
from circuitmap.cli.printing import hold_standard_numbers


class CommandEntry(NamedTuple):
    """A command as `--help` lists it, and the module that has it as `command`."""

    name: str
    module: str
    short_help: str


COMMANDS = (
    CommandEntry("check", "check", "Find what is wrong, or may be, in what was typed."),
    CommandEntry("tidy", "tidy", "Lay out notation files evenly, meaning and comments kept."),
    CommandEntry("transcribe", "transcribe", "Type in a platform with few keys: lines, tables, sisters."),
    CommandEntry("watch", "watch", "Say at each save what is wrong now, and draw the sheet."),
    CommandEntry("language-server", "language_server", "Answer an editor that speaks the language server protocol."),
    CommandEntry("explain", "explain", "Explain a problem by its code, with a bad and a good example."),
    CommandEntry("list", "list_parts", "List what is transcribed, by kind, and the open ends."),
    CommandEntry("trace", "trace", "Follow a part to the battery, to ground, and to all it feeds."),
    CommandEntry("common", "common", "Say what the fuses that draw have in common."),
    CommandEntry("live", "live", "Say what is live and drawing; with no options: what is unswitched."),
    CommandEntry("dead", "dead", "Say why these loads do not work, and where to put the probe next."),
    CommandEntry("volts", "volts", "Say what a voltmeter should show at a point, and what a reading points to."),
    CommandEntry("suspects", "suspects", "Rank what explains the readings, and the test to do next."),
    CommandEntry("logged", "logged", "Say what a night's log of the battery's current shows."),
    CommandEntry("worksheet", "worksheet", "Write the list of fuses, or of probes, to carry to the car."),
    CommandEntry("diagram", "diagram", "Draw the part of the wiring that joins the named parts."),
    CommandEntry("card", "card", "Keep a job's card: new, add, strike, show."),
    CommandEntry("bay", "bay", "Serve the shop's jobs as a page for the phones at the car."),
    CommandEntry("report", "report", "Write the report of a job: for the customer, then the record."),
    CommandEntry("share", "share", "Write a platform, or a job without its customer, as one page to send."),
    CommandEntry("library", "library", "List the platforms and jobs under a folder, or find them."),
    CommandEntry("diff", "diff", "Say what changed between two states of a platform."),
    CommandEntry("merge", "merge", "Merge two people's changes to one notation file (for git)."),
)


class LazyCommands(click.Group):
    """A group that knows its commands by name and imports one only when it is run."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [entry.name for entry in COMMANDS]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        for entry in COMMANDS:
            if entry.name == cmd_name:
                command = import_module(f"circuitmap.cli.{entry.module}").command
                assert isinstance(command, click.Command)
                return command
        return None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Like click, but for an unknown word the nearest command is suggested."""
        word = args[0]
        if word.startswith("-") or word in self.list_commands(ctx):
            return super().resolve_command(ctx, args)
        from difflib import get_close_matches

        near = get_close_matches(word.lower(), self.list_commands(ctx), n=1)
        did_you_mean = f" Did you mean {near[0]}?" if near else ""
        raise click.UsageError(f"There is no command {word!r}.{did_you_mean}", ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(entry.name, entry.short_help) for entry in COMMANDS])


@click.group(
    cls=LazyCommands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="PLATFORM is a folder of .circuit files. Exit codes: 0 answered, 1 problems in the text, "
    "2 wrong use, 3 cannot read or write, 4 a limit was hit, 70 our own bug.",
)
@click.version_option(__version__, prog_name="circuitmap", message="%(prog)s %(version)s")
def program() -> None:
    """From a transcribed wiring diagram to the part that flattens the battery.

    Every query takes --json, and any unique tail of a name will do: F22 for CAB.F22.
    """


def collect_seldom() -> None:
    """Collect cyclic garbage rarely: a command makes many values that live until it ends, and next to no cycles.

    With the usual thresholds the collector walks over all of them again and again: with a platform of 10,000 wires that
    takes a third of the time, and the share grows with the platform.
    """
    gc.set_threshold(500_000, 50, 100)


def add_up_in_one_thread() -> None:
    """Keep numpy, if a command loads it, from starting a thread for each processor: its tables here are small, and the
    threads take longer to start than all the sums. A number set by the user is respected."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def run() -> NoReturn:
    """Run the program with the words of the command line and leave with its exit code."""
    hold_standard_numbers()
    collect_seldom()
    add_up_in_one_thread()
    code = end_of(program, sys.argv[1:])
    # What is left needs no last search for cycles: its memory ends with the process.
    gc.freeze()
    sys.exit(code)
