"""What the steps that are foretold take over from the weighing: readings, and pairs with a row of their own."""

from collections.abc import Mapping
from typing import NamedTuple

from circuitmap.diagnosis.next_test.expectations import Expectations
from circuitmap.diagnosis.seen.observed import Observation
from circuitmap.diagnosis.weighing.tables import Table


class Reread(NamedTuple):
    """One current reading as it was weighed, and the chance of getting it by a misreading alone."""

    table: Table[Observation]
    misread: float


class JointFaults(NamedTuple):
    """Pairs of faults that together bring other things than each apart: what they bring, and for each pair (as two
    fault numbers) its index among these, and the row by which it was weighed."""

    expectations: Expectations
    pairs: Mapping[frozenset[int], int]
    rows: Mapping[frozenset[int], int]
