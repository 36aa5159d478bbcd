"""What was hidden before a job was shared, and what is asked while somebody must say whether a word is the customer."""

from collections.abc import Iterator, Sequence

from circuitmap.jobs.without_customer import MOST_ASKED, Doubtful, Hidden
from circuitmap.reports.words.paragraphs import counted


def hidden_lines(hidden: Sequence[Hidden]) -> Iterator[str]:
    """`4.remark: [customer] said it rained`: each text as others will read it."""
    if not hidden:
        yield "Nothing was hidden but what stands under customer and phone."
        return
    yield f"Hidden in {counted(len(hidden), 'text')}, which now {'reads' if len(hidden) == 1 else 'read'}:"
    for its in hidden:
        yield f"  {its.place}: {' '.join(its.text.split())}"


def doubts_text(doubtful: Sequence[Doubtful]) -> tuple[str, str]:
    """What cannot be decided, and how to decide it: a message and its advice."""
    words = list(dict.fromkeys(one.word for one in doubtful))
    lines = [f'  {one.place}: "{one.word}" in: {one.around}' for one in doubtful[:MOST_ASKED]]
    if len(doubtful) > MOST_ASKED:
        lines.append(f"  and {len(doubtful) - MOST_ASKED:,} more")
    message = f"Not shared yet: {counted(len(doubtful), 'place')} may name the customer, or not:"
    keep = " ".join(f"--keep {quoted(word)}" for word in words[:MOST_ASKED])
    advice = (
        "Say of each word --hide WORD (it is the customer: it is left out) or --keep WORD (it is not: it stays); for "
        f"one place alone --hide {quoted(f'{doubtful[0].place}:{doubtful[0].word}')}. To keep them all: {keep}"
    )
    return "\n".join([message, *lines]), advice


def quoted(word: str) -> str:
    """A word as it is typed at a command."""
    plain = word.isascii() and word.replace("-", "").replace(".", "").replace(":", "").replace("@", "").isalnum()
    return word if plain else f'"{word}"'
