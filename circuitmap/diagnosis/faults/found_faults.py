"""The faults of one car: found in its circuit, or kept from the last time that somebody asked about the same car."""

import json
from collections.abc import Hashable

from circuitmap.cache import Drawer, DrawerOf
from circuitmap.diagnosis.car.parked import MOST_WORK, Parked
from circuitmap.diagnosis.faults.stored_faults import CannotStore, FoundFaults, restored, stored

_ROOMS = ("car", "faults", "seen", "weighing")
KEPT_FROM = 100_000
"""Faults are worth keeping if finding them cost this many units of work (judgement: a tenth of a second)."""
MOST_KEPT = 40
"""Cars of which the faults are kept: platforms, and on each of them equipment and what was looked at."""
FOUND_BY = ("", "wiring", "circuit", "power", "evidence", "diagnosis", *(f"diagnosis/{its}" for its in _ROOMS))
"""The folders of the program that have a part in finding them."""


def found_faults(parked: Parked, added: tuple[tuple[str, str], ...], car: tuple[Hashable, ...]) -> FoundFaults:
    """All faults that a car may have; `car` is all that tells it from others of its platform."""
    drawer = parked.platform.derived(DrawerOf).drawer
    which = repr(_in_order(car))
    kept = _kept(drawer, which) if drawer is not None else None
    if kept is not None:
        parked.effort.left = kept.work_left
        parked.left_out = dict.fromkeys(kept.left_out)
        return kept
    from circuitmap.diagnosis.faults.candidates import faults_of  # most of this folder, for what was not kept
    from circuitmap.diagnosis.faults.joint import joint_faults

    faults = faults_of(parked, added)
    joint, together = joint_faults(parked, faults)
    found = FoundFaults(faults, joint, together, tuple(parked.left_out), parked.effort.left)
    if drawer is not None and MOST_WORK - parked.effort.left >= KEPT_FROM:
        _keep(drawer, which, found)
    return found


def _in_order(value: Hashable) -> Hashable:
    """The same value, with what has no order in one that is always the same."""
    if isinstance(value, frozenset):
        return ("any order", *sorted((_in_order(one) for one in value), key=repr))
    return tuple(_in_order(one) for one in value) if isinstance(value, tuple) else value


def _kept(drawer: Drawer, which: str) -> FoundFaults | None:
    body = drawer.kept("faults", which, FOUND_BY)
    try:
        return restored(json.loads(body)) if body is not None else None
    except (ValueError, TypeError, KeyError, IndexError, AttributeError, RecursionError):
        return None


def _keep(drawer: Drawer, which: str, found: FoundFaults) -> None:
    try:
        body = json.dumps(stored(found), separators=(",", ":")).encode("ascii")
    except (CannotStore, ValueError, RecursionError):
        return
    drawer.keep("faults", which, FOUND_BY, body, MOST_KEPT)
