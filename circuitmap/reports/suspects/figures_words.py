"""What behind a fuse takes just what was read there, where the answer does not say so already."""

from collections.abc import Iterator, Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.faults.fault import Fault
from circuitmap.diagnosis.seen.figures_that_fit import FigureFits, FigureTaken
from circuitmap.reports.suspects.amounts import ampere
from circuitmap.reports.suspects.fault_words import where_to_look
from circuitmap.reports.suspects.leading import row_of_answer
from circuitmap.reports.words.paragraphs import joined
from circuitmap.wiring.platform import Platform

EXPLAINED = 0.15
"""An answer explains a reading if what it brings there is off by no more than this share (judgement)."""


def figures_told(diagnosis: Diagnosis) -> list[FigureFits]:
    """Those that the answer does not explain, because it brings something else to that place, or nothing that is typed
    in; and those that leave something out that hangs on the same contact."""
    row = row_of_answer(diagnosis)
    faults = row.faults[0] if row is not None else ()
    told = []
    for fits in diagnosis.fits:
        flows = [flow for fault in faults for flow in fault.brings if fits.place in flow.way.places]
        at_socket = any(flow.owner in fits.sockets for flow in flows)
        unknown = any(fault.place == fits.place and fault.has("its-place") for fault in faults)
        if fits.sockets and not (at_socket or unknown):
            continue  # what takes the current there is known by its name
        owners = {flow.owner for flow in flows if not flow.assumed}
        explained = abs(sum(flow.mean for flow in flows) - fits.amps) <= EXPLAINED * fits.amps
        if fits.sockets or fits.not_with or not (explained and owners.issuperset(its.part for its in fits.takers)):
            told.append(fits)
    return told


def figures_sentences(diagnosis: Diagnosis) -> Iterator[str]:
    """`C.FC3 (0.15 A): the coil of C.K7 takes that, as typed in.`"""
    for fits in figures_told(diagnosis):
        if fits.sockets:
            at = joined(fits.sockets, "or")
            yield f"{fits.place} ({ampere(fits.amps)}): what is plugged in at {at} may take that; unplug it first."
            continue
        alone = len(fits.takers) == 1
        words = f"{fits.place} ({ampere(fits.amps)}): {joined(_names(fits.takers))} take{'s' if alone else ''} that"
        words += ", as typed in" if alone else " together, as typed in"
        if fits.not_with:
            whole = sum(its.amps.middle for its in (*fits.takers, *fits.not_with))
            where = (
                "its contact" if fits.takers[0].taken == "coil" and not fits.takers[0].behind else "the same contact"
            )
            words += f"; with {joined(_names(fits.not_with))}, on {where}, it would be {ampere(whole)}"
        guessed = _coils_guessed(diagnosis, fits)
        if guessed:
            words += f"; the answer has it for {joined(guessed)}, and what that takes is on no sheet"
        yield f"{words}."


def left_sentences(diagnosis: Diagnosis) -> Iterator[str]:
    """`About 0.09 A of M1 is left for F3, which is not read here: VCM awake takes 0.11 A, as typed in.`"""
    for its in diagnosis.left_for_one:
        words = f"About {ampere(its.amps)} of {its.feeder} is left for {its.place}, which is not read here"
        each = [f"{name} takes {ampere(its_own.amps.middle)}" for name, its_own in _by_name(its.takers)]
        if each:
            yield f"{words}: {joined(each, 'or')}, as typed in."
        else:
            yield f"{words}, or hides where nothing showed."


def _by_name(takers: Sequence[FigureTaken]) -> Iterator[tuple[str, FigureTaken]]:
    return zip(_names(takers), takers, strict=True)


def _coils_guessed(diagnosis: Diagnosis, fits: FigureFits) -> list[str]:
    """The coils by which the answer explains a place where another's printed figure is met, and of which nothing is
    printed."""
    row = row_of_answer(diagnosis)
    flows = [flow for fault in (row.faults[0] if row is not None else ()) for flow in fault.brings]
    its = [flow for flow in flows if fits.place in flow.way.places and flow.holds_a_relay and flow.assumed]
    others = {taker.part for taker in fits.takers}
    return [f"the coil of {owner}" for owner in dict.fromkeys(flow.owner for flow in its) if owner not in others]


def plugged_in(diagnosis: Diagnosis, fault: Fault) -> str:
    """`what is plugged in at X30 or X32; else `: where nobody knows what takes a current, and sockets hang there."""
    at = next((its.sockets for its in diagnosis.fits if its.sockets and its.place == fault.place), ())
    return f"what is plugged in at {joined(at, 'or')}; else " if at and fault.has("its-place") else ""


def place_to_begin(platform: Platform, diagnosis: Diagnosis, fault: Fault) -> str:
    """Where to look first: what is plugged in, before what nobody knows; a switch that nobody looked at may as well be
    the wire from it."""
    wire = ", or its wire" if fault.or_its_wire else ""
    return f"{plugged_in(diagnosis, fault)}{where_to_look(platform, fault)}{wire}"


def _names(takers: Sequence[FigureTaken]) -> list[str]:
    form = {"coil": "the coil of {}", "awake": "{} awake", "running": "{} running"}
    return [form[its.taken].format(its.part) for its in takers]
