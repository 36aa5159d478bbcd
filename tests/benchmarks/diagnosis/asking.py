"""The tool under test, asked about a simulated vehicle: readings in, diagnosis out, and who was right."""

from dataclasses import dataclass, field, replace
from functools import cache
from random import Random
from typing import Literal

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.diagnosis.diagnosis import Diagnosis, Row
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.written_readings import written_reading
from circuitmap.notation.reading import read_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from tests.benchmarks.diagnosis.simulator import Meter, Truth, Wrong
from tests.benchmarks.diagnosis.vehicles import Vehicle, as_notation, chart_alone, made_up, with_a_slip

Shape = tuple[int, int, int, int]
"""Seed, fuses, modules, networks."""


@cache
def vehicle_of(shape: Shape) -> Vehicle:
    return made_up(*shape)


Spoilt = Literal["", "member left out", "wrong fuse", "three times", "chart alone", "feeders"]
"""What is wrong with the platform's text, or with what is read."""


@cache
def circuit_for(shape: Shape, spoilt: Spoilt = "") -> Circuit:
    vehicle = vehicle_of(shape)
    text = chart_alone(vehicle) if spoilt == "chart alone" else as_notation(vehicle)
    if spoilt in ("member left out", "wrong fuse"):
        text = with_a_slip(text, vehicle, spoilt == "wrong fuse", Random(str(shape)))
    source = SourceFile("a.circuit", text)
    notation, problems = read_text(source)
    assert not problems
    return circuit_of(platform_of([notation], [source]))


@dataclass
class Car:
    """A simulated vehicle with its meter, and what was read on it so far."""

    shape: Shape
    truth: Truth
    meter: Meter
    millivolts: bool
    random: Random
    spoilt: Spoilt = ""
    evidence: Evidence = field(default_factory=Evidence)
    shown: list[tuple[str, str]] = field(default_factory=list)
    was_spoilt: bool = False

    @property
    def circuit(self) -> Circuit:
        return circuit_for(self.shape, self.spoilt)

    def read(self, place: str, out: frozenset[str] = frozenset()) -> Reading:
        """What the meter shows at a place now, as the technician types it. The cable to a box carries what its main fuse
        does."""
        flowing = self.truth.flowing(out)
        true = flowing[place if place in flowing else f"MAIN{place.removeprefix('B')}"]
        true *= 1.08 if self.spoilt == "feeders" and place.startswith("MAIN") else 1.0
        if self.spoilt == "three times" and place != "BAT" and true > 0.05 and not self.was_spoilt:
            true, self.was_spoilt = 3.0 * true, True
        if self.millivolts and place in self.truth.resistance:
            shown = self.meter.drop(true, self.truth.resistance[place])
        else:
            shown = self.meter.amps(true)
        self.shown.append((place, shown))
        meter = meter_named(self.meter.kind, self.meter.step)
        reading = written_reading(self.circuit.platform, f"{place}={shown}", meter)
        return replace(reading, without=tuple(sorted(out)))

    def note(self, reading: Reading) -> None:
        self.evidence = self.evidence.and_also(Evidence(readings=(reading,)))

    def read_fuses(self, share: float) -> None:
        """The total, then so many of the fuses in random order."""
        self.note(self.read("BAT"))
        fuses = [fuse.name for fuse in self.truth.vehicle.fuses]
        for fuse in self.random.sample(fuses, round(share * len(fuses))):
            self.note(self.read(fuse))
        if self.spoilt == "feeders":
            for box in range(self.truth.vehicle.boxes):
                self.note(self.read(f"MAIN{box}"))

    def read_drawing_again(self) -> None:
        """A second look at every fuse that showed a current, and at the total."""
        for place in [r.place for r in self.evidence.readings if r.place == "BAT" or r.shows_current]:
            self.note(self.read(place))


def is_it(fault: Fault, wrong: Wrong) -> bool:
    """Whether a candidate of the tool is the fault that was put in. What is on no sheet nobody can name: a lamp stands
    for its switch then, a module for its input, a relay for whatever holds it in."""
    if fault.undrawn and wrong.stands:
        held_in = fault.kind == "coil" and wrong.kind == "output"
        return (fault.kind == wrong.kind or held_in) and fault.part == wrong.stands
    kind = "contact" if wrong.kind == "output" else wrong.kind
    if fault.kind != kind or fault.part != wrong.part:
        return False
    if wrong.kind == "keeps-awake":
        return fault.network == f"N{wrong.network}"
    if wrong.kind == "wrong-input":
        return fault.module == wrong.module
    return True


def is_row_of(row: Row, wrongs: tuple[Wrong, ...]) -> bool:
    """Whether the faults that were put in are among a row's members."""
    return any(
        len(member) == len(wrongs) and all(any(is_it(fault, wrong) for fault in member) for wrong in wrongs)
        for member in row.faults
    )


def place_of(diagnosis: Diagnosis, wrongs: tuple[Wrong, ...]) -> int | None:
    """The row of the truth, counted from 1; None if it is not listed."""
    return next((n for n, row in enumerate(diagnosis.rows, start=1) if is_row_of(row, wrongs)), None)
