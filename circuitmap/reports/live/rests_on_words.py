"""What the answer of `live` rests on that is not known, as sentences."""

from collections.abc import Iterable, Mapping

from circuitmap.power.classes import LoadClass
from circuitmap.power.evaluate import LoadPower
from circuitmap.reports.words.unknown_words import live_sentences
from circuitmap.wiring.parts import Fuse, Switch
from circuitmap.wiring.platform import Platform


def not_known(platform: Platform, classes: Mapping[str, LoadClass], loads: Iterable[LoadPower]) -> list[str]:
    keys = [part for part in platform.parts.values() if isinstance(part, Switch) and part.is_key]
    sentences = [] if keys else ["No ignition switch is typed in."]
    sentences += live_sentences(platform, ((its.name, classes[its.name].unknown) for its in loads))
    fuses = [part for part in platform.parts.values() if isinstance(part, Fuse)]
    if not fuses:
        sentences.append("No fuse is typed in.")
    return sentences
