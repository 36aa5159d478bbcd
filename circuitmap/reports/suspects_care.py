"""Cautions for the tests that are proposed. All are common practice of the trade, no source, unless a line says so."""

from collections.abc import Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.hands_off import cautions_for
from circuitmap.reports.paragraphs import joined
from circuitmap.wiring.platform import Platform

_CARE = {
    "write-down-first": "Write the reading down before refitting: a refit can reset it and hide it.",
    "codes-first": "Read and save codes and settings before a module is unplugged; load off before a connector is "
    "parted.",
    "secure-load": "Secure the lift, trailer or air springs before you unplug what holds them.",
    "moving-parts": "Fans, pumps and wipers may start by themselves: hands clear.",
    "siren": "A siren carries its own battery: it may sound when unplugged.",
    "other-sources": "Solar, mains hook-up or a charger may feed the car: panel off first, then the regulator's "
    "battery side; mains lead out.",
    "unfused": "That cable is not fused: ground lead off before you touch it.",
    "unfused-clamp": "That cable is not fused: only the clamp goes to it. It comes off, if at all, once the reading is "
    "written down and with the ground lead off.",
    "zero-first": "Zero the clamp just before and again after moving it, one conductor in it; a fuse is probed on both "
    "its test points.",
    "battery": "At the battery no sparks, no flames; eyes. Do not disconnect it first: that erases the fault.",
    "zero-clamp": "Zero the clamp just before and again after moving it, one conductor in it, jaws clean and closed.",
    "in-series": "Meter in series: 10 A range, never mA; make and break with a fused jumper; never crank, no big "
    "loads; 0.00 A may be the meter's own fuse.",
    "battery-alone": "At the battery no sparks, no flames; eyes; air the place. Frozen it is neither charged nor "
    "jump-started. Its leads stay on until no draw is shown: taken off they erase a fault. Then ground lead off first, "
    "on last.",
    "several-batteries": "More than one battery, solar or mains hook-up: one ground lead off does not make the car "
    "dead.",
    "running": "Engine running: brake on, out of gear, exhaust led out, hands and leads clear of belts and fans.",
    "wakes": "A scan wakes the car: wait its full time before the next reading.",
    "probe-back": "Probe the relay's socket from behind; never bridge a fuse or fit a bigger one.",
    "higher-volts": "{volts:g} V: meter and fuses must be made for it (58 V types).",
}
_ALWAYS = (
    "The maker's procedure, local rules and licensed practice come first. No restraint, pyrotechnic or orange cable "
    "parts: those are not tested this way."
)


def care_sentences(platform: Platform, diagnosis: Diagnosis) -> list[str]:
    """Each caution once, with the numbers of the choices that it belongs to."""
    mend = diagnosis.tests.mend
    if mend and diagnosis.account is not None:
        part = platform.parts.get(mend)
        return [_CARE["write-down-first"], *(_CARE[code] for code in (cautions_for(part) if part else ())), _ALWAYS]
    return numbered_care(platform, [test.action.cautions for test in diagnosis.tests.choices])


def numbered_care(platform: Platform, choices: Sequence[Sequence[str]]) -> list[str]:
    """The cautions of choices by their codes."""
    at: dict[str, list[str]] = {}
    for number, codes in enumerate(choices, start=1):
        for code in codes:
            at.setdefault(code, []).append(str(number))
    sentences = [
        f"(NEXT {joined(numbers)}) {_CARE[code].format(volts=platform.supply_volts)}" for code, numbers in at.items()
    ]
    return [*sentences, _ALWAYS] if sentences else []
