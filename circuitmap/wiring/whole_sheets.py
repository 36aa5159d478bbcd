"""Sheets that were typed in as a whole: what is missing on them is not there."""

from collections.abc import Iterable

from circuitmap.wiring.platform import Platform


def is_whole(platform: Platform, sheets: Iterable[str]) -> bool:
    """Whether all of these sheets were typed in as a whole."""
    known = [platform.sheets.get(sheet) for sheet in sheets]
    return bool(known) and all(sheet is not None and sheet.whole for sheet in known)
