"""Names of a platform's parts, offered by the shell while a command is typed.

A platform with problems, or none at all, offers nothing: completion never says anything by itself.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

import click
from click.shell_completion import CompletionItem

from circuitmap.failures import Failure
from circuitmap.wiring.parts import Fuse, OpenEnd, Part, Switch
from circuitmap.wiring.platform import Platform

Completer = Callable[[click.Context, click.Parameter, str], list[CompletionItem]]


def _completer(names_of: Callable[[Platform], Iterator[tuple[str, str]]]) -> Completer:
    def complete(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        folder = ctx.params.get("platform")
        if folder is None:
            return []
        from circuitmap import workbench

        try:
            platform = workbench.open_platform(Path(folder))
        except Failure:
            return []
        return _matching(names_of(platform), incomplete)

    return complete


def _matching(names: Iterator[tuple[str, str]], incomplete: str) -> list[CompletionItem]:
    """Full names that start as typed, and tails of them: `F2` offers F22 where that is the only F22."""
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


def _described(parts: Iterator[Part]) -> Iterator[tuple[str, str]]:
    return ((part.name, part.description) for part in parts if not isinstance(part, OpenEnd))


part_names = _completer(lambda platform: _described(iter(platform.parts.values())))
fuse_names = _completer(lambda platform: _described(part for part in platform.parts.values() if isinstance(part, Fuse)))
option_names = _completer(lambda platform: ((name, option.description) for name, option in platform.options.items()))
network_names = _completer(
    lambda platform: ((name, network.description) for name, network in platform.networks.items())
)
sheet_names = _completer(lambda platform: ((name, sheet.title) for name, sheet in platform.sheets.items()))
key_positions = _completer(
    lambda platform: (
        (position, "")
        for part in platform.parts.values()
        if isinstance(part, Switch) and part.is_key
        for position in part.positions
    )
)
switch_positions = _completer(
    lambda platform: (
        (f"{part.name}={position}", part.description)
        for part in platform.parts.values()
        if isinstance(part, Switch) and not part.is_key
        for position in part.positions
    )
)
