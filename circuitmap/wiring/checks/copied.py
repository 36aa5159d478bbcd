"""What was copied from a sister platform or a table, and nobody has checked against the sheet yet."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.source import Span
from circuitmap.wiring.platform import Platform


def not_checked(platform: Platform) -> Iterator[Problem]:
    """One note for each origin: how much of it is left to check, and where that begins."""
    found: dict[str, dict[str, int]] = {}
    first: dict[str, Span] = {}
    for kind, copied, span in _copied(platform):
        kinds = found.setdefault(copied, {})
        kinds[kind] = kinds.get(kind, 0) + 1
        first[copied] = min(first.get(copied, span), span)
    for copied, kinds in sorted(found.items()):
        said = [f"{count} {kind}{'' if count == 1 else 's'}" for kind, count in kinds.items()]
        several = f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else said[0]
        are = "is" if sum(kinds.values()) == 1 else "are"
        yield Problem(
            "not-checked",
            Severity.NOTE,
            f"{several} {are} copied from {copied}, not yet checked against the sheet.",
            first[copied],
        )


def _copied(platform: Platform) -> Iterator[tuple[str, str, Span]]:
    for part in platform.parts.values():
        if part.copied:
            yield "part", part.copied, part.span
    for wire in platform.wires:
        if wire.copied and wire.spans:
            yield "wire" if wire.kind == "wire" else "feed", wire.copied, min(wire.spans)
    for network in platform.networks.values():
        if network.copied and network.declared is not None:
            yield "network", network.copied, network.declared
