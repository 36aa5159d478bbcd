"""`wakes every 60min for 90s`: read, tidied, stored, told as a difference."""

from dataclasses import replace

from circuitmap.changes.facts import facts_of
from circuitmap.notation.reading import read_text
from circuitmap.notation.tidy import tidy
from circuitmap.quantities import Band
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import Load, WakesEvery
from circuitmap.wiring.platform import Platform
from circuitmap.wiring.stored import restored, stored

TEXT = """\
module TRACK "trailer lock control" supply 1 ground 2 asleep 1mA wakes every 60min for 80s..100s run-on 20s
module OTHER
network N can members TRACK, OTHER wakes every 2h..3h for 30s
"""


def read(text: str) -> Platform:
    return platform_of([read_text(SourceFile("a.circuit", text))[0]])


def test_a_part_and_a_network_wake_by_their_clocks() -> None:
    platform = read(TEXT)
    track = platform.parts["TRACK"]
    assert isinstance(track, Load) and track.wakes == WakesEvery(Band(60, 60), Band(80 / 60, 100 / 60))
    assert platform.networks["N"].wakes == WakesEvery(Band(120, 180), Band(0.5, 0.5))
    other = platform.parts["OTHER"]
    assert isinstance(other, Load) and other.wakes is None


def test_it_survives_tidying_and_storing() -> None:
    source = SourceFile("a.circuit", TEXT.replace(" wakes", "   wakes"))
    assert tidy(source) == TEXT
    source = SourceFile("a.circuit", TEXT)
    platform = replace(platform_of([read_text(source)[0]]), sources=(source,))
    again = restored(stored(platform), platform.sources)
    assert again.parts["TRACK"] == platform.parts["TRACK"] and again.networks == platform.networks


def test_another_clock_is_a_difference() -> None:
    def said(text: str) -> set[str]:
        return {str(fact) for fact in facts_of(read(text))}

    assert said(TEXT) != said(TEXT.replace("60min", "65min"))
    assert any("every" in fact for fact in said(TEXT) - said(TEXT.replace(" wakes every 60min for 80s..100s", "")))
