"""The part that each fault is told with, where nobody could look for the one and not for the other."""

from collections.abc import Sequence

from circuitmap.diagnosis.faults.fault import Fault


def told_as(faults: Sequence[Fault]) -> list[str]:
    """The name of a part for each fault: an unknown current at a place is told with something there on no sheet."""
    on_no_sheet: dict[str, str] = {}
    for fault in faults:
        if fault.kind == "added" and fault.about == fault.place:
            on_no_sheet.setdefault(fault.place, fault.part)
    return [
        on_no_sheet.get(fault.place, fault.part) if fault.kind == "none-of-these" else fault.part for fault in faults
    ]
