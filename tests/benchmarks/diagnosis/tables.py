"""Tables of the page."""

from collections.abc import Sequence


def table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    lines = ["| " + " | ".join(head) + " |", "|" + "---|" * len(head)]
    return "\n".join([*lines, *("| " + " | ".join(row) + " |" for row in rows)])


def share(part: int, whole: int) -> str:
    return f"{100 * part / whole:.0f} %" if whole else "-"


def beside(part: int, bound: int, whole: int) -> str:
    """A share with the oracle's beside it."""
    return f"{share(part, whole)} ({share(bound, whole)})" if whole else "-"
