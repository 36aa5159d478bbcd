"""What all queries have in common on the command line: the platform, the equipment, `--json`."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from circuitmap.cli.names import fuse_names, option_names

Command = TypeVar("Command", bound=Callable[..., Any])

FILE = click.Path(path_type=Path, readable=False)
FOLDER = FILE
"""Not checked by click: reading it says in the trade's words what is wrong with a file or folder, and does not count as
wrong use of the command."""


def platform_argument(command: Command) -> Command:
    """PLATFORM: the folder with the notation of one vehicle platform."""
    return click.argument("platform", type=FOLDER)(command)


def json_option(command: Command) -> Command:
    """`--json`: the answer for programs."""
    return click.option("--json", "as_json", is_flag=True, help="The answer as JSON, with format_version.")(command)


def equipment_options(command: Command) -> Command:
    """`--option NAME`, `--without NAME`: what this car has or lacks; what is not mentioned may be there."""
    command = click.option(
        "--without",
        "absent",
        multiple=True,
        metavar="NAME",
        shell_complete=option_names,
        help="Equipment that this car does not have.",
    )(command)
    return click.option(
        "--option",
        "fitted",
        multiple=True,
        metavar="NAME",
        shell_complete=option_names,
        help="Equipment that this car has. Not said: it may have it.",
    )(command)


def quiet_option(command: Command) -> Command:
    """`--quiet FUSE`: it was read, and nothing flows."""
    return click.option(
        "--quiet",
        multiple=True,
        metavar="FUSE",
        shell_complete=fuse_names,
        help="A fuse that was read and does not draw; may be repeated.",
    )(command)


def all_option(command: Command) -> Command:
    """`--all`: nothing is left out of the text, however long it is."""
    return click.option("--all", "whole", is_flag=True, help="All of it, however long; lists are cut short else.")(
        command
    )


def query(command: Command) -> Command:
    """A question about a platform: equipment options and `--json`."""
    return equipment_options(json_option(command))


def output_option(*endings: str) -> Callable[[Command], Command]:
    """`-o FILE`: the ending of its name decides the form."""

    def check(ctx: click.Context, param: click.Parameter, value: Path) -> Path:
        if value.suffix.lower()[1:] not in endings:
            offered = ", ".join(f".{ending}" for ending in endings)
            raise click.UsageError(f"{value} does not say in which form: its name ends in one of {offered}.", ctx)
        return value

    forms = "|".join(f".{ending}" for ending in endings)
    return click.option(
        "-o",
        "--output",
        required=True,
        type=FILE,
        metavar=f"FILE{forms}",
        callback=check,
        help="The file to write; its ending says in which form.",
    )
