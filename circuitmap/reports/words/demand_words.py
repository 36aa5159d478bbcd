"""What must be different from the parked vehicle, in words."""

from circuitmap.circuit.demands import Demands
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.parts import Switch
from circuitmap.wiring.platform import Platform

_MOST_DEMANDS = 16


def demand_words(demands: Demands, resting: Platform | None = None) -> str:
    """What must hold for a path to conduct: `CAB.K4 is pulled in and IGN is run or start`; empty for nothing.

    With `resting`, what already holds in the parked vehicle (a switch in its first position) is left out.
    """
    outputs = [subject.name for subject in demands if subject.kind == "output"]
    words = []
    for subject, states in demands.items():
        if subject.kind == "switch":
            part = resting.parts.get(subject.name) if resting is not None else None
            if isinstance(part, Switch) and part.positions[0] in states:
                continue
        if subject.kind == "output":
            words.append(f"{subject.name} is on")
        elif subject.kind != "module":
            words.append(f"{subject.name} is {joined(sorted(states), 'or')}")
        elif not any(name.startswith(f"{subject.name}.") for name in outputs):
            words.append(f"{subject.name} is awake")
    return shortened(words, _MOST_DEMANDS)


def with_words(demands: Demands) -> str:
    """What must be different from the parked state, to stand after a verb: `with KSPLIT pulled in and LIVSW on`; empty
    for nothing."""
    outputs = [subject.name for subject in demands if subject.kind == "output"]
    words = []
    for subject, states in demands.items():
        if subject.kind == "output":
            words.append(f"{subject.name} on")
        elif subject.kind != "module":
            words.append(f"{subject.name} {joined(sorted(states), 'or')}")
        elif not any(name.startswith(f"{subject.name}.") for name in outputs):
            words.append(f"{subject.name} awake")
    return f"with {shortened(words, _MOST_DEMANDS)}" if words else ""
