"""What was used and never declared, as lines of the notation to be filled in and pasted."""

from typing import NamedTuple

from circuitmap.wiring.parts import FIRST, SECOND, Undeclared
from circuitmap.wiring.platform import Platform

_BEGINNINGS = (("SP", "splice"), ("X", "connector"), ("G", "ground"), ("F", "fuse"), ("K", "relay"))
"""How names begin on most sheets (common practice, no source); a guess, which the line says."""
_MORE = {"relay": " make"}


class MissingDeclaration(NamedTuple):
    """A name that is used and not declared: the likeliest line, and what the wires tell of it."""

    name: str
    line: str
    about: str


def to_declare(platform: Platform) -> str:
    """One line for each name: the likeliest kind, and behind `#` what the wires tell of it. Empty where nothing is
    missing."""
    rows = missing_declarations(platform)
    width = max((len(row.line) for row in rows), default=0)
    return "".join(f"{row.line:{width}}  # {row.about}\n" for row in rows)


def missing_declarations(platform: Platform, sheet: str | None = None) -> list[MissingDeclaration]:
    """The names that are used and not declared, in the order of the text; only those of one sheet if it is given."""
    return [
        _missing(platform, part)
        for part in platform.parts.values()
        if isinstance(part, Undeclared) and (sheet is None or sheet in _sheets(platform, part))
    ]


def _sheets(platform: Platform, part: Undeclared) -> list[str]:
    return sorted({sheet for wire in platform.wires_at.get(part.name, ()) for sheet in wire.sheets})


def _missing(platform: Platform, part: Undeclared) -> MissingDeclaration:
    wires = platform.wires_at.get(part.name, ())
    pins = sorted({end.pin for wire in wires for end in (wire.a, wire.b) if end.part == part.name and end.pin})
    sheets = _sheets(platform, part)
    told = not set(pins) <= {FIRST, SECOND}  # a wire to the name alone ends at one side or the other
    kind = _kind(part.name, told)
    about = [f"pins {', '.join(pins)}"] if told else []
    about += [f"{len(wires)} wire{'' if len(wires) == 1 else 's'}"] if wires else ["in no wire"]
    about += [f"sheet {', '.join(sheets)}"] if sheets else []
    about += [f"on {', '.join(networks)}"] if (networks := platform.networks_of.get(part.name, ())) else []
    about += ["what is it?"] if kind in ("load", "module") else []
    return MissingDeclaration(part.name, f"{kind} {part.name}{_MORE.get(kind, '')}", "; ".join(about))


def _kind(name: str, has_pins: bool) -> str:
    last = name.rpartition(".")[2]
    for begins, kind in _BEGINNINGS:
        if (
            last.startswith(begins)
            and last[len(begins) :][:1].isdigit()
            and (has_pins == (kind in ("connector", "relay")))
        ):
            return kind
    return "module" if has_pins else "load"
