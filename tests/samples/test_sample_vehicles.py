"""The sample vehicles: of real scale, written with the whole notation, and free of slips."""

from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from lark import Lark, Token
from lark.lexer import PatternStr

from circuitmap.flows.questions import check, open_platform
from circuitmap.notation.folder import read_folder
from circuitmap.notation.lines import statement_texts
from circuitmap.problems import Severity
from circuitmap.wiring.parts import Battery, Box, Fuse, OpenEnd, Relay, Switch, Undeclared
from circuitmap.wiring.platform import Platform

SAMPLES = Path(__file__).parents[2] / "sample_vehicles"
VEHICLES = ("motorcycle", "motorhome", "sweeper", "truck", "van")

platform = cache(lambda name: open_platform(SAMPLES / name))


def real_wires(its: Platform) -> int:
    return sum(wire.kind == "wire" for wire in its.wires)


def statements() -> Iterator[str]:
    for name in VEHICLES:
        for source in read_folder(SAMPLES / name)[0]:
            for place in statement_texts(source):
                yield source.text[place.start : place.end]


@pytest.mark.parametrize("name", VEHICLES)
def test_check_finds_no_error_and_no_slip(name: str) -> None:
    """What is not transcribed (notes) is normal; nothing is wrong or looks wrong."""
    slips = [f"{p.span.place()} {p.headline}" for p in check(SAMPLES / name).problems if p.severity > Severity.NOTE]
    assert slips == []


@pytest.mark.parametrize("name", VEHICLES)
def test_every_name_is_declared_and_some_sheet_goes_on(name: str) -> None:
    parts = platform(name).parts.values()
    assert not [part.name for part in parts if isinstance(part, Undeclared)]
    open_ends = [part for part in parts if isinstance(part, OpenEnd)]
    assert open_ends and all(end.description for end in open_ends)


@pytest.mark.parametrize("name", VEHICLES)
def test_each_vehicle_says_what_is_wrong_with_it(name: str) -> None:
    story = (SAMPLES / name / "README.md").read_text(encoding="utf-8")
    for heading in ("## The complaint", "## What was measured", "## Finding it", "## Care"):
        assert heading in story
    assert f"sample_vehicles/{name}" in story and "invented" in story


def test_the_truck_is_of_real_scale() -> None:
    truck = platform("truck")
    boxes = [part for part in truck.parts.values() if isinstance(part, Box)]
    assert len(boxes) == 3
    assert len(truck.fuses) >= 60 and all(truck.box_of(fuse.name) for fuse in truck.fuses)
    assert len(truck.loads) >= 40
    assert len([n for n in truck.networks.values() if n.kind == "can"]) == 3
    assert [gateway.module for gateway in truck.gateways] == ["GATE"]
    assert list(truck.stars) == ["X60"]
    assert real_wires(truck) >= 300 and len(truck.sheets) >= 10 and len(truck.sources) >= 10
    assert truck.supply_volts == 24
    assert isinstance(battery := truck.parts["BAT"], Battery) and battery.series


def test_half_of_the_van_is_still_a_fuse_chart() -> None:
    van = platform("van")
    fed_by_chart = {wire.a.part for wire in van.wires if wire.kind == "chart"}
    fed_by_wire = {w.a.part for w in van.wires if w.kind == "wire" and isinstance(van.parts[w.a.part], Fuse)}
    hanging = {wire.b.part for wire in van.wires if wire.kind == "chart"}
    assert len(fed_by_chart) >= 15 and len(fed_by_wire) >= 15
    assert 0.35 <= len(hanging) / len(van.loads) <= 0.65
    assert real_wires(van) >= 120


def test_the_motorhome_has_two_batteries_and_what_joins_them() -> None:
    motorhome = platform("motorhome")
    batteries = [part.name for part in motorhome.parts.values() if isinstance(part, Battery)]
    assert {"BAT", "LEIS"} <= set(batteries)
    assert isinstance(motorhome.parts["KSPLIT"], Relay)
    key = next(part for part in motorhome.parts.values() if isinstance(part, Switch) and part.is_key)
    assert key.by == "BCU" and not key.contacts
    assert {part.kind for part in motorhome.loads} >= {"charger", "alternator"}


def test_together_they_use_every_rule_and_every_word_of_the_notation() -> None:
    grammar = (SAMPLES.parent / "grammar" / "circuitmap.lark").read_text(encoding="utf-8")
    parser = Lark(grammar, parser="lalr", start="statement", keep_all_tokens=True)
    rules: set[str] = {"statement"}
    words: set[str] = set()
    for text in statements():
        for tree in parser.parse(text).iter_subtrees():
            rules.add(str(tree.data))
            words.update(child.type for child in tree.children if isinstance(child, Token))
    assert {t.name for t in parser.terminals if isinstance(t.pattern, PatternStr)} - words == set()
    assert {str(r.origin.name) for r in parser.rules if not str(r.origin.name).startswith("_")} - rules == set()


def test_they_read_like_transcriptions() -> None:
    """Some sheets are whole, some not; wires without colour; a remark at open ends; things that not every car has."""
    for name in VEHICLES:
        its = platform(name)
        assert any(sheet.whole for sheet in its.sheets.values()) and not all(s.whole for s in its.sheets.values())
        assert any(wire.kind == "wire" and not wire.colour for wire in its.wires)
        assert its.options and any(part.condition for part in its.parts.values())
    assert any(wire.copied for wire in platform("motorhome").wires)
    assert all(wire.colour != ("ws",) for wire in platform("motorhome").wires)  # already mapped to IEC 60757
    assert {wire.colour for wire in platform("motorhome").wires} >= {("WH", "BK"), ("BK", "YE")}
