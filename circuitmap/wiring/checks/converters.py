"""Converters whose volts stand in their words only."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.converter_words import volts_in_words
from circuitmap.wiring.platform import Platform


def volts_only_in_words(platform: Platform) -> Iterator[Problem]:
    for output in platform.outputs:
        volts = volts_in_words(platform, output)
        if volts and output.module not in platform.doubted:
            yield Problem(
                "volts-in-words",
                Severity.NOTE,
                f"{output.module} makes {volts:g} V by its words; none are typed at {output.terminal}, so it counts as "
                f"{platform.supply_volts:g} V.",
                output.span,
                advice=f"output {output.terminal} feeds {volts:g}V ...",
            )
