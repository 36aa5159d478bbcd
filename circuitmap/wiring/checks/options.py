"""Equipment that is declared and makes no difference."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.platform import Platform


def options_never_used(platform: Platform) -> Iterator[Problem]:
    unused = [option for name, option in platform.options.items() if name not in platform.doubted]
    unused = [option for option in unused if option.name not in platform.used_options]
    if unused:
        names, them = listed(option.name for option in unused), "it" if len(unused) == 1 else "them"
        yield Problem(
            "option-unused",
            Severity.NOTE,
            f"Nothing depends on the equipment option {names}."
            if len(unused) == 1
            else f"Nothing depends on the equipment options {names}.",
            min(option.span for option in unused),
            advice=f"Write if {unused[0].name} behind what only vehicles with {them} have.",
        )
