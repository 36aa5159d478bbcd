"""What to take care of where a fuse too many may feed a bar backwards: what hangs there is live with the key off."""

from collections.abc import Iterable

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.words.cautions import Told, cautions_at
from circuitmap.wiring.platform import Platform

WORTH_A_CAUTION = 0.05
"""From this probability on it is told (judgement)."""


def backwards_cautions(platform: Platform, diagnosis: Diagnosis, touched: Iterable[str]) -> tuple[Told, ...]:
    """At a step that touches what such a fuse feeds, or what its current passes."""
    likely = (part for part in diagnosis.parts if part.probability >= WORTH_A_CAUTION)
    faults = [fault for part in likely for fault in part.faults if fault.kind == "extra-fuse"]
    live = {fault.part for fault in faults}.union(*(fault.others for fault in faults))
    live = live.union(*(fault.owners | fault.fed_past for fault in faults))
    live = live.union(*(flow.way.through for fault in faults for flow in fault.brings))
    return cautions_at(platform, "fed-backwards") if live.intersection(touched) else ()
