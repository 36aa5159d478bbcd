"""What is measured at a network's lines, in the trade's words. All of it is common practice, no source, but the volts
of a CAN line awake (transceiver data sheets: seen, see `evidence/network_lines.py`).
"""

from collections.abc import Sequence
from typing import Literal

from circuitmap.circuit.links import Circuit
from circuitmap.circuit.network_lines import LineResistor, resistors_on
from circuitmap.reports.words.cautions import cautions_at
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.wiring.fitting import Fitting
from circuitmap.wiring.platform import Network

LineShows = Literal["talks", "still", "shorted"]

_CAN: dict[LineShows, str] = {
    "talks": "about 2.5 V and moving, one wire a little above, the other a little below",
    "still": "it stands still, or is not the mirror image of the other wire",
    "shorted": "near 0 V, near battery volts, or both wires alike",
}
_LIN: dict[LineShows, str] = {
    "talks": "below battery volts and moving",
    "still": "it stands still",
    "shorted": "held near 0 V",
}
_OTHER: dict[LineShows, str] = {"talks": "it moves", "still": "it stands still", "shorted": "held down"}


def shown_on(network: Network, shown: LineShows) -> str:
    """What a meter shows at a line that talks, is cut off, or is held down."""
    return {"can": _CAN, "lin": _LIN}.get(network.kind, _OTHER)[shown]


def volts_of_line(network: Network) -> str:
    """What each wire of a network shows to ground."""
    name = network.name
    if network.kind == "can":
        return (
            f"{name} awake: about 2.5 V on each wire to ground at rest; while it talks one stands a little above, the "
            "other a little below, about 5 V together; asleep next to nothing (levels: data sheets; the rest common "
            "practice, no source)."
        )
    if network.kind == "lin":
        return (
            f"{name}: near battery volts at rest, less while it talks, next to nothing when it is held down or its "
            "pull-up has no supply (common practice, no source)."
        )
    return f"{name}: what its lines show differs from make to make."


def faults_of_line(network: Network) -> str:
    """What a line that is shorted shows: no load's current flows, so there is no drop to look for."""
    if network.kind != "can":
        return ""
    return (
        "Near 0 V it is shorted to ground, near battery volts to plus, both alike to each other. No load's current "
        "flows there: a bad contact shows no drop."
    )


def ohms_of_line(network: Network, resistors: Sequence[LineResistor]) -> str:
    """What is measured between the wires with everything off."""
    if network.kind != "can":
        return ""
    said = joined([f"{its.name} {its.ohms:g} ohm" if its.ohms else its.name for its in resistors])
    typed = f" Typed in on it: {said}; with nothing else there, that is what it shows." if said else ""
    return (
        "By ohms only with the battery off, in the maker's own order: about 60 ohm between the two wires, 120 where "
        f"one of the two resistors at the ends is missing or interrupted (common practice, no source).{typed}"
    )


def line_sentences(circuit: Circuit, network: Network, fitting: Fitting) -> list[str]:
    """All of the above for one network."""
    told = (
        volts_of_line(network),
        faults_of_line(network),
        ohms_of_line(network, resistors_on(circuit, network, fitting)),
    )
    return [its for its in told if its]


def one_by_one(circuit: Circuit, network: Network, members: Sequence[str]) -> str:
    """How to find who holds a line down."""
    parts = circuit.platform.parts
    touchable = [name for name in members if circuit.hands_off.may_touch(name)]
    rest = [name for name in members if name not in touchable]
    minutes = {name: its.middle if (its := parts[name].reach) is not None else _FAR for name in touchable}
    ordered = sorted(touchable, key=lambda name: minutes[name])
    told = dict.fromkeys(its.text for name in ordered for its in cautions_at(circuit.platform, "unplug", (name,)))
    left = f" {joined(rest)}: hands off." if rest else ""
    return (
        f"{' '.join(told)} If it is held down: key off, take one member of {network.name} off at a time and look "
        f"again: {shortened(ordered, 8)}. If the line comes back, that one held it; if it never does, it is a wire. "
        f"Part no plug for it that carries feeds as well.{left}"
    ).lstrip()


_FAR = 5.0
"""Minutes to a member of which nobody said it."""
