"""An editor's side of the protocol: a language server in a process of its own, asked as an editor asks."""

import asyncio
import os
import sys
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

import pytest

pytest.importorskip("pygls")

from lsprotocol import types
from pygls.lsp.client import LanguageClient

ROOT = Path(__file__).parents[2]
Said = TypeVar("Said")


@dataclass
class Talk:
    """`problems` are the newest of each file, by name; `wait` lets time go by until they are of the newest text."""

    folder: Path
    client: Any = None
    problems: dict[str, list[types.Diagnostic]] = field(default_factory=dict)
    versions: dict[str, int] = field(default_factory=dict)
    counts: dict[str, int] = field(default_factory=dict)
    told: Any = None

    def uri(self, name: str) -> str:
        return (self.folder / name).as_uri()

    async def begin(self) -> None:
        self.client = LanguageClient("editor", "1")
        self.told = asyncio.Event()

        @self.client.feature(types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
        def take(params: types.PublishDiagnosticsParams) -> None:
            self.problems[params.uri.rpartition("/")[2]] = list(params.diagnostics)
            self.counts[params.uri.rpartition("/")[2]] = self.counts.get(params.uri.rpartition("/")[2], 0) + 1
            self.told.set()

        env = {**os.environ, "PYTHONPATH": str(ROOT)}
        await self.client.start_io(sys.executable, "-m", "circuitmap", "language-server", env=env)
        await self.client.initialize_async(
            types.InitializeParams(types.ClientCapabilities(), process_id=os.getpid(), root_uri=self.folder.as_uri())
        )
        self.client.initialized(types.InitializedParams())

    async def end(self) -> None:
        await self.client.shutdown_async(None)
        self.client.exit(None)
        await self.client.stop()

    def open(self, name: str, text: str | None = None) -> None:
        text = (self.folder / name).read_text("utf-8") if text is None else text
        self.versions[name] = 1
        document = types.TextDocumentItem(self.uri(name), "circuit", 1, text)
        self.client.text_document_did_open(types.DidOpenTextDocumentParams(document))

    def change(self, name: str, text: str) -> None:
        self.versions[name] += 1
        document = types.VersionedTextDocumentIdentifier(version=self.versions[name], uri=self.uri(name))
        whole = types.TextDocumentContentChangeWholeDocument(text)
        self.client.text_document_did_change(types.DidChangeTextDocumentParams(document, [whole]))

    async def problems_of(self, name: str, seconds: float = 30) -> list[types.Diagnostic]:
        """The problems that are told next."""
        before = self.counts.get(name, 0)
        while self.counts.get(name, 0) == before:
            self.told.clear()
            await asyncio.wait_for(self.told.wait(), seconds)
        return self.problems[name]

    def document(self, name: str) -> types.TextDocumentIdentifier:
        return types.TextDocumentIdentifier(self.uri(name))


def talked(folder: Path, what: Callable[[Talk], Awaitable[Said]], seconds: float = 120) -> Said:
    """What comes of a talk with a server that was started for it."""

    async def talk() -> Said:
        its = Talk(folder)
        await its.begin()
        try:
            return await asyncio.wait_for(what(its), seconds)
        finally:
            await its.end()

    return asyncio.run(talk())


def place_of(text: str, what: str, behind: int = 0, nth: int = 1) -> types.Position:
    """Where something stands in a text, as the protocol counts: UTF-16 units."""
    at = -1
    for _ in range(nth):
        at = text.index(what, at + 1)
    at += behind
    line = text.count("\n", 0, at)
    begin = text.rfind("\n", 0, at) + 1
    return types.Position(line, len(text[begin:at].encode("utf-16-le")) // 2)


def with_edits(text: str, edits: list[types.TextEdit]) -> str:
    """A text with edits of the protocol, by a way of its own: in UTF-16, line by line."""
    raw = [line.encode("utf-16-le") for line in text.split("\n")]

    def at(position: types.Position) -> int:
        return sum(len(line) + 2 for line in raw[: position.line]) + 2 * position.character

    whole = text.encode("utf-16-le")
    for edit in sorted(edits, key=lambda its: (its.range.start.line, its.range.start.character), reverse=True):
        whole = whole[: at(edit.range.start)] + edit.new_text.encode("utf-16-le") + whole[at(edit.range.end) :]
    return whole.decode("utf-16-le")
