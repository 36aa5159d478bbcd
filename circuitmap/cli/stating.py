"""The options by which a question says the state of the vehicle."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from circuitmap.cli.asking import Command, query
from circuitmap.cli.names import key_positions, network_names, part_names, switch_positions

if TYPE_CHECKING:
    from circuitmap.flows.questions import Bench
    from circuitmap.power.state import VehicleState


class StateAsked(NamedTuple):
    """A platform in a state, as a question names both; `folder` is where it lies."""

    folder: Path
    bench: "Bench"
    state: "VehicleState"
    as_json: bool


def asks_in_a_state(command: Callable[..., int]) -> Callable[..., int]:
    """A question about PLATFORM in a state: the options for both, given to the command as one `StateAsked`."""

    def asked(
        platform: Path,
        key: str,
        switches: tuple[str, ...],
        awake: tuple[str, ...],
        feeding: tuple[str, ...],
        fitted: tuple[str, ...],
        absent: tuple[str, ...],
        as_json: bool,
        **more: Any,
    ) -> int:
        from circuitmap.flows.questions import open_bench
        from circuitmap.flows.states import state_of

        bench = open_bench(platform, fitted, absent)
        state = state_of(bench, key=key, switches=switches, awake=awake, feeding=feeding)
        return command(StateAsked(platform, bench, state, as_json), **more)

    asked.__doc__ = command.__doc__
    return state_options(query(asked))


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
