"""The language server: what an editor asks over its protocol, each answered from the newest text of all files."""

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from lsprotocol import types
from pygls.exceptions import JsonRpcInvalidParams
from pygls.lsp.server import LanguageServer

from circuitmap import __version__
from circuitmap.editor.answers import completions, diagnostic, location, mending, symbols, workspace_edit
from circuitmap.editor.documents import Documents, Opened, uri_of
from circuitmap.editor.positions import Lines, range_of
from circuitmap.failures import Failure
from circuitmap.flows.edited import EditedPlatform
from circuitmap.transcribing.names_in import NameUse
from circuitmap.transcribing.what_follows import begun_at

PAUSE_SECONDS = 0.05
"""After a change, how long nothing more must be typed until problems are told; judgement."""
MOST_DIAGNOSTICS = 500
"""Problems told of one file; of the rest how many."""


MOST_MENDED = 10
"""Problems of one place for which a mend is tried: each reads the platform again."""


@dataclass
class Editor:
    """What is open, and which files have problems shown."""

    server: LanguageServer
    documents: Documents = field(default_factory=Documents)
    shown: dict[Path, set[str]] = field(default_factory=dict)
    _due: dict[Path, asyncio.TimerHandle] = field(default_factory=dict)

    def changed(self, opened: Opened) -> None:
        """Tell the problems of this platform once nobody has typed for a moment."""
        folder = opened.platform.folder
        if folder in self._due:
            self._due[folder].cancel()
        self._due[folder] = asyncio.get_running_loop().call_later(PAUSE_SECONDS, self.tell, opened.platform)

    def tell(self, platform: EditedPlatform) -> None:
        """Publish the problems of all files of a platform, also of those where there are none any more."""
        found: dict[str, list[types.Diagnostic]] = {path: [] for path in platform.texts}
        try:
            for problem in platform.state().just_read.problems:
                found.setdefault(problem.span.path, []).append(diagnostic(platform, problem))
        except Failure as failure:
            words = " ".join(filter(None, (failure.message, failure.advice)))
            nowhere = types.Range(types.Position(0, 0), types.Position(0, 0))
            for path in found:
                found[path] = [types.Diagnostic(nowhere, words, types.DiagnosticSeverity.Error, source="circuitmap")]
        before = self.shown.get(platform.folder, set())
        self.shown[platform.folder] = {path for path, its in found.items() if its}
        for path in {*found, *before}:
            its = found.get(path, [])
            more = len(its) - MOST_DIAGNOSTICS
            if more > 0:
                words = f"{more:,} more problems in this file are not shown."
                its = [
                    *its[:MOST_DIAGNOSTICS],
                    types.Diagnostic(its[0].range, words, types.DiagnosticSeverity.Information),
                ]
            self.server.text_document_publish_diagnostics(types.PublishDiagnosticsParams(uri_of(platform, path), its))

    def asked(self, uri: str) -> Opened | None:
        """The document that is asked about; None where nothing can be said of it."""
        opened = self.documents.at(uri)
        try:
            return opened if opened is not None and opened.path in opened.state.sources else None
        except Failure:
            return None

    def use(self, params: Any) -> tuple[Opened, NameUse] | None:
        """The name at the place that is asked about."""
        opened = self.asked(params.text_document.uri)
        if opened is None:
            return None
        offset = Lines(opened.state.sources[opened.path].text).offset(params.position)
        found = opened.state.use_at(opened.path, offset)
        return (opened, found) if found is not None else None


def language_server() -> LanguageServer:
    """A server that has not been started."""
    server = LanguageServer(SERVER_NAME, __version__, text_document_sync_kind=types.TextDocumentSyncKind.Full)
    editor = Editor(server)
    for answers in (_texts, _names, _writing, _beside):
        answers(server, editor)
    return server


SERVER_NAME = "circuitmap"


def _texts(server: LanguageServer, editor: Editor) -> None:
    """Documents come, change and go. The whole text is sent each time: sheets are small, and no count of lines or
    units can then be out of step."""

    @server.feature(types.TEXT_DOCUMENT_DID_OPEN)
    def opened(ls: LanguageServer, params: types.DidOpenTextDocumentParams) -> None:
        _take(params.text_document.uri, params.text_document.text)

    @server.feature(types.TEXT_DOCUMENT_DID_CHANGE)
    def changed(ls: LanguageServer, params: types.DidChangeTextDocumentParams) -> None:
        if params.content_changes:
            _take(params.text_document.uri, params.content_changes[-1].text)

    @server.feature(types.TEXT_DOCUMENT_DID_CLOSE)
    def closed(ls: LanguageServer, params: types.DidCloseTextDocumentParams) -> None:
        its = editor.documents.at(params.text_document.uri)
        if its is not None:
            its.platform.texts.pop(its.path, None)
            editor.changed(its)

    @server.feature(types.TEXT_DOCUMENT_DID_SAVE)
    def saved(ls: LanguageServer, params: types.DidSaveTextDocumentParams) -> None:
        if (its := editor.documents.at(params.text_document.uri)) is not None:
            editor.changed(its)

    @server.feature(types.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    def changed_on_disk(ls: LanguageServer, params: types.DidChangeWatchedFilesParams) -> None:
        for change in params.changes:
            if (its := editor.documents.at(change.uri)) is not None:
                editor.changed(its)

    def _take(uri: str, text: str) -> None:
        its = editor.documents.at(uri)
        if its is not None:
            its.platform.texts[its.path] = text
            editor.changed(its)


def _names(server: LanguageServer, editor: Editor) -> None:
    """What stands there: what it is, where it is declared, everywhere that it is used."""

    @server.feature(types.TEXT_DOCUMENT_HOVER)
    def hover(ls: LanguageServer, params: types.HoverParams) -> types.Hover | None:
        found = editor.use(params)
        if found is None:
            return None
        opened, use = found
        said = opened.state.hover(opened.path, use.span.start)
        if said is None:
            return None
        return types.Hover(types.MarkupContent(types.MarkupKind.PlainText, said[1]), range_of(said[0]))

    @server.feature(types.TEXT_DOCUMENT_DEFINITION)
    def definition(ls: LanguageServer, params: types.DefinitionParams) -> Sequence[types.Location]:
        found = editor.use(params)
        if found is None:
            return []
        return [location(found[0].platform, span) for span in found[0].state.declared(found[1])]

    @server.feature(types.TEXT_DOCUMENT_REFERENCES)
    def references(ls: LanguageServer, params: types.ReferenceParams) -> Sequence[types.Location]:
        found = editor.use(params)
        if found is None:
            return []
        alike = found[0].state.alike(found[1])
        with_declared = params.context.include_declaration
        return [location(found[0].platform, use.span) for use in alike if with_declared or not use.declares]

    @server.feature(types.TEXT_DOCUMENT_PREPARE_RENAME)
    def prepare_rename(ls: LanguageServer, params: types.PrepareRenameParams) -> types.Range | None:
        found = editor.use(params)
        return range_of(found[1].span) if found is not None and found[1].kind != "sheet" else None

    @server.feature(types.TEXT_DOCUMENT_RENAME, types.RenameOptions(prepare_provider=True))
    def rename(ls: LanguageServer, params: types.RenameParams) -> types.WorkspaceEdit | None:
        found = editor.use(params)
        if found is None:
            return None
        try:
            return workspace_edit(found[0].platform, found[0].platform.rename(found[1], params.new_name.strip()))
        except Failure as failure:
            raise JsonRpcInvalidParams(" ".join(filter(None, (failure.message, failure.advice)))) from None


def _writing(server: LanguageServer, editor: Editor) -> None:
    """What may stand there, the mend of a problem, the text laid out evenly."""

    @server.feature(types.TEXT_DOCUMENT_COMPLETION, types.CompletionOptions(trigger_characters=[".", " "]))
    def completion(ls: LanguageServer, params: types.CompletionParams) -> types.CompletionList:
        opened = editor.asked(params.text_document.uri)
        if opened is None:
            return types.CompletionList(False, [])
        source = opened.state.sources[opened.path]
        offset = Lines(source.text).offset(params.position)
        return types.CompletionList(True, list(completions(opened, offset, begun_at(source, offset).start)))

    @server.feature(
        types.TEXT_DOCUMENT_CODE_ACTION, types.CodeActionOptions(code_action_kinds=[types.CodeActionKind.QuickFix])
    )
    def mend(ls: LanguageServer, params: types.CodeActionParams) -> Sequence[types.CodeAction]:
        opened = editor.asked(params.text_document.uri)
        if opened is None:
            return []
        lines = Lines(opened.state.sources[opened.path].text)
        start, end = lines.offset(params.range.start), lines.offset(params.range.end)
        here = [
            its
            for its in opened.state.just_read.problems
            if its.span.path == opened.path and its.span.start <= end and start <= its.span.end and its.suggestion
        ]
        return list(mending(opened, here[:MOST_MENDED]))

    @server.feature(types.TEXT_DOCUMENT_FORMATTING)
    def formatting(ls: LanguageServer, params: types.DocumentFormattingParams) -> Sequence[types.TextEdit]:
        opened = editor.asked(params.text_document.uri)
        if opened is None:
            return []
        before, after = opened.state.sources[opened.path].text, opened.state.tidied(opened.path)
        return [types.TextEdit(Lines(before).range(0, len(before)), after)] if before != after else []


def _beside(server: LanguageServer, editor: Editor) -> None:
    """What is shown beside the text: sheets with what is on them, what hangs on a fuse, what is assumed."""

    @server.feature(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def outline(ls: LanguageServer, params: types.DocumentSymbolParams) -> Sequence[types.DocumentSymbol]:
        opened = editor.asked(params.text_document.uri)
        return symbols(opened) if opened is not None else []

    @server.feature(types.TEXT_DOCUMENT_CODE_LENS)
    def lenses(ls: LanguageServer, params: types.CodeLensParams) -> Sequence[types.CodeLens]:
        opened = editor.asked(params.text_document.uri)
        if opened is None:
            return []
        found = opened.state.loads_on(opened.path)
        return [types.CodeLens(range_of(span), types.Command(words, "")) for span, words in found]

    @server.feature(types.TEXT_DOCUMENT_INLAY_HINT)
    def hints(ls: LanguageServer, params: types.InlayHintParams) -> Sequence[types.InlayHint]:
        opened = editor.asked(params.text_document.uri)
        if opened is None:
            return []
        lines = Lines(opened.state.sources[opened.path].text)
        start, end = lines.offset(params.range.start), lines.offset(params.range.end)
        return [
            types.InlayHint(lines.position(span.end), f" {words}")
            for span, words in opened.state.assumed(opened.path)
            if start <= span.end <= end
        ]


def start() -> None:
    """Serve one editor over standard input and output until it goes."""
    language_server().start_io()
