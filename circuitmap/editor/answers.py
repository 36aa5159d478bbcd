"""Answers of an edited platform as values of the protocol."""

from collections.abc import Iterable, Iterator

from lsprotocol import types

from circuitmap.editor.documents import Opened, uri_of
from circuitmap.editor.positions import Lines, range_of
from circuitmap.flows.edited import EditedPlatform
from circuitmap.problems import Problem, Severity
from circuitmap.source import Span
from circuitmap.transcribing.names_in import NamedKind
from circuitmap.transcribing.renaming import TextChange
from circuitmap.transcribing.what_follows import FollowsKind

_SEVERITIES = {
    Severity.ERROR: types.DiagnosticSeverity.Error,
    Severity.WARNING: types.DiagnosticSeverity.Warning,
    Severity.NOTE: types.DiagnosticSeverity.Information,
}
_FOLLOWS: dict[FollowsKind, types.CompletionItemKind] = {
    "word": types.CompletionItemKind.Keyword,
    "name": types.CompletionItemKind.Variable,
    "pin": types.CompletionItemKind.Field,
    "colour": types.CompletionItemKind.Color,
}
_SYMBOLS: dict[NamedKind, types.SymbolKind] = {
    "part": types.SymbolKind.Variable,
    "network": types.SymbolKind.Interface,
    "option": types.SymbolKind.Boolean,
    "sheet": types.SymbolKind.Module,
}
SOURCE = "circuitmap"


def diagnostic(platform: EditedPlatform, problem: Problem) -> types.Diagnostic:
    words = [problem.headline]
    words += [f"Expected: {problem.expected}."] if problem.expected else []
    words += [f"Did you mean {problem.suggestion}?"] if problem.suggestion else []
    words += [problem.advice] if problem.advice else []
    related = [types.DiagnosticRelatedInformation(location(platform, its.span), its.text) for its in problem.related]
    return types.Diagnostic(
        range_of(problem.span), "\n".join(words), _SEVERITIES[problem.severity], problem.code, source=SOURCE,
        related_information=related,
    )  # fmt: skip


def location(platform: EditedPlatform, span: Span) -> types.Location:
    return types.Location(uri_of(platform, span.path), range_of(span))


def completions(opened: Opened, offset: int, begun: int) -> Iterator[types.CompletionItem]:
    """What may follow takes the place of what is begun there: an editor's own idea of a word does not matter."""
    lines = Lines(opened.state.sources[opened.path].text)
    place = lines.range(begun, offset)
    written = lines.text[begun:offset]
    for number, its in enumerate(opened.state.follows(opened.path, offset)):
        yield types.CompletionItem(
            its.text, kind=_FOLLOWS[its.kind], detail=its.about, sort_text=f"{number:05}", filter_text=written or None,
            text_edit=types.TextEdit(place, its.text),
        )  # fmt: skip


def symbols(opened: Opened) -> list[types.DocumentSymbol]:
    found = []
    for title, span, inside in opened.state.outline(opened.path):
        children = [
            types.DocumentSymbol(use.name, _SYMBOLS[use.kind], range_of(use.span), range_of(use.span)) for use in inside
        ]
        whole = range_of(span)
        head = types.Range(whole.start, whole.start)
        found.append(types.DocumentSymbol(title, _SYMBOLS["sheet"], whole, head, children=children))
    return found


def workspace_edit(platform: EditedPlatform, changes: Iterable[TextChange]) -> types.WorkspaceEdit:
    edits: dict[str, list[types.TextEdit]] = {}
    for its in changes:
        edits.setdefault(uri_of(platform, its.span.path), []).append(types.TextEdit(range_of(its.span), its.text))
    return types.WorkspaceEdit(edits)


def mending(opened: Opened, problems: Iterable[Problem]) -> Iterator[types.CodeAction]:
    """The mend of each problem that has one."""
    for problem in problems:
        changes = opened.platform.mends(problem)
        if changes:
            yield types.CodeAction(
                f"Write {changes[0].text}", types.CodeActionKind.QuickFix, [diagnostic(opened.platform, problem)],
                is_preferred=True, edit=workspace_edit(opened.platform, changes),
            )  # fmt: skip
