"""The language server over its protocol: what an editor asks, with places counted in UTF-16."""

import re
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from circuitmap.source import Span
from tests.editor.talking import ROOT, Talk, place_of, talked, types, with_edits

NAME = "van.circuit"
TEXT = """\
platform "Ostrey Dünlin 🚐" sleep 10min
option TOW "towing socket"
battery BAT 72Ah
box CAB
    row F1, F2
fuse CAB.F1 60A maxi "große 🔌 main", CAB.F2 20A mini "heater 🔥"
bar CAB.B1 feeds CAB.F2
module HEATER "auxiliary heater 🔥🔥" asleep 2mA
network BODY can members HEATER
ground G1

sheet "40-02" "Heizung für 🛏"
BAT.+ -> CAB.F1 -> CAB.B1 in RD 16
CAB.F2 -> HEATER.A1 in OG/BK 2.5 if TOW
HEATER.A2 -> G1 in BN 2.5
HEATER.B1 -> ? "🔧 on" in GN 1
"""
MORE = 'sheet "41-01" "More"\nCAB.F2 -> ? "unknown 🔧" in OG 1\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / NAME).write_text(TEXT, "utf-8")
    (tmp_path / "more.circuit").write_text(MORE, "utf-8")
    return tmp_path


def at(talk: Talk, what: str, behind: int = 0, nth: int = 1) -> dict[str, Any]:
    return {"text_document": talk.document(NAME), "position": place_of(TEXT, what, behind, nth)}


def spanned(text: str, its: types.Range) -> str:
    raw = [line.encode("utf-16-le") for line in text.split("\n")]
    assert its.start.line == its.end.line
    return raw[its.start.line][2 * its.start.character : 2 * its.end.character].decode("utf-16-le")


def test_names_are_told_found_and_renamed(folder: Path) -> None:
    async def talk(its: Talk) -> None:
        its.open(NAME)
        hover = await its.client.text_document_hover_async(types.HoverParams(**at(its, "HEATER.A1", 2)))
        assert hover.contents.value.splitlines()[:2] == [
            "HEATER, auxiliary heater 🔥🔥: module",
            "It hangs on: CAB.F1, CAB.F2" if "CAB.F1" in hover.contents.value else "It hangs on: CAB.F2",
        ]
        assert spanned(TEXT, hover.range) == "HEATER"
        fuse = await its.client.text_document_hover_async(types.HoverParams(**at(its, "CAB.F2 20A", 3)))
        assert "20 A mini" in fuse.contents.value and "On it: HEATER" in fuse.contents.value
        network = await its.client.text_document_hover_async(types.HoverParams(**at(its, "BODY", 1)))
        assert network.contents.value == "BODY, network\nMembers: HEATER"
        option = await its.client.text_document_hover_async(types.HoverParams(**at(its, "if TOW", 4)))
        assert "towing socket" in option.contents.value
        assert await its.client.text_document_hover_async(types.HoverParams(**at(its, "2.5 if", 1))) is None

        [there] = await its.client.text_document_definition_async(types.DefinitionParams(**at(its, "CAB.F2 ->", 1)))
        assert there.uri == its.uri(NAME) and there.range.start == place_of(TEXT, "CAB.F2 20A")
        found = await its.client.text_document_references_async(
            types.ReferenceParams(context=types.ReferenceContext(True), **at(its, "CAB.F2 ->", 1))
        )
        assert sorted(one.uri.rpartition("/")[2] for one in found) == ["more.circuit", *[NAME] * 4], (
            "row, fuse, bar, wire"
        )
        others = await its.client.text_document_references_async(
            types.ReferenceParams(context=types.ReferenceContext(False), **at(its, "CAB.F2 ->", 1))
        )
        assert len(others) == len(found) - 1

        edit = await its.client.text_document_rename_async(
            types.RenameParams(new_name="CABIN", **at(its, "box CAB", 5))
        )
        renamed = with_edits(TEXT, edit.changes[its.uri(NAME)])
        assert "row F1, F2" in renamed and "BAT.+ -> CABIN.F1 -> CABIN.B1 in RD 16" in renamed
        assert renamed.replace("CABIN", "CAB") == TEXT
        assert with_edits(MORE, edit.changes[its.uri("more.circuit")]) == MORE.replace("CAB", "CABIN")
        edit = await its.client.text_document_rename_async(
            types.RenameParams(new_name="CAB.F9", **at(its, "CAB.F2 ->"))
        )
        assert "row F1, F9" in with_edits(TEXT, edit.changes[its.uri(NAME)])
        for new in ("CAB.F1", "fuse", "a b", "", "HEATER"):
            with pytest.raises(Exception, match=r"."):
                await its.client.text_document_rename_async(types.RenameParams(new_name=new, **at(its, "CAB.F2 ->")))

    talked(folder, talk)


def test_what_may_follow_is_offered(folder: Path) -> None:
    async def offered(its: Talk, line: str) -> list[str]:
        its.change(NAME, f"{TEXT}{line}")
        where = {"text_document": its.document(NAME), "position": place_of(TEXT + line + "\0", "\0")}
        said = await its.client.text_document_completion_async(types.CompletionParams(**where))
        for item in said.items:
            assert with_edits(TEXT + line, [item.text_edit]).startswith(TEXT)
        return [item.label for item in said.items]

    async def talk(its: Talk) -> None:
        its.open(NAME)
        assert {"fuse", "sheet"} <= set(await offered(its, "")) and "mini" not in await offered(its, "")
        assert await offered(its, "fus") == ["fuse"]
        assert "mini" in await offered(its, "fuse CAB.F7 20A ") and "fuse" not in await offered(its, "fuse CAB.F7 20A ")
        assert await offered(its, "heate") == ["heater", "HEATER"]
        assert {"HEATER.A1", "HEATER.A2"} <= set(await offered(its, "CAB.F2 -> HEATER."))
        assert await offered(its, "CAB.F2 -> HEATER.A1 if T") == ["TOW"]
        assert "RD" in await offered(its, "CAB.F2 -> HEATER.A1 in R")
        assert await offered(its, 'lamp L1 "heat') == [] and await offered(its, "lamp L1 # heat") == []
        assert await offered(its, "CAB.F2 -> f1") == ["CAB.F1"]

    talked(folder, talk)


def test_problems_are_told_mended_and_gone(folder: Path) -> None:
    async def talk(its: Talk) -> None:
        its.open(NAME)
        await its.problems_of(NAME)
        wrong = TEXT.replace("CAB.F2 -> HEATER.A1", "CAB.F2 -> HEATRE.A1")
        its.change(NAME, wrong)
        found = [one for one in await its.problems_of(NAME) if one.code == "unknown-name"]
        assert [spanned(wrong, one.range) for one in found] == ["HEATRE"] and found[0].source == "circuitmap"
        asked = types.CodeActionParams(its.document(NAME), found[0].range, types.CodeActionContext([]))
        [action] = await its.client.text_document_code_action_async(asked)
        assert action.title == "Write HEATER" and action.kind == "quickfix"
        assert with_edits(wrong, action.edit.changes[its.uri(NAME)]) == TEXT
        its.change(NAME, TEXT)
        assert not [one for one in await its.problems_of(NAME) if one.code == "unknown-name"]
        away = TEXT.replace("fuse CAB.F1 60A", "fuse CAB.F1 60A empty")
        its.change(NAME, away)
        await its.problems_of(NAME)
        (folder / "more.circuit").write_text(MORE + "CAB.F2 -> NOBODY.1 in RD\n", "utf-8")
        change = types.FileEvent(its.uri("more.circuit"), types.FileChangeType.Changed)
        its.client.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([change]))
        while not any("NOBODY" in one.message for one in await its.problems_of("more.circuit")):
            pass  # what was told of the text before may still be on its way: also files that nobody opened are told

    talked(folder, talk)


def test_the_outline_lenses_hints_and_the_even_text(folder: Path) -> None:
    async def talk(its: Talk) -> None:
        its.open(NAME)
        document = its.document(NAME)
        outline = await its.client.text_document_document_symbol_async(types.DocumentSymbolParams(document))
        assert [one.name for one in outline] == ["on no sheet", "40-02 Heizung für 🛏"]
        assert [one.name for one in outline[0].children if one.name.startswith("CAB")] == [
            "CAB",
            "CAB.F1",
            "CAB.F2",
            "CAB.B1",
        ]
        lenses = await its.client.text_document_code_lens_async(types.CodeLensParams(document))
        assert {spanned(TEXT, one.range): one.command.title for one in lenses}["CAB.F2"] == "1 load on it, 2 open ends"
        whole = types.Range(types.Position(0, 0), types.Position(100, 0))
        hints = await its.client.text_document_inlay_hint_async(types.InlayHintParams(document, whole))
        told = {
            with_edits(TEXT, [types.TextEdit(types.Range(one.position, one.position), f"<{one.label}>")])
            .split("<")[0]
            .split()[-1]: one.label.strip()
            for one in hints
        }
        assert told == {
            "HEATER.A1": "assumed: supply",
            "HEATER.A2": "assumed: ground",
            "HEATER.B1": "assumed: output that feeds",
        }
        options = types.FormattingOptions(4, True)
        uneven = TEXT.replace("CAB.F2 -> HEATER.A1", "CAB.F2   ->   HEATER.A1")
        its.change(NAME, uneven)
        edits = await its.client.text_document_formatting_async(types.DocumentFormattingParams(document, options))
        from circuitmap.notation.tidy import tidy
        from circuitmap.source import SourceFile

        assert with_edits(uneven, list(edits)) == tidy(SourceFile(NAME, uneven))
        its.change(NAME, with_edits(uneven, list(edits)))
        assert not await its.client.text_document_formatting_async(types.DocumentFormattingParams(document, options))

    talked(folder, talk)


def test_a_new_file_and_one_that_is_spoilt_do_no_harm(folder: Path) -> None:
    async def talk(its: Talk) -> None:
        its.open("new.circuit", "lamp L7\nCAB.F2 -> L7 in RD\n")
        assert isinstance(await its.problems_of("new.circuit"), list)
        where = types.HoverParams(its.document("new.circuit"), types.Position(1, 11))
        assert "L7: lamp" in (await its.client.text_document_hover_async(where)).contents.value
        (folder / "more.circuit").write_bytes(b"a\0b")
        its.change("new.circuit", "lamp L7\n")
        [told] = await its.problems_of("new.circuit")
        assert "NUL byte" in told.message and told.severity == types.DiagnosticSeverity.Error
        assert await its.client.text_document_hover_async(where) is None
        (folder / "more.circuit").write_text(MORE, "utf-8")
        its.change("new.circuit", "lamp L7 \n")
        assert not any("NUL" in one.message for one in await its.problems_of("new.circuit"))
        (folder / "notes.txt").write_text("x")
        its.open("notes.txt")
        document = its.document("notes.txt")
        assert not await its.client.text_document_document_symbol_async(types.DocumentSymbolParams(document))
        for what in (document, types.TextDocumentIdentifier("untitled:1")):
            asked = types.HoverParams(what, types.Position(9, 9))
            assert await its.client.text_document_hover_async(asked) is None, "what is no notation is left alone"

    talked(folder, talk)


def test_killed_and_started_again_it_says_the_same(folder: Path) -> None:
    async def problems(its: Talk) -> list[tuple[str, str]]:
        its.open(NAME, TEXT.replace("HEATER.A1", "HEATRE.A1"))
        return sorted((str(one.code), one.message) for one in await its.problems_of(NAME))

    async def killed(its: Talk) -> list[tuple[str, str]]:
        said = await problems(its)
        its.client._server.kill()
        await its.client._server.wait()
        its.client = None
        await its.begin()
        assert await problems(its) == said
        return said

    assert talked(folder, killed) == talked(folder, problems)


def line_of(span: Span) -> int:
    """As the protocol counts: a carriage return alone ends a line, too."""
    return len(re.split(r"\r\n|\n|\r", span.source.text[: span.start]))


@pytest.mark.parametrize("many", [6, pytest.param(300, marks=pytest.mark.on_demand)])
def test_random_edits_are_as_reading_from_scratch(tmp_path: Path, many: int) -> None:
    """Edits at random places of a large sample, in quick succession: what is told then is what `check` finds."""
    import random

    from circuitmap.flows.questions import check

    folder = Path(copytree(ROOT / "sample_vehicles" / "van", tmp_path / "van"))
    names = sorted(path.name for path in folder.glob("*.circuit"))
    chance = random.Random(141)

    async def talk(its: Talk) -> None:
        texts = {name: (folder / name).read_text("utf-8") for name in names}
        for name in names:
            its.open(name)
        for _ in range(many):
            for _ in range(33):
                name = chance.choice(names)
                text = texts[name]
                where = chance.randrange(len(text))
                put = chance.choice(["", "x", "\n", '"', "->", " in RD", "#", "ü", "🔥", "\u2028", "\r\n"])
                texts[name] = text[:where] + put + text[where + chance.randrange(3) :]
                its.change(name, texts[name])
            sign = chance.randrange(10**9)
            texts[names[0]] += f"\nNOBODY{sign} -> BAT.+ in RD\n"
            its.change(names[0], texts[names[0]])
            while not any(str(sign) in one.message for one in its.problems.get(names[0], [])):
                await its.problems_of(names[0])
            nowhere = types.HoverParams(its.document(names[0]), types.Position(0, 0))
            await its.client.text_document_hover_async(nowhere)  # answered after all that was told with it
            for name in names:
                (folder / name).write_text(texts[name], "utf-8", newline="")
            wanted = sorted((its.span.path, its.code, line_of(its.span)) for its in check(folder).problems)
            told = sorted(
                (name, str(one.code), one.range.start.line + 1) for name, found in its.problems.items() for one in found
            )
            assert told == wanted

    talked(folder, talk, 120 + 20 * many)


@pytest.mark.on_demand
def test_many_files_are_answered(tmp_path: Path) -> None:
    for number in range(200):
        (tmp_path / f"s{number:03}.circuit").write_text(
            f'sheet "{number}" "x"\nfuse F{number} 5A\nlamp L{number}\nF{number} -> L{number} in RD\n'
        )

    async def talk(its: Talk) -> None:
        its.open("s007.circuit")
        await its.problems_of("s007.circuit")
        where = types.HoverParams(its.document("s007.circuit"), types.Position(3, 8))
        assert "L7: lamp" in (await its.client.text_document_hover_async(where)).contents.value

    talked(tmp_path, talk)
