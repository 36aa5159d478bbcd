"""What counts as hands-off only by its words, so that somebody can say whether it really is."""

from collections.abc import Iterator

from circuitmap.problems import Problem, Severity
from circuitmap.wiring.checks.one_sided import listed
from circuitmap.wiring.hands_off import HandsOffReason, hands_off_things
from circuitmap.wiring.parts import HandsOff
from circuitmap.wiring.platform import Platform


def hands_off_by_words(platform: Platform) -> Iterator[Problem]:
    """One note for each kind of hands-off thing that something was taken for, and one for each that is in doubt."""
    groups: dict[tuple[HandsOff, bool], dict[str, HandsOffReason]] = {}
    for name, reason in hands_off_things(platform).parts.items():
        part = platform.parts[name]
        if reason.known_by != "typed" and part.declared is not None and name not in platform.doubted:
            groups.setdefault((reason.why, reason.known_by == "doubt"), {})[name] = reason
    for (why, doubtful), reasons in groups.items():
        spans = sorted(platform.parts[name].span for name in reasons)
        first = next(name for name in reasons if platform.parts[name].span == spans[0])
        verb = "counts" if len(reasons) == 1 else "count"
        sure = "" if not doubtful else "may be hands-off and "
        words = reasons[first].words
        yield Problem(
            "hands-off-by-words",
            Severity.NOTE,
            f'{listed(reasons)} {sure}{verb} as hands-off ({why}), by the words: "{words}".',
            spans[0],
            advice=f"Say what it is: hands-off {why} behind {first}, or not hands-off.",
        )
