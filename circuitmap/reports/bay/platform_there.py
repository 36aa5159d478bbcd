"""A platform to be read at the car, and what to ask when a vehicle of it comes in."""

from typing import Any

from circuitmap.evidence.evidence import Evidence
from circuitmap.reports.bay.boxes import box_rows
from circuitmap.reports.pages.worksheet import Worksheet
from circuitmap.wiring.parts import Battery
from circuitmap.wiring.platform import Platform


def platform_values(platform: Platform, sheet: Worksheet) -> dict[str, Any]:
    """Its boxes with what each fuse feeds, and the questions of the intake with the equipment it may have."""
    batteries = [part for part in platform.parts.values() if isinstance(part, Battery)]
    return {
        "title": sheet.title,
        "boxes": box_rows(platform, sheet, Evidence(), {}),
        "options": [
            {"name": its.name, "says": its.description, "others": list(its.others)} for its in platform.options.values()
        ],
        "battery": "; ".join(f"{its.capacity:g}Ah" for its in batteries if its.capacity is not None),
    }
