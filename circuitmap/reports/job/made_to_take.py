"""What stands in the place of the proof of a part that only takes what something else makes it take."""

from circuitmap.jobs.trying import TryVerdict


def part_to_prove(one: TryVerdict | None) -> str:
    """The one part that was out and is still to be proven; empty where there is none."""
    if one is None or one.verdict != "involved" or one.turned or one.failed or len(one.out) != 1:
        return ""
    return one.out[0]


def only_takes_sentence(name: str, maker: str) -> str:
    return (
        f"Nothing more at {name}: as the readings stand it only takes what {maker} makes it take. What leads below is "
        f"proven first; if that is cleared, {name} is proven here."
    )
