"""Names of a platform's parts, offered by the shell while a command is typed.

A platform with problems, or none at all, offers nothing: completion never says anything by itself.
"""

from collections.abc import Callable, Iterator
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from circuitmap.wiring.parts import Part
    from circuitmap.wiring.platform import Platform

Named = Iterator[tuple[str, str]]
"""Names, each with a description, which may be empty."""

Completer = Callable[[click.Context, click.Parameter, str], "list[CompletionItem]"]


def _completer(names_of: "Callable[[Platform], Named]") -> Completer:
    def complete(ctx: click.Context, param: click.Parameter, incomplete: str) -> "list[CompletionItem]":
        # After an option that still lacks its value, click has not yet sorted the words.
        folder = ctx.params.get("platform") or next((word for word in ctx.args if Path(word).is_dir()), None)
        if folder is None:
            return []
        from circuitmap.failures import Failure
        from circuitmap.flows import questions as workbench

        try:
            platform = workbench.open_platform(Path(folder))
        except Failure:
            return []
        return _matching(names_of(platform), incomplete)

    return complete


def _matching(names: Named, incomplete: str) -> "list[CompletionItem]":
    """Full names that start as typed, and tails that do: `F2` offers F22 where that is the only F22."""
    from click.shell_completion import CompletionItem

    known = dict(names)
    tails: dict[str, list[str]] = {}
    for name in known:
        levels = name.split(".")
        for start in range(1, len(levels)):
            tails.setdefault(".".join(levels[start:]), []).append(name)
    offered = {name: text for name, text in known.items() if name.startswith(incomplete)}
    if incomplete:
        for tail, owners in tails.items():
            if tail.startswith(incomplete) and len(owners) == 1 and tail not in known:
                offered[tail] = known[owners[0]]
    return [CompletionItem(name, help=text or None) for name, text in offered.items()]


def _described(parts: "Iterator[Part]") -> Named:
    return ((part.name, part.description) for part in parts if not part.name.startswith("?"))


def _key_positions(platform: "Platform") -> Named:
    from circuitmap.power.state import keys_of

    return ((position, "") for key in keys_of(platform) for position in key.positions)


def _switch_positions(platform: "Platform") -> Named:
    from circuitmap.wiring.parts import Switch

    return (
        (f"{part.name}={position}", part.description)
        for part in platform.parts.values()
        if isinstance(part, Switch) and not part.is_key
        for position in part.positions
    )


part_names = _completer(lambda platform: _described(iter(platform.parts.values())))
traced_names = _completer(
    lambda platform: chain(
        _described(iter(platform.parts.values())), ((n.name, n.description) for n in platform.networks.values())
    )
)
fuse_names = _completer(lambda platform: _described(iter(platform.fuses)))
option_names = _completer(lambda platform: ((o.name, o.description) for o in platform.options.values()))
network_names = _completer(lambda platform: ((n.name, n.description) for n in platform.networks.values()))
sheet_names = _completer(lambda platform: ((s.name, s.title) for s in platform.sheets.values()))
key_positions = _completer(_key_positions)
switch_positions = _completer(_switch_positions)
