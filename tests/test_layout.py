"""The house rules that a machine can hold: what may import what, who owns which library, how long a file may be."""

import ast
import re
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from circuitmap.cli.main import COMMANDS

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "circuitmap"
FILES = tuple(sorted(PACKAGE.rglob("*.py")))
LONGEST = 400
GENERATED = {"notation/compiled_grammar.py", "drawings/lettering/lato_widths.py"}

BASE = {
    "",
    "source",
    "problems",
    "quantities",
    "unknown",
    "failures",
    "derived",
    "effort",
    "plain_files",
    "one_writer",
    "written",
    "saving",
    "cache",
}
READING = BASE | {"notation", "wiring"}
CIRCUIT = READING | {"circuit", "power"}
WEIGHING, CAR, FAULTS = "diagnosis.weighing", "diagnosis.car", "diagnosis.faults"
SEEN, EXPLAINING, NEXT_TEST = "diagnosis.seen", "diagnosis.explaining", "diagnosis.next_test"
DIAGNOSIS = {"diagnosis", WEIGHING, CAR, FAULTS, SEEN, EXPLAINING, NEXT_TEST}
WORDS = "reports.words"
REPORTS = {
    f"reports.{room}"
    for room in ("words", "problems", "circuit", "live", "volts", "dead", "suspects", "job", "logged", "pages", "bay")
}
LETTERING, SCENE, SHAPES = "drawings.lettering", "drawings.scene", "drawings.shapes"
PLACING, INKING, FILES_OF_DRAWINGS = "drawings.placing", "drawings.inking", "drawings.files"
LOGGED, WAYS = "drawings.logged", "drawings.volts"
DRAWINGS = {"drawings", LOGGED, WAYS, LETTERING, SCENE, SHAPES, PLACING, INKING, FILES_OF_DRAWINGS}
ANSWERS = CIRCUIT | {
    "battery",
    "recording",
    "changes",
    "transcribing",
    "shelf",
    "evidence",
    "jobs",
    "volts",
    "dead",
    *DIAGNOSIS,
}
MAY_IMPORT = {
    "notation": BASE,
    "wiring": BASE | {"notation", "wiring.checks"},
    "wiring.checks": READING,
    "battery": BASE,
    "recording": BASE | {"battery"},
    "changes": READING,
    "transcribing": READING,
    "shelf": READING | {"battery", "evidence"},
    "circuit": READING,
    "power": READING | {"circuit"},
    "power.checks": CIRCUIT,
    "volts": CIRCUIT | {"evidence"},
    "dead": CIRCUIT | {"volts"},
    "evidence": READING | {"battery"},
    "jobs": CIRCUIT | {"battery", "evidence", "volts", "dead", *DIAGNOSIS},
    WEIGHING: {"evidence", "quantities"},
    CAR: CIRCUIT | {WEIGHING},
    FAULTS: CIRCUIT | {"evidence", WEIGHING, CAR},
    SEEN: CIRCUIT | {"evidence", WEIGHING, CAR, FAULTS},
    EXPLAINING: CIRCUIT | {"evidence", WEIGHING, CAR, FAULTS, SEEN},
    NEXT_TEST: CIRCUIT | {"evidence", WEIGHING, CAR, FAULTS, SEEN, EXPLAINING},
    "diagnosis": CIRCUIT | {"battery", "evidence", *DIAGNOSIS},
    LETTERING: set(),
    SCENE: CIRCUIT,
    SHAPES: READING | {LETTERING, SCENE},
    PLACING: READING | {LETTERING, SCENE, SHAPES},
    INKING: READING | {LETTERING, SCENE, SHAPES, PLACING},
    FILES_OF_DRAWINGS: READING | {LETTERING, SCENE, SHAPES, PLACING, INKING},
    LOGGED: BASE | {"recording", LETTERING, INKING, SCENE},
    WAYS: {"quantities", LETTERING, INKING, SCENE},
    "drawings": CIRCUIT | DRAWINGS,
    WORDS: ANSWERS,
    "reports.problems": ANSWERS | {WORDS},
    "reports.circuit": ANSWERS | {WORDS},
    "reports.live": ANSWERS | {WORDS},
    "reports.volts": ANSWERS | {WORDS},
    "reports.dead": ANSWERS | {WORDS, "reports.volts"},
    "reports.suspects": ANSWERS | {WORDS},
    "reports.job": ANSWERS | {WORDS, "reports.dead"},
    "reports.logged": ANSWERS | {WORDS},
    "reports.pages": ANSWERS | REPORTS,
    "reports.bay": ANSWERS | REPORTS,
    "platform_cache": READING,
    "flows": ANSWERS | DRAWINGS | REPORTS | {"platform_cache", "power.checks"},
    "web": ANSWERS | DRAWINGS | REPORTS | {"flows"},
    "editor": BASE | {"notation", "transcribing", "flows"},
    "cli": ANSWERS | DRAWINGS | REPORTS | {"flows", "web", "editor"},
    "__main__": {"cli"},
}
"""Each room of the package (a folder, a folder in a folder, or a file) and the other rooms it may use."""

OWNERS = {
    "lark": {"notation"},
    "networkx": {"circuit"},
    "graphviz": {"drawings"},
    "pygraphviz": {"drawings"},
    "resvg_py": {"drawings"},
    "click": {"cli"},
    "numpy": {"diagnosis", "recording", "drawings"},
    "yaml": {"evidence"},
    "fpdf": {"drawings", "reports"},
    "font_lato": {"drawings", "reports"},
    "fontTools": {"drawings", "reports"},
    "filelock": {"one_writer"},
    "markupsafe": {"reports"},
    "starlette": {"web"},
    "uvicorn": {"web"},
    "segno": {"web"},
    "PIL": {"jobs"},
    "pygls": {"editor"},
    "lsprotocol": {"editor"},
}
"""Foreign libraries and the only folders that may import them."""


def folder_of(module: str) -> str:
    """The folder or file right below the package that a module of ours belongs to; empty for the package itself."""
    return module.split(".")[1] if "." in module else ""


def room_of(module: str) -> str:
    """The innermost folder in which a module of ours stands, or the file right below the package; empty for the package
    itself."""
    inner = module.split(".")[1:]
    is_folder = MODULES[module].name == "__init__.py"
    return ".".join(inner if is_folder or len(inner) == 1 else inner[:-1])


def module_of(file: Path) -> str:
    names = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(names[:-1] if names[-1] == "__init__" else names)


@cache
def imports_of(file: Path) -> tuple[str, ...]:
    """All modules that a file imports, wherever in it; `from a import b` gives a.b when that is a module."""
    return tuple(_imports(ast.parse(file.read_text("utf-8")), file))


def _imports(tree: ast.Module, file: Path) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0 and node.module, f"{file}: imports are written in full"
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                yield inner if inner in MODULES else node.module


MODULES = {module_of(file): file for file in FILES}
OWN_IMPORTS = {
    module: {name for name in imports_of(file) if name.split(".")[0] == "circuitmap"}
    for module, file in MODULES.items()
}


@pytest.mark.parametrize("module", MODULES)
def test_nobody_imports_upward(module: str) -> None:
    room = room_of(module)
    allowed = (BASE if room in BASE else MAY_IMPORT.get(room, set())) | {room}
    upward = {name for name in OWN_IMPORTS[module] if room_of(name) not in allowed}
    assert not upward, f"{module} may not import {sorted(upward)}"


@pytest.mark.parametrize("module", MODULES)
def test_libraries_stay_with_their_owner(module: str) -> None:
    folder = folder_of(module)
    for name in imports_of(MODULES[module]):
        owners = OWNERS.get(name.split(".")[0])
        assert owners is None or folder in owners, f"{module} may not import {name}"


def test_every_library_of_the_project_has_an_owner() -> None:
    text = (ROOT / "pyproject.toml").read_text("utf-8")
    depended = {"pyyaml": "yaml", "resvg-py": "resvg_py", "fpdf2": "fpdf", "font-lato": "font_lato", "pillow": "PIL"}
    listed = text.partition("dependencies = [")[2].partition("]")[0]
    listed += text.partition("\neditor = [")[2].partition("]")[0].replace(", ", "\n")
    names = [line.strip(' ",').partition(">=")[0] for line in listed.split("\n") if line.strip()]
    wanted = {depended.get(name, name).lower() for name in names}
    assert wanted == {name.lower() for name in OWNERS}


def test_no_import_goes_in_a_circle() -> None:
    """Packages' own `__init__` files hold no imports of ours, so only modules are looked at."""
    done: set[str] = set()

    def follow(module: str, path: tuple[str, ...]) -> None:
        assert module not in path, "a circle: " + " -> ".join((*path[path.index(module) :], module))
        if module in done:
            return
        for name in OWN_IMPORTS.get(module, ()):
            follow(name, (*path, module))
        done.add(module)

    for module in MODULES:
        follow(module, ())


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_a_file_is_one_idea(file: Path) -> None:
    if str(file.relative_to(PACKAGE)) in GENERATED:
        return
    assert len(file.read_text("utf-8").splitlines()) <= LONGEST


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_a_file_says_what_it_is_for(file: Path) -> None:
    text = file.read_text("utf-8")
    assert not text.strip() or ast.get_docstring(ast.parse(text))


@pytest.mark.parametrize("file", FILES, ids=lambda file: str(file.relative_to(PACKAGE)))
def test_names_say_something(file: Path) -> None:
    empty_words = {"utils", "util", "helpers", "helper", "common", "misc", "manager", "tools", "stuff"}
    is_the_command = file == PACKAGE / "cli" / "common.py"
    assert is_the_command or file.stem not in empty_words - {"common"}
    if file.stem == "common":
        assert file.parent.name in ("cli", "circuit"), "only the command `common` and its answer are called so"


def test_every_command_has_its_file() -> None:
    for entry in COMMANDS:
        assert (PACKAGE / "cli" / f"{entry.module}.py").is_file(), entry.name


@pytest.mark.parametrize("folder", sorted({file.parent for file in FILES}), ids=lambda folder: folder.name)
def test_a_folder_opens_with_its_question(folder: Path) -> None:
    """The question that a folder answers stands in the folder itself, not only in DEVELOPERS.md."""
    if folder == PACKAGE:
        return
    said = ast.get_docstring(ast.parse((folder / "__init__.py").read_text("utf-8"))) or ""
    assert said, f"{folder.name}/__init__.py says what the folder answers"
    assert "?" in said or said.endswith("."), folder.name


# ---- nothing in the package that only tests call ----

BEGINNINGS = {
    "circuitmap.__main__",
    "circuitmap.notation.compile_grammar",
    "circuitmap.notation.textmate_grammar",
    "circuitmap.drawings.lettering.font_table",
}
"""Modules that somebody starts; all others are there because one of these uses them."""
BY_PATH = {"circuitmap.drawings.placing.graphviz_child"}
"""Started as a program of its own, by the path of its file."""
CALLED_BY_OTHERS = {
    "get_command": "click",
    "format_commands": "click",
    "writable": "io",
    "footer": "fpdf, at the end of every page",
    "posterior_and_next_test": "the benchmark: what has to be done again after each reading, without its words",
}
"""Functions that nothing in the package names, with who calls them."""


def test_every_module_is_reached_from_a_command() -> None:
    reached: set[str] = set()
    commands = {f"circuitmap.cli.{entry.module}" for entry in COMMANDS}
    todo = [*BEGINNINGS, *BY_PATH, *commands]
    while todo:
        module = todo.pop()
        if module not in reached:
            reached.add(module)
            todo += OWN_IMPORTS.get(module, ())
    unreached = {module for module, file in MODULES.items() if module not in reached and file.name != "__init__.py"}
    assert not unreached, "no command uses it: it belongs into tests, or nowhere"


def test_every_function_and_class_is_used_by_the_package() -> None:
    """Judged by name: what is only ever named where it is defined is called by nobody but tests."""
    named: Counter[str] = Counter()
    defined: dict[str, str] = {}
    for file in FILES:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            match node:
                case ast.Name(id=name) | ast.Attribute(attr=name) | ast.alias(name=name) | ast.keyword(arg=str(name)):
                    named[name] += 1
                case ast.FunctionDef(decorator_list=[ast.Call(func=ast.Attribute(attr="feature"))]):
                    pass  # what pygls calls when an editor asks for it
                case ast.FunctionDef(name=name) | ast.ClassDef(name=name) if not name.startswith("__"):
                    defined[name] = str(file.relative_to(PACKAGE))
                case _:
                    pass
        for text in _words_in_strings(file):
            named[text] += 1
    unused = {name: file for name, file in defined.items() if not named[name] and name not in CALLED_BY_OTHERS}
    unused = {name: file for name, file in unused.items() if file != "notation/transformer.py"}  # named by the grammar
    assert unused == {}
    assert not {name for name in CALLED_BY_OTHERS if named[name]}, "these are used after all"


def _words_in_strings(file: Path) -> Iterator[str]:
    """Strings that are one word: methods that are looked up by name, annotations in quotes."""
    for node in ast.walk(ast.parse(file.read_text("utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from re.findall(r"[A-Za-z_]\w*", node.value) if len(node.value) < 60 else ()


def test_a_class_name_has_one_meaning() -> None:
    """The drawing of a part is not a part: it is a `DrawnPart`. Private classes are known only in their own file."""
    homes: dict[str, list[str]] = {}
    for file in FILES:
        for node in ast.parse(file.read_text("utf-8")).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes.setdefault(node.name, []).append(str(file.relative_to(PACKAGE)))
    assert {name: files for name, files in homes.items() if len(files) > 1} == {}
