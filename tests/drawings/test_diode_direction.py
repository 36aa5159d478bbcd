"""A diode points from its anode, pin 1, to its cathode, pin 2, whichever of them stands above (IEC 60617)."""

import pytest

from circuitmap.drawings.inking.ink import Outline
from circuitmap.drawings.inking.symbols import symbol_of
from circuitmap.drawings.placing.layout import PlacedPart
from circuitmap.drawings.scene.scene import DrawnPart, Kind, Nature
from circuitmap.drawings.shapes.bodies import body_of
from circuitmap.drawings.shapes.lands import Land, LandSide, LineLook


@pytest.mark.parametrize(("upper", "lower"), [("1", "2"), ("2", "1")])
def test_the_point_is_at_the_cathode(upper: str, lower: str) -> None:
    diode = DrawnPart("D1", Kind.DIODE, "D1", pins=("1", "2"))
    lands = [
        Land("D1", upper, LandSide.TOP, LineLook(Nature.WIRE)),
        Land("D1", lower, LandSide.BOTTOM, LineLook(Nature.WIRE)),
    ]
    body = body_of(diode, lands, dict.fromkeys(lands, 0.0))
    triangle = next(ink for ink in symbol_of(diode, PlacedPart("D1", 0, 0, body)) if isinstance(ink, Outline))
    (_, base), _, (_, point) = triangle.points
    cathode, anode = body.lands[lands[0]][1], body.lands[lands[1]][1]
    if upper == "1":
        cathode, anode = anode, cathode
    assert abs(point - cathode) < abs(point - anode) and abs(base - anode) < abs(base - cathode)
