"""Exactly one switch is the key."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform


def no_key(platform: Platform) -> Iterator[Problem]:
    if not platform.wires or "key" in platform.doubted or _keys(platform):
        return
    yield Problem(
        "no-key",
        Severity.NOTE,
        "No key is typed in, so nothing can be told of key positions.",
        platform.declared or platform.wires[0].spans[0],
        advice="key IGN positions off, acc, run, start; for a push button add by and the module that reads it.",
    )


def two_keys(platform: Platform) -> Iterator[Problem]:
    keys = sorted(_keys(platform), key=lambda key: key.span)
    for key in keys[1:]:
        yield Problem(
            "two-keys",
            Severity.ERROR,
            f"{key.name} is a second key: a vehicle has one, the other is a switch.",
            key.span,
            related=(Related(keys[0].span, "the first key"),),
        )


def _keys(platform: Platform) -> list[Switch]:
    return [part for part in platform.parts.values() if isinstance(part, Switch) and part.is_key]
