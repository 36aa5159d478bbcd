"""Another name for a part, network or option: found everywhere, and what it was comes back with the old name."""

from pathlib import Path

import pytest

from circuitmap.failures import WrongUse
from circuitmap.flows.edited import EditedPlatform
from circuitmap.transcribing.names_in import NameUse
from circuitmap.transcribing.renaming import with_changes
from circuitmap.wiring.parts import OpenEnd
from tests.transcribing.typist import FOLDERS, ROOT

SMALL = ROOT / "sample_vehicles" / "motorcycle"


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: f"{folder.parent.name}-{folder.name}")
def test_every_part_is_named_somewhere(folder: Path) -> None:
    """What `names_in` does not find, nobody can rename; a switch inside of a part has names of that part."""
    state = EditedPlatform(folder).state()
    platform = state.just_read.folder.platform
    named = {(use.kind, use.name) for use in state.uses}
    assert not [
        name for name, part in platform.parts.items() if ("part", name) not in named and not isinstance(part, OpenEnd)
    ]
    assert {("option", name) for name in platform.options} | {("network", name) for name in platform.networks} <= named
    for use in state.uses:
        assert not use.whole or use.span.text == use.written


def changed(edited: EditedPlatform, use: NameUse, new: str) -> None:
    changes = edited.rename(use, new)
    sources = edited.state().sources
    for path in {change.span.path for change in changes}:
        edited.texts[path] = with_changes(sources[path].text, [its for its in changes if its.span.path == path])


def test_there_and_back() -> None:
    edited = EditedPlatform(SMALL)
    first = edited.state()
    texts = {path: source.text for path, source in first.sources.items()}
    names = sorted({(use.kind, use.name) for use in first.uses if use.kind != "sheet"})[::9]
    refused = 0
    for kind, name in names:
        new = f"{name.rstrip('0123456789')}991"  # what needs no declaration is known by how it begins
        try:
            changed(edited, next(use for use in edited.state().uses if (use.kind, use.name) == (kind, name)), new)
        except WrongUse as why:
            assert "row" in why.advice, (name, why.message)
            refused += 1
            continue
        there = edited.state().just_read.folder.platform
        assert len(there.parts) == len(first.just_read.folder.platform.parts)
        assert len(there.wires) == len(first.just_read.folder.platform.wires)
        changed(edited, next(use for use in edited.state().uses if (use.kind, use.name) == (kind, new)), name)
        assert {path: source.text for path, source in edited.state().sources.items()} == texts
    assert refused < len(names) / 3


@pytest.mark.parametrize(
    ("text", "name", "new", "says"),
    [
        ("fuse F1 5A\nfuse F2 5A\n", "F1", "F2", "already"),
        ("fuse F1 5A\n", "F1", "5A", "quantity"),
        (
            "box CAB\nfuse CAB.F1 5A, CAB.F2 5A\nbar CAB.B1 feeds CAB.F1..F2\n",
            "CAB.F1",
            "CAB.F9",
            "is part of CAB.F1..F2",
        ),
        ("box CAB\nrow F1\n", "CAB", "", "needed"),
        ("box CAB\n    row F1\nfuse CAB.F1 5A\n", "CAB.F1", "ENG.F1", "written without CAB"),
        ('sheet "1" "x"\nlamp L1\n', "1", "2", "what the paper says"),
        ("naming SP* splice\nfuse F1 5A\nlamp L1\nF1 -> SP1 -> L1 in RD\n", "SP1", "Q1", "something else"),
    ],
)
def test_what_would_mean_something_else_is_refused(tmp_path: Path, text: str, name: str, new: str, says: str) -> None:
    (tmp_path / "a.circuit").write_text(text)
    edited = EditedPlatform(tmp_path)
    use = next(its for its in edited.state().uses if its.name == name)
    with pytest.raises(WrongUse) as why:
        edited.rename(use, new)
    assert says in f"{why.value.message} {why.value.advice}"
