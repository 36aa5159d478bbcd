"""A small vehicle with one fuse and one module, on which a card can say all there is to say."""

from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

_TUG = """\
platform "Baggage tug" sleep {sleep} limit 50mA
battery BAT 80Ah
box P "fuse by the battery"
fuse P.M1 60A maxi
module LOCK "door locking" supply 1 ground 2 asleep 2mA
ground G1
BAT.+ -> P.M1 -> LOCK.1
BAT.- -> G1
LOCK.2 -> G1
"""


def baggage_tug(sleep: str) -> Platform:
    """The tug, which takes this long to fall asleep, as `5min..20min`."""
    read, problems = read_text(SourceFile("tug.circuit", _TUG.format(sleep=sleep)))
    assert not [p for p in problems if p.severity.name == "ERROR"], problems
    return platform_of([read])
