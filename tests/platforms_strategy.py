"""Random vehicles for property tests: made up as notation, sheet by sheet, and read like any other.

`writings()` gives the text as a value, so that a test can move files and statements about; `platforms()` gives what is
read from it. Nothing in them is an error; some things are normally left untranscribed.
"""

from dataclasses import dataclass, field
from random import Random
from typing import NamedTuple

from hypothesis import strategies as st

from circuitmap.notation.reading import read_text
from circuitmap.problems import Problem
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform

COLOURS = ("RD", "BK", "BN", "YE/BK", "GN", "OG/BK", "GY/WH", "BU")
SIZES = ("0.5mm2", "0.75mm2", "1mm2", "1.5mm2", "2.5mm2", "4mm2", "18awg")
KEPT_IN_ORDER = ("fuse", "link", "breaker", "bar")
"""Statements whose order means something: the order of the slots in a box."""


class WrittenSheet(NamedTuple):
    """`heading` is empty for what stands above the first sheet of a file."""

    heading: str
    statements: tuple[str, ...]


class WrittenFile(NamedTuple):
    name: str
    sheets: tuple[WrittenSheet, ...]

    @property
    def text(self) -> str:
        lines = [line for sheet in self.sheets for line in (sheet.heading, *sheet.statements) if line]
        return "".join(f"{line}\n" for line in lines)


Writing = tuple[WrittenFile, ...]


def read(writing: Writing) -> Platform:
    """The platform in these files, in the order in which they are given."""
    sources = [SourceFile(file.name, file.text) for file in writing]
    notations, unread = [], list[Problem]()
    for source in sources:
        notation, problems = read_text(source)
        notations.append(notation)
        unread += problems
    return platform_of(notations, sources, unread)


def writings(largest: int = 4) -> st.SearchStrategy[Writing]:
    """Vehicles of about 8 to 12 parts for each step of `largest`."""
    return st.builds(_made_up, st.randoms(use_true_random=False), st.integers(1, largest))


def platforms(largest: int = 4) -> st.SearchStrategy[Platform]:
    return writings(largest).map(read)


@st.composite
def moved_about(draw: st.DrawFn, largest: int = 3) -> tuple[Writing, Writing]:
    """A writing, and the same with its files, and the statements of each sheet, in another order. Only fuses and what
    hangs on one bar keep their order: it is that of the box."""
    writing = draw(writings(largest))
    random = draw(st.randoms(use_true_random=False))
    files = [file._replace(sheets=tuple(_shuffled(random, sheet) for sheet in file.sheets)) for file in writing]
    random.shuffle(files)
    return writing, tuple(files)


def _shuffled(random: Random, sheet: WrittenSheet) -> WrittenSheet:
    shuffled = list(sheet.statements)
    random.shuffle(shuffled)
    kept = iter([line for line in sheet.statements if line.split()[0] in KEPT_IN_ORDER])
    return sheet._replace(
        statements=tuple(next(kept) if line.split()[0] in KEPT_IN_ORDER else line for line in shuffled)
    )


@dataclass
class _Vehicle:
    """A vehicle while it is made up: points from which current may come, and points to which it may go."""

    random: Random
    head: list[str] = field(default_factory=list)
    sheets: list[list[str]] = field(default_factory=list)
    feeds: list[str] = field(default_factory=list)
    grounds: list[str] = field(default_factory=list)
    cavities: int = 0
    splices: int = 0

    def one_in(self, count: int) -> bool:
        return self.random.randrange(count) == 0

    def draw(self, chain: str) -> None:
        """A wire on some sheet, with a look or without, sometimes on a second one."""
        look = ""
        if not self.one_in(4):
            look = f" : {self.random.choice(COLOURS)}"
            look += f" {self.random.choice(SIZES)}" if self.one_in(2) else ""
        when = self.random.choice((" if TOW", " if not TOW", " if HEAT")) if self.one_in(9) else ""
        sheet = self.random.randrange(len(self.sheets))
        self.sheets[sheet].append(chain + look + when)
        if self.one_in(6) and sheet + 1 < len(self.sheets):
            ends = chain.split(" -> ")
            again = " -> ".join(reversed(ends)) if self.one_in(2) and "?" not in chain else chain
            self.sheets[self.random.randrange(sheet + 1, len(self.sheets))].append(again + when)

    def feed(self, pin: str) -> None:
        if not self.one_in(12):
            start = self.random.choice(self.feeds)
            self.draw(f"{start}{self.through(self.feeds)} -> {pin}")

    def ground(self, pin: str) -> None:
        if not self.one_in(12):
            end = self.random.choice(self.grounds)
            self.draw(f"{pin}{self.through(self.grounds)} -> {end}")

    def through(self, side: list[str]) -> str:
        """Adds nothing, a cavity, a splice with a branch, or both; other wires of the same `side` may join the
        splice."""
        way = ""
        if self.one_in(3):
            self.cavities += 1
            way += f" -> X{1 + self.cavities // 6}.{self.cavities}"
        if self.one_in(4):
            self.splices += 1
            way += f" -> SP{self.splices}"
            if self.one_in(2):
                self.draw(f"SP{self.splices} -> ?")
            else:
                side.append(f"SP{self.splices}")
        return way


def _made_up(random: Random, steps: int) -> Writing:
    vehicle = _Vehicle(random)
    vehicle.sheets = [[] for _ in range(random.randint(1, 1 + steps))]
    _power(vehicle)
    for number in range(1, 2 * steps + 2):
        _fuse(vehicle, number)
    _key(vehicle)
    for number in range(1, steps + 1):
        random.choice((_relay, _switch))(vehicle, number)
        _module(vehicle, number)
    for number in range(1, 2 * steps + 1):
        _small_load(vehicle, number)
    _networks(vehicle, steps)
    return _in_files(vehicle)


def _power(vehicle: _Vehicle) -> None:
    body = "wired" if vehicle.one_in(5) else "body"
    vehicle.head += [
        f'platform "Made up" supply 12V return {body} sleep 20min limit 50mA',
        'option TOW "towing socket"',
        "option HEAT",
        "naming SP* splice, X* connector, G* ground",
        "battery BAT 72Ah",
        'box CAB "cab" reach 2min',
        "bar CAB.B1",
    ]
    vehicle.grounds += ["G1", "G2", "case"]
    vehicle.feeds += ["CAB.B1"]
    vehicle.draw("BAT.- -> G1")
    if vehicle.one_in(2):
        vehicle.head.append("fuse CAB.F0 150A bolted")
        vehicle.draw("BAT.+ -> CAB.F0 -> CAB.B1")
    else:
        vehicle.draw("BAT.+ -> CAB.B1")
    if vehicle.one_in(3):
        vehicle.head.append("battery AUX 95Ah" + vehicle.random.choice((" series", " if HEAT", "")))
        vehicle.draw("AUX.- -> G2")
        vehicle.feeds.append("AUX.+")


def _fuse(vehicle: _Vehicle, number: int) -> None:
    name = f"CAB.F{number}"
    kind = vehicle.random.choice(("fuse", "fuse", "fuse", "breaker", "link"))
    vehicle.head.append(f"{kind} {name} {vehicle.random.choice((5, 10, 20, 30))}A")
    if vehicle.one_in(2):
        vehicle.head.append(f"bar CAB.B1 feeds {name}")
    else:
        vehicle.feed(name)
    vehicle.feeds.append(name)
    if vehicle.one_in(8):
        vehicle.head.append(f"stated {name} {vehicle.random.choice(('always', 'in run'))}")


def _key(vehicle: _Vehicle) -> None:
    vehicle.head.append("key IGN positions off, acc, run closes 30 to 15 in run closes 30 to 75 in acc, run")
    vehicle.feed("IGN.30")
    vehicle.feeds += ["IGN.15", "IGN.75"]


def _relay(vehicle: _Vehicle, number: int) -> None:
    form = vehicle.random.choice(("make", "make", "break", "changeover"))
    name = f"CAB.K{number}"
    vehicle.head.append(f"relay {name} {form}" + (" if TOW" if vehicle.one_in(6) else ""))
    vehicle.feed(f"{name}.86")
    vehicle.ground(f"{name}.85")
    vehicle.feed(f"{name}.30")
    vehicle.feeds += {"make": [f"{name}.87"], "break": [f"{name}.87a"]}.get(form, [f"{name}.87", f"{name}.87a"])


def _switch(vehicle: _Vehicle, number: int) -> None:
    name = f"S{number}"
    if vehicle.one_in(2):
        vehicle.head.append(f"switch {name} positions shut, open closes 1 to case in open")
        vehicle.grounds.append(f"{name}.1")
        return
    vehicle.head.append(f"switch {name} positions off, on closes 1 to 2 in {vehicle.random.choice(('on', 'off'))}")
    vehicle.feed(f"{name}.1")
    vehicle.feeds.append(f"{name}.2")


def _module(vehicle: _Vehicle, number: int) -> None:
    name, random = f"M{number}", vehicle.random
    roles = " supply A.1, A.2 ground A.3" if not vehicle.one_in(4) else ""
    wake = " wake B.1" if vehicle.one_in(3) else ""
    vehicle.head.append(f"module {name}{roles}{wake} asleep 2mA" + random.choice(("", " awake 200mA..400mA")))
    vehicle.feed(f"{name}.A.1")
    if vehicle.one_in(2):
        vehicle.feed(f"{name}.A.2")
    vehicle.ground(f"{name}.A.3")
    if wake:
        vehicle.feed(f"{name}.B.1")
    if vehicle.one_in(2):
        when = random.choice((" while awake", " in run", "", " always"))
        action = random.choice(("feeds", "grounds"))
        vehicle.head.append(f"output {name}.C.1 {action}{when}")
        (vehicle.feeds if action == "feeds" else vehicle.grounds).append(f"{name}.C.1")


def _small_load(vehicle: _Vehicle, number: int) -> None:
    name = f"L{number}"
    kind = vehicle.random.choice(("lamp", "motor", "heater", "solenoid", "horn", "sensor", "socket"))
    vehicle.head.append(f"{kind} {name} running 800mA")
    if vehicle.one_in(5):
        vehicle.head.append(f"CAB.F1 feeds {name}")
    bare = vehicle.one_in(2)
    vehicle.feed(name if bare else f"{name}.1")
    vehicle.ground(name if bare else f"{name}.2")


def _networks(vehicle: _Vehicle, modules: int) -> None:
    if modules < 2:
        return
    members = [f"M{number}" for number in range(1, modules + 1)]
    cut = vehicle.random.randint(1, modules - 1)
    vehicle.head.append(f"network BODY can members {', '.join(members[: cut + 1])}")
    vehicle.head.append(f"network DRIVE can members {', '.join(members[cut:])}")
    if vehicle.one_in(2):
        passes = vehicle.random.choice(("", " passes BODY to DRIVE", " passes nothing"))
        vehicle.head.append(f"gateway M{cut + 1} joins BODY, DRIVE{passes}")
    if vehicle.one_in(2):
        vehicle.head.append(f"star X90 on BODY leg {members[0]} leg {members[cut]}")


def _in_files(vehicle: _Vehicle) -> Writing:
    """One file with what is declared; the sheets are in that file and in a second one."""
    sheets = [
        WrittenSheet(f'sheet "{number}"' + (" whole" if vehicle.one_in(3) else ""), tuple(lines))
        for number, lines in enumerate(vehicle.sheets, 1)
    ]
    cut = vehicle.random.randint(0, len(sheets))
    first = WrittenFile("a.circuit", (WrittenSheet("", tuple(vehicle.head)), *sheets[:cut]))
    return (first, WrittenFile("b.circuit", tuple(sheets[cut:]))) if cut < len(sheets) else (first,)
