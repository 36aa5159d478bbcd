"""Which battery stands before what was found to draw."""

from circuitmap.diagnosis.car.places import PlaceTree
from circuitmap.diagnosis.seen.netting import Netted


def battery_before(nets: Netted, tree: PlaceTree) -> str:
    """The battery to clamp where no total was read: the one behind which most was found; empty without a battery."""
    parts = tree.parked.platform.parts
    found = {name: 0.0 for name in sorted(parts) if parts[name].kind == "battery"}
    for place, reading in nets.readings.items():
        for name in found.keys() & set(tree.above(place)):
            if reading.amps is not None and reading.shows_current:
                found[name] += reading.amps
    return max(found, key=lambda name: found[name], default="")
