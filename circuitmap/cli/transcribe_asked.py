"""What is asked at the terminal while somebody types or pastes; nothing that was typed is lost when it ends there."""

from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from circuitmap.flows.transcribing import Folder
    from circuitmap.flows.typed_draft import TypedDraft
    from circuitmap.source import SourceFile
    from circuitmap.transcribing.asked import Question, Settled
    from circuitmap.transcribing.typed_lines import TypedText


def begun_draft(folder: "Folder", sheet: str) -> "TypedDraft":
    """What was typed for this sheet before and not written, if somebody wants to go on with it; or else a new one. What
    stands in the platform by now is forgotten, and so is what somebody does not want."""
    from circuitmap.cli.printing import say
    from circuitmap.flows.transcribing import short_lines, typed_source, without_rows_that_stand
    from circuitmap.flows.typed_draft import draft_for, free_draft_for

    draft = draft_for(folder.path, sheet)
    if not draft.text:
        return draft
    typed = without_rows_that_stand(folder, short_lines(folder, typed_source(None, draft.text.encode())))
    if not typed.lines and not typed.questions:
        draft.drop()
        return draft
    say(f"{draft.text.rstrip()}\n{_lines(draft.count)} typed and not written: {draft.path}.")
    if click.confirm("Go on with that?", default=None):
        return draft
    if click.confirm(f"Delete {draft.path.name}?", default=False):
        draft.drop()
        return draft
    return free_draft_for(folder.path, sheet)


def typed_in(folder: "Folder", draft: "TypedDraft") -> "TypedText":
    """Lines typed at the terminal below those of the draft, each shown in full as soon as it is there; an empty one, or
    the end of the input, ends them."""
    from circuitmap.cli.printing import say
    from circuitmap.flows.transcribing import typed_source

    say("One wire a line; an empty line ends.")
    source = typed_source(None, draft.text.encode())
    settled: Settled = {}
    typed, source, settled = settled_with(folder, source, settled, draft)
    while line := _typed_line():
        source = typed_source(None, f"{source.text.rstrip()}\n{line}\n".lstrip().encode())
        typed, source, settled = settled_with(folder, source, settled, draft)
        say(typed.lines[-1] if typed.lines else "")
    return typed


def settled_with(
    folder: "Folder", source: "SourceFile", settled: "Settled", draft: "TypedDraft"
) -> "tuple[TypedText, SourceFile, Settled]":
    """Ask until nothing is unclear any more; the draft holds what there is after each answer."""
    from circuitmap.flows.transcribing import short_lines
    from circuitmap.transcribing.asked import answered, is_one_word, with_line, with_line_below
    from circuitmap.transcribing.typed_lines import as_far_as_clear

    while True:
        typed = short_lines(folder, source, settled)
        draft.keep(as_far_as_clear(source, typed))
        if not typed.questions:
            return typed, source, settled
        first = typed.questions[0]
        answer = asked(first)
        if not answer or is_one_word(first, answer):
            source, settled = answered(source, settled, first, answer)
            continue
        place = _place_of(first, answer)
        if place == 1:
            source, settled = with_line(source, settled, first, answer)
        elif place == 2:
            source, settled = with_line_below(source, settled, first, answer)
        elif place == 3:
            source, settled = answered(source, settled, first, answer)


def _place_of(question: "Question", answer: str) -> int:
    """Where more than one word belongs that was typed for one: 1 to 3 as shown, 0 nowhere."""
    from circuitmap.cli.printing import say

    word = question.span.text
    say(
        f"That is more than one word, and {word} was asked about. Where does it belong?\n"
        f"    1  in the place of the whole line\n    2  in a line below; {word} is asked again\n"
        f"    3  in the place of {word} alone"
    )
    number = prompted(f"A number; nothing drops it and asks about {word} again:").strip()
    return int(number) if number in ("1", "2", "3") else 0


def kept_text(draft: "TypedDraft", command: str = "the same command") -> str:
    """Where the lines are that were not written, and the `command` that goes on with them, for whom it stops; empty
    where there are none."""
    if not draft.text:
        return ""
    if draft.failure:
        return f"{draft.path}: {draft.failure}. These lines are in no file:\n{draft.text}"
    are = "is" if draft.count == 1 else "are"
    count = f"{draft.count} line{'' if draft.count == 1 else 's'}"
    return f"{count} {are} kept in {draft.path}; {command} goes on with {'it' if draft.count == 1 else 'them'}."


def asked(question: "Question", whole: str = "the line") -> str:
    """What somebody answers to a question."""
    from circuitmap.cli.printing import say
    from circuitmap.reports.problems.questions_text import question_text

    say(question_text(question))
    number = "A number, or type" if question.choices else "Type"
    return prompted(f"{number} it anew; nothing leaves {whole} out:").strip()


def prompted(text: str) -> str:
    answer = click.prompt(text, default="", show_default=False, prompt_suffix=" ")
    return str(answer)


def _typed_line() -> str:
    """The next line; empty at the end of the input, Ctrl-D, too: what was typed before is still to be asked about."""
    try:
        return prompted(">").strip()
    except click.Abort as stopped:
        if isinstance(stopped.__context__, EOFError):
            return ""
        raise


def _lines(count: int) -> str:
    return f"{count} line{' was' if count == 1 else 's were'}"
