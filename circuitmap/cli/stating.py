"""The options by which a question says the state of the vehicle."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from circuitmap.cli.asking import Command, query
from circuitmap.cli.names import fuse_names, key_positions, network_names, part_names, switch_positions

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
    return state_options(query(in_a_state(command)))


def in_a_state(command: Callable[..., int]) -> Callable[..., int]:
    """Gives a command one `StateAsked` in the place of what the options about platform, equipment and state say."""

    def asked(platform: Path, fitted: tuple[str, ...], absent: tuple[str, ...], as_json: bool, **more: Any) -> int:
        from circuitmap.flows.questions import open_bench
        from circuitmap.flows.states import state_of

        said = {name: more.pop(name) for name in _SAYS_THE_STATE if name in more}
        bench = open_bench(platform, fitted, absent)
        return command(StateAsked(platform, bench, state_of(bench, **said), as_json), **more)

    asked.__doc__ = command.__doc__
    return asked


_SAYS_THE_STATE = ("key", "switches", "awake", "feeding", "stuck", "unplugged", "pulled", "touching")
"""What options of a state are called, here and in `state_of`."""


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
    return _with(options, command)


def meddling_options(command: Command) -> Command:
    """`--stuck`, `--unplug`, `--pull`, `--touch`: what is not as it should be, or was taken out."""
    options = (
        click.option(
            "--stuck", multiple=True, metavar="CONTACT", help="A contact or output stuck closed, such as K4.87."
        ),
        click.option(
            "--unplug",
            "unplugged",
            multiple=True,
            metavar="PART",
            shell_complete=part_names,
            help="A part, plug or connector taken off.",
        ),
        click.option(
            "--pull",
            "pulled",
            multiple=True,
            metavar="FUSE",
            shell_complete=fuse_names,
            help="A fuse or relay pulled out.",
        ),
        click.option(
            "--touch",
            "touching",
            multiple=True,
            metavar="POINT=POINT",
            help="Two points that touch, such as a chafed wire at M.4=case: what blows, and what is live then.",
        ),
    )
    return _with(options, command)


def _with(options: Sequence[Callable[[Command], Command]], command: Command) -> Command:
    """A command with these options, in this order."""
    for option in reversed(options):
        command = option(command)
    return command
