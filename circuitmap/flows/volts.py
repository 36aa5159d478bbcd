"""The flow from points, loads and readings, as they are typed, to the volts to expect.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

import math
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench
from circuitmap.wiring.platform import Platform

if TYPE_CHECKING:
    from circuitmap.power.state import VehicleState
    from circuitmap.volts.answer import VoltsThere
    from circuitmap.wiring.parts import Terminal


class MeterReadings(NamedTuple):
    """What was read with a meter: volts at batteries' posts by battery, volts and amperes at points."""

    posts: "dict[str, float]"
    volts: "dict[Terminal, float]"
    amps: "dict[Terminal, float]"


def functions_named(bench: Bench, written: Iterable[str]) -> tuple[str, ...]:
    """Full names of loads, of single supply pins of loads (`E1.56b`) and of relays from tails of them, several with
    commas between; raises WrongUse for anything else."""
    from circuitmap.dead.written_told import written_function

    pieces = (piece for words in written for piece in words.split(",") if piece)
    return tuple(dict.fromkeys(written_function(bench.circuit, text).name for text in pieces))


def _own_load(bench: Bench, point: "Terminal") -> tuple[str, ...]:
    """The load that a pin belongs to, or just what hangs on that supply pin."""
    from circuitmap.power.functions import function_named

    names = (str(point), point.part)
    return next(((name,) for name in names if function_named(bench.circuit, name) is not None), ())


def readings_typed(platform: Platform, written: Iterable[str]) -> MeterReadings:
    """`SCRL.1=9.7V`, `BAT=12.5V` (at its posts), `REAR.F72=9.6A`.

    Raises WrongUse for what is no reading of these.
    """
    from circuitmap.quantities import QuantityError, read_quantity
    from circuitmap.wiring.parts import Battery
    from circuitmap.wiring.probe_points import probe_point

    found = MeterReadings({}, {}, {})
    for text in written:
        place, equals, value = text.partition("=")
        if not equals:
            raise WrongUse(f"{text} does not say what was read.", "Write it as POINT=VOLTS, such as SCRL.1=9.7V.")
        point = probe_point(platform, place)
        measures = "current" if value.endswith("A") else "voltage"
        try:
            amount = read_quantity(value.removeprefix("-"), measures) * (-1 if value.startswith("-") else 1)
        except QuantityError as wrong:
            raise WrongUse(f"{text}: {wrong}", f"Write it with its unit, such as {place}=9.7V.") from None
        if measures == "current":
            found.amps[point] = abs(amount)
        elif isinstance(platform.parts[point.part], Battery) and point.pin in ("", "+"):
            found.posts[point.part] = amount
        else:
            found.volts[point] = amount
    return found


def bad_places_typed(platform: Platform, written: Iterable[str]) -> "dict[Terminal, float]":
    """`SP31=0.25ohm`, `G11=open`: places with so many ohms more, infinite where interrupted."""
    from circuitmap.quantities import QuantityError, read_quantity
    from circuitmap.wiring.probe_points import probe_point

    found: dict[Terminal, float] = {}
    for text in written:
        place, equals, value = text.partition("=")
        if not equals:
            raise WrongUse(f"{text} does not say how bad it is.", "Write it as PLACE=0.25ohm or PLACE=open.")
        try:
            point = probe_point(platform, place)
        except WrongUse as unknown:
            if "-" not in place and ">" not in place:
                raise
            raise WrongUse(str(unknown), _NO_NAME_OF_A_WIRE) from None
        if value == "open":
            found[point] = math.inf
            continue
        try:
            found[point] = read_quantity(value, "resistance")
        except QuantityError as wrong:
            raise WrongUse(f"{text}: {wrong}", "Write it as PLACE=0.25ohm or PLACE=open.") from None
    return found


_NO_NAME_OF_A_WIRE = (
    "A wire has no name of its own: name the pin, cavity or splice at its end that the current comes to. The ohms are "
    "put into the wire by which it comes there."
)


def volts_at(
    bench: Bench,
    said: "VehicleState",
    point: str,
    running: Sequence[str] = (),
    saw: Sequence[str] = (),
    bad: Sequence[str] = (),
) -> "VoltsThere":
    """The volts to expect at a point while some loads run; where nobody said which, those that the point feeds."""
    from circuitmap.circuit.network_lines import network_at
    from circuitmap.power.state_for import state_for
    from circuitmap.volts.answer import VoltsThere
    from circuitmap.volts.expected_volts import AskedVolts, expected_volts
    from circuitmap.volts.fed_through import fed_through
    from circuitmap.volts.net import NoBattery
    from circuitmap.wiring.probe_points import probe_point

    platform = bench.platform
    at = probe_point(platform, point)
    names = functions_named(bench, running)
    readings = readings_typed(platform, saw)
    places = bad_places_typed(platform, bad)
    if not names:
        names = _own_load(bench, at)
    state = state_for(bench.circuit, said, names)
    for place in (at, *readings.volts):
        untouchable = bench.circuit.hands_off.why_not_probed(str(place))
        if untouchable is not None:
            return VoltsThere(state, place, names, None, untouchable)
    line = network_at(bench.circuit, at, bench.fitting)
    if line is not None:
        return VoltsThere(state, at, names, None, None, line)
    names = names or fed_through(state.powered, at)
    asked = AskedVolts(at, names, readings.posts, readings.volts, readings.amps, places)
    found = expected_volts(state.powered, asked)
    return VoltsThere(state, at, names, None if isinstance(found, NoBattery) else found, None)


def nothing_flows() -> WrongUse:
    """Why there is nothing to draw."""
    return WrongUse("There is nothing to draw: no current flows past this point.", "Say with --running what is on.")


def picture_of_way(bench: Bench, there: "VoltsThere", form: str) -> bytes:
    """The way with its volts as `svg`, `png` or `pdf`: a sheet to write readings into. Raises WrongUse where there is
    nothing to draw."""
    from circuitmap.drawings.volts.way_picture import ProbeRow, way_picture
    from circuitmap.reports.volts.way_words import below_the_way, title_of_way, way_rows

    its = there.expected
    if its is None or not its.way:
        if there.line is not None:
            raise WrongUse(f"{there.point} is on a line of {there.line.name}: there is no way of a current to draw.")
        raise nothing_flows()
    rows = [ProbeRow(*row) for row in way_rows(bench.platform, its)]
    picture = way_picture(title_of_way(bench.platform, there), rows, below_the_way(bench.platform, its))
    if form == "svg":
        from circuitmap.drawings.files.svg import svg_of

        return svg_of(picture).encode()
    if form == "png":
        from circuitmap.drawings.files.png import png_of

        return png_of(picture)
    from circuitmap.drawings.files.pdf import pdf_of

    return pdf_of((picture,))
