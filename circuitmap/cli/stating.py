"""The options by which a question says the state of the vehicle."""

import click

from circuitmap.cli.asking import Command
from circuitmap.cli.names import key_positions, network_names, part_names, switch_positions


def state_options(command: Command) -> Command:
    """`--key`, `--set`, `--awake`, `--feeding`: the state in which something is asked."""
    options = (
        click.option("--key", default="", metavar="POS", shell_complete=key_positions, help="Position of the key."),
        click.option(
            "--set",
            "switches",
            multiple=True,
            metavar="SWITCH=POS",
            shell_complete=switch_positions,
            help="Position of another switch; may be repeated.",
        ),
        click.option(
            "--awake",
            multiple=True,
            metavar="NETWORK",
            shell_complete=network_names,
            help="A network, or one module, that is awake; may be repeated.",
        ),
        click.option(
            "--feeding",
            multiple=True,
            metavar="PART",
            shell_complete=part_names,
            help="An alternator or charger that feeds: the engine runs, the mains are plugged in.",
        ),
    )
    for option in reversed(options):
        command = option(command)
    return command
