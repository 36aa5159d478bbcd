"""Volts at a load that should be dead: what is read there, and what beside it tells who lets it through."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform


def asked_at(platform: Platform, diagnosis: Diagnosis, load: str) -> Iterator[str]:
    """Where volts say that the output which may let some through to a load is asked for it, and does not by itself."""
    contacts = {fault.contact for fault in diagnosis.faults if fault.partly and load in fault.owners}
    outputs = (its for its in platform.outputs if its.contact in contacts)
    pins = (f"{output.module}.{pin}" for output in outputs for pin in output.inputs)
    may = tuple(dict.fromkeys(filter(diagnosis.hands_off.may_probe, pins)))
    if may:
        yield f"The same at {joined(may)}: volts there ask for it; with none it lets current through by itself."
