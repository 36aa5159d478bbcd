"""The first lines: the vehicle, its total, and what should flow by the sheets."""

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.seen.netting import accounts_of
from circuitmap.diagnosis.seen.should_flow import Share, ShouldFlow, share_of
from circuitmap.reports.suspects.amounts import ampere, total_is_fine
from circuitmap.reports.suspects.count import several_batteries
from circuitmap.reports.suspects.leading import is_open, row_of_answer
from circuitmap.reports.words.paragraphs import joined, section, shortened, wrapped
from circuitmap.wiring.platform import Platform

MOST_NAMED = 6
"""Parts that are told by name."""


def head_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    return wrapped(_total(platform, diagnosis), rest=" ", width=width)


def should_flow_lines(diagnosis: Diagnosis, width: int) -> list[str]:
    """What the sheets print for all asleep, and whose figures are just what flows beyond that."""
    told = [its for its in diagnosis.should_flow if its.awake or its.by_added or len(its.of) > len(its.assumed)]
    several = len(diagnosis.should_flow) > 1
    return section(
        "BY SHEETS", [_sentence(its, several) + _share(leading_share(diagnosis, its)) for its in told], width
    )


def leading_share(diagnosis: Diagnosis, its: ShouldFlow) -> Share | None:
    """What the answer takes of what is too much there, where that is clearly less than all of it; nothing while there
    is no answer."""
    row = row_of_answer(diagnosis)
    if row is None or is_open(diagnosis) or diagnosis.tried:
        return None
    return share_of(its, row.faults[0], diagnosis.netted, diagnosis.faults)


def _share(its: Share | None) -> str:
    if its is None:
        return ""
    takes = "takes" if len(its.parts) == 1 else "take"
    words = (
        f" {shortened(its.parts, MOST_NAMED)} {takes} {_milliamps(its.amps)} of that; {_milliamps(its.left)} is left"
    )
    if its.others:
        words += f", which is what {', or '.join(joined(sorted(one)) for one in its.others)} would take"
    return f"{words}."


def _total(platform: Platform, diagnosis: Diagnosis) -> str:
    account = diagnosis.account
    fine = total_is_fine(diagnosis)
    read = f"total {ampere(account.total, fine)}" if account is not None else "total not read"
    if account is not None and several_batteries(diagnosis):
        each = [f"{place} {ampere(one.total, fine)}" for place, one in accounts_of(diagnosis.netted).items()]
        takes = [f"{r.place} takes in {ampere(abs(r.amps or 0.0), fine)}" for r in diagnosis.netted.charging]
        accounts = accounts_of(diagnosis.netted).items()
        takes += [f"{place} takes in {ampere(-one.total, fine)}" for place, one in accounts if one.total < 0.0]
        gives = [f"{place} gives {ampere(one.total, fine)}" for place, one in accounts if one.total >= 0.0]
        read = joined([*gives, *takes]) if takes else f"{read}: {joined(each)}"
    return f"{platform.name or 'This car'}.  {read[0].upper()}{read[1:]} ({platform.supply_volts:g} V)"


def _sentence(its: ShouldFlow, several: bool) -> str:
    at = f"{its.place}: " if several else ""
    printed = f"{at}{_milliamps(its.printed - its.by_added)} are the sheets' own for all asleep"
    if its.by_added > 0.0:
        printed += f", {_milliamps(its.by_added)} what was added takes standing by"
    if its.added:
        printed += f" (not said: {shortened(its.added, MOST_NAMED)})"
    beside = ""
    if its.running is not None:
        parts = shortened(its.running.parts, MOST_NAMED)
        if its.running.counted:
            printed += f", with {parts} running, as switched on"
        else:
            beside = f" Switched on, {parts} may run besides ({_milliamps(its.running.amps)})."
    if its.grounded:
        printed += f" (assumed grounded: {shortened(its.grounded, MOST_NAMED)})"
    if its.assumed:
        printed += f" (not printed: {shortened(its.assumed, MOST_NAMED)})"
    if its.running is not None and its.running.counted and its.too_many < -its.error:
        return f"{printed}; less flows here."
    if its.too_many < 0.002:
        return f"{printed}; that is what flows.{beside}"
    more = f"{printed}; {_milliamps(its.too_many)} too many."
    if its.too_many < its.error:
        more = f"{more[:-1]}, and the meter can be off {_milliamps(its.error)}."
    if not its.awake:
        return more + beside
    sets = [joined(sorted(one)) for one in its.awake]
    return f"{more} That is what {', or '.join(sets)} would take, awake or running.{beside}"


def _milliamps(amps: float) -> str:
    return f"{amps * 1000.0:.0f} mA" if amps < 1.0 else ampere(amps)
