"""What all batteries of a vehicle give together, held against what it takes by its sheets: what one gives into another
is in both, once with either sign, and no draw."""

from typing import NamedTuple

from circuitmap.diagnosis.car.at_work import NEAR
from circuitmap.diagnosis.car.parked import Parked
from circuitmap.diagnosis.seen.figures_seen import figure_of
from circuitmap.diagnosis.seen.netting import Netted
from circuitmap.diagnosis.seen.passed_places import brought_together
from circuitmap.evidence.written_names import batteries_of
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.wiring.fitting import Answer, holds


class AllBatteries(NamedTuple):
    """In A: what all batteries gave `together`, what the vehicle takes by its sheets (its `own`), asleep and with what
    was switched on, and how far the two may be `off` each other."""

    together: float
    own: float
    off: float

    @property
    def too_much(self) -> bool:
        """Whether more is given than the vehicle takes by its sheets."""
        return self.together - self.own > self.off


def all_batteries(nets: Netted, parked: Parked) -> AllBatteries | None:
    """What all batteries give; None where one of them was not read as a current, or there is only one."""
    platform, fitting = parked.platform, parked.fitting
    there = {
        name for name in batteries_of(platform)
        if name not in parked.absent and holds(platform.parts[name].condition, fitting) != Answer.NO
    }  # fmt: skip
    looks = (*nets.totals, *nets.charging)
    read = {battery_read_at(platform, its.place): its for its in looks if its.amps is not None}
    if len(there) < 2 or not there <= read.keys():
        return None
    own = sum(figure_of(its).amps for its in brought_together((parked.asleep | parked.at_work).values()))
    meters = sum(its.half_step + 2.0 * its.zero for its in read.values())
    return AllBatteries(sum(its.amps or 0.0 for its in read.values()), own, meters + NEAR * own)
