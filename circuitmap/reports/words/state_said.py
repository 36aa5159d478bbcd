"""The state of the vehicle that an answer holds for, and what of it nobody said, in a few words."""

from typing import Any

from circuitmap.power.state import VehicleState
from circuitmap.power.state_for import FurtherChange, StateFor
from circuitmap.reports.words.paragraphs import joined


def changes_words(changes: tuple[FurtherChange, ...]) -> str:
    """`the key at run and LSW at high`; empty where there are none."""
    return joined([_change(its) for its in changes])


def _change(change: FurtherChange) -> str:
    if change.what == "key":
        return f"the key at {change.to}"
    if change.what == "feeding":
        return f"{change.to} feeding"
    return "all networks awake" if change.what == "awake" else f"{change.what} at {change.to}"


def state_said(state: VehicleState) -> str:
    """`key run, LSW high, BODY awake`, `parked`."""
    words = [f"key {state.key}"] if state.key else []
    words += [f"{switch} {position}" for switch, position in state.switches.items()]
    if len(state.awake) > 3:
        words.append("all networks awake")
    else:
        words += [f"{name} awake" for name in sorted(state.awake)]
    words += [f"{name} feeding" for name in sorted(state.feeding)]
    words += [f"{name} off" for name in sorted((*state.unplugged, *state.pulled))]
    return ", ".join(words) or "parked"


def state_json(state: VehicleState) -> dict[str, Any]:
    """The same as data."""
    return {
        "key": state.key or None,
        "switches": [{"switch": switch, "to": position} for switch, position in state.switches.items()],
        "awake": sorted(state.awake),
    }


def state_sentences(found: StateFor) -> list[str]:
    """What was changed that nobody said, and what runs in no state that was tried."""
    told = []
    if found.changes:
        told.append(f"Taken with {changes_words(found.changes)}: as it was said, they would not run.")
    if found.lacking:
        more = " Not all states were tried (cut off)." if found.cut_off else ""
        told.append(f"{joined(found.lacking)}: by what is typed in, in no state that was tried does it run.{more}")
    return told
