"""Cautions for the tests that are proposed. All are common practice of the trade, no source, unless a line says so."""

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
    "zero-first": "Zero the clamp just before and again after moving it, one conductor in it; a fuse is probed on both "
    "its test points.",
    "battery": "At the battery no sparks, no flames; eyes. Do not disconnect it first: that erases the fault.",
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
    at: dict[str, list[str]] = {}
    mend = diagnosis.tests.mend
    if mend and diagnosis.account is not None:
        part = platform.parts.get(mend)
        return [_CARE["write-down-first"], *(_CARE[code] for code in (cautions_for(part) if part else ())), _ALWAYS]
    for number, test in enumerate(diagnosis.tests.choices, start=1):
        for code in test.action.cautions:
            at.setdefault(code, []).append(str(number))
    sentences = [
        f"({joined(numbers)}) {_CARE[code].format(volts=platform.supply_volts)}" for code, numbers in at.items()
    ]
    return [*sentences, _ALWAYS] if sentences else []
