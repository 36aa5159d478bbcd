"""What a part's words suggest to take care of: those that say what it is; its name only where nothing else does."""

import pytest

from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.care import care_of
from circuitmap.wiring.declare import platform_of


@pytest.mark.parametrize(
    ("declared", "care"),
    [
        ('switch MAINS "main switch, momentary"', ()),
        ('switch MAINS "main switch" at "beside the solar regulator"', ("feeds-in",)),
        ("module MAINS", ("feeds-in",)),
        ('module M7 "mains charger"', ("feeds-in",)),
        ('module A3 "tail-lift controller"', ("holds-load",)),
        ("module TAIL_LIFT", ("holds-load",)),
        ('module MAINS "control unit" care feeds-in', ("feeds-in",)),
        ('motor FAN "M4"', ("starts-itself",)),
        ('lamp FAN "cab lamp"', ()),
        ('heater H2 "filter heater" at "in the diesel filter head"', ("holds-fuel", "hot")),
        ('sensor T4 "fuel temperature sensor"', ("holds-fuel",)),
        ('resistor R1 "level sender" at "fuel tank"', ("holds-fuel",)),
        ('lamp L9 "fuel gauge lamp"', ()),
        ('module M2 "diesel engine controller"', ()),
        ('fuse F7 5A mini "fuel temperature sensor"', ()),  # called after what it feeds
        ('relay K3 "fuel filter relay" make', ()),
        ('relay K4 "relay" make at "at the fuel filter"', ("holds-fuel",)),
        ('module M3 "unit" care holds-fuel', ("holds-fuel",)),
    ],
)
def test_care_of(declared: str, care: tuple[str, ...]) -> None:
    read, _ = read_text(SourceFile("a.circuit", f'platform "Marlow Linnet"\n{declared}\n'))
    name = declared.split()[1]
    assert care_of(platform_of([read]).parts[name]) == set(care)
