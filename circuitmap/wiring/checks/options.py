"""Equipment that is declared and makes no difference, and wires that no vehicle has."""

from collections.abc import Iterator

from circuitmap.failures import WrongUse
from circuitmap.problems import Problem, Related, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.fitting import with_alternatives
from circuitmap.wiring.parts import Condition
from circuitmap.wiring.platform import Platform


def options_never_used(platform: Platform) -> Iterator[Problem]:
    unused = [option for name, option in platform.options.items() if name not in platform.doubted]
    unused = [option for option in unused if option.name not in platform.used_options]
    if unused:
        names, them = listed(option.name for option in unused), "it" if len(unused) == 1 else "them"
        yield Problem(
            "option-unused",
            Severity.NOTE,
            f"Nothing depends on the equipment option {names}."
            if len(unused) == 1
            else f"Nothing depends on the equipment options {names}.",
            min(option.span for option in unused),
            advice=f"Write if {unused[0].name} behind what only vehicles with {them} have.",
        )


def wires_in_no_vehicle(platform: Platform) -> Iterator[Problem]:
    """Wires that come with other equipment than the part that they lead to."""
    known: dict[tuple[Condition, Condition], bool] = {}
    for wire in platform.wires:
        for name in dict.fromkeys((wire.a.part, wire.b.part)) if wire.condition and wire.kind == "wire" else ():
            part = platform.parts[name]
            if not part.condition or name in platform.doubted:
                continue
            pair = wire.condition, part.condition
            if pair not in known:
                # What holds in no vehicle by itself is told as that.
                never = any(not _can_be_together(platform, its, ()) for its in pair)
                known[pair] = never or _can_be_together(platform, *pair)
            if not known[pair]:
                yield Problem(
                    "wire-in-no-vehicle",
                    Severity.WARNING,
                    f"{name} is only in vehicles that do not have this wire: it is there {_said(part.condition)}, the "
                    f"wire {_said(wire.condition)}.",
                    wire.spans[0],
                    related=(Related(part.span, f"{name} is declared here"),),
                )
                break


def _can_be_together(platform: Platform, one: Condition, other: Condition) -> bool:
    fitting: dict[str, bool] = {}
    for need in (*one, *other):
        if fitting.setdefault(need.option, need.fitted) != need.fitted:
            return False
    try:
        with_alternatives(platform, fitting)
    except WrongUse:
        return False
    return True


def _said(condition: Condition) -> str:
    return " and ".join(f"{'with' if need.fitted else 'without'} {need.option}" for need in condition)
