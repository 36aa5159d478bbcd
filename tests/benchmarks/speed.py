"""How long it takes, as ratios to what any program of this kind must pay, measured in one run on one machine.

`python -m tests.benchmarks.speed` prints the table; each figure is the median of five fresh processes, the two sides
taking turns. "Again" is a second run, with the platform in the cache. Run it on a normal (not editable) installation.
Exit code 1 if a goal is missed by more than the factor
`--patience`: a busy machine shakes single figures.
"""

import argparse
import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from statistics import median

from tests.benchmarks.long_platform import write_long_platform

TIMES = 5
TRUCK = Path(__file__).parent.parent.parent / "sample_vehicles" / "truck"
READINGS = ("BAT=0.47A", "F6=0.6mV", "F11=0.3mV", "F19=0.7mV", "F24=0.5mV", "F33=0.7mV")


@dataclass(frozen=True)
class Ratio:
    """`ours` against `theirs`, seconds; `goal` is the most that the quotient should be."""

    what: str
    against: str
    ours: float
    theirs: float
    goal: float

    @property
    def value(self) -> float:
        return self.ours / self.theirs


def seconds_of(command: list[str], cache: Path | None = None) -> float:
    """Wall-clock seconds of one fresh process, outside of the checkout so that the installed package is used; with an
    empty cache to fill, or with this one."""
    with tempfile.TemporaryDirectory() as empty:
        environment = {**os.environ, "CIRCUITMAP_CACHE": str(cache or empty)}
        began = time.perf_counter()
        done = subprocess.run(
            command, cwd=ROOM, env=environment, capture_output=True, check=False, stdin=subprocess.DEVNULL
        )
        took = time.perf_counter() - began
    if done.returncode not in (0, 1):
        raise SystemExit(f"{' '.join(command)} failed:\n{done.stderr.decode()}")
    return took


def turn_about(ours: list[str], theirs: list[str], cache: Path | None = None) -> tuple[float, float]:
    """Medians of both commands, taking turns, after one run of each that does not count. Each run of ours starts with
    an empty cache, or all with this one, which the first fills."""
    seconds_of(ours, cache), seconds_of(theirs)
    pairs = [(seconds_of(ours, cache), seconds_of(theirs)) for _ in range(TIMES)]
    return median(a for a, _ in pairs), median(b for _, b in pairs)


def python(code: str, *words: str | Path) -> list[str]:
    return [sys.executable, "-c", code, *map(str, words)]


def circuitmap(*words: str | Path) -> list[str]:
    return [sys.executable, "-m", "circuitmap", *map(str, words)]


GRAPH_OF = (Path(__file__).with_name("as_graph.py")).read_text("utf-8")
"""For programs of their own, which run elsewhere and bring it with them."""

BUILD = (
    GRAPH_OF
    + """
import sys
from pathlib import Path
from circuitmap.cli.main import collect_seldom
from circuitmap.flows.questions import Bench, check
collect_seldom()  # as the program does
platform = check(Path(sys.argv[1]))
graph = graph_of(Bench(platform, {}).circuit)
assert graph.number_of_edges() >= len(platform.wires)
"""
)
WRITE_GRAPHS = """
import sys
from pathlib import Path
import networkx
from circuitmap.flows.questions import open_platform
platform = open_platform(Path(sys.argv[1]))
graph = networkx.MultiGraph()
for wire in platform.wires:
    span = wire.spans[0]
    graph.add_edge(
        f"{wire.a}{wire.a.half}", f"{wire.b}{wire.b.half}", kind=wire.kind, colour=wire.colour_written,
        size=wire.size or 0.0, size_written=wire.size_written, name=wire.name, code=wire.code,
        sheets=" ".join(wire.sheets), path=span.path, start=span.start, end=span.end,
    )
for node in graph:
    part = platform.parts[node.rstrip("al").rpartition(".")[0]] if "." in node else None
    graph.nodes[node].update(part=node.rpartition(".")[0], kind=part.kind if part else "")
networkx.write_gml(graph, sys.argv[2] + ".gml")
networkx.write_graphml(graph, sys.argv[2] + ".graphml")
"""


def reading(room: Path) -> list[Ratio]:
    folder = write_long_platform(room / "w5000", 5_000)
    seconds_of(python(WRITE_GRAPHS, folder, room / "graph"))
    gml = python("import sys, networkx; networkx.read_gml(sys.argv[1])", room / "graph.gml")
    graphml = python("import sys, networkx; networkx.read_graphml(sys.argv[1])", room / "graph.graphml")
    what = "read, check and build 5,000 wires"
    return [
        Ratio(what, "networkx.read_gml of the same graph", *turn_about(python(BUILD, folder), gml), 2.0),
        Ratio(
            f"{what} again",
            "networkx.read_graphml of it",
            *turn_about(python(BUILD, folder), graphml, room / "cache"),
            1.0,
        ),
    ]


def start_up(room: Path) -> list[Ratio]:
    asked = (
        (circuitmap("trace", TRUCK, "LIFT"), "import networkx", 2.0, 1.4),
        (circuitmap("check", TRUCK), "import click, lark", 4.0, None),
        (circuitmap("suspects", TRUCK, *READINGS), "import networkx, numpy", 2.0, 1.6),
    )
    ratios = []
    for command, imports, goal, goal_again in asked:
        what, against = f"cold `circuitmap {command[3]}` on the truck", f"python -c '{imports}'"
        ratios.append(Ratio(what, against, *turn_about(command, python(imports)), goal))
        if goal_again is not None:
            ratios.append(
                Ratio(f"{what} again", against, *turn_about(command, python(imports), room / "cache"), goal_again)
            )
    return ratios


GROWTH = (
    GRAPH_OF
    + """
import sys, time
from pathlib import Path
from circuitmap.cli.main import collect_seldom
from circuitmap.flows.questions import Bench, check
collect_seldom()
for folder in (sys.argv[1], sys.argv[2]):
    began = time.process_time()
    graph_of(Bench(check(Path(folder)), {}).circuit)
print(time.process_time() - began)
"""
)


def growth(room: Path) -> list[Ratio]:
    """Processor time of the work itself: each process warms up on the small platform before the one that is timed."""
    small = write_long_platform(room / "w500", 500)
    large = write_long_platform(room / "w5000", 5_000)
    times: dict[Path, list[float]] = {small: [], large: []}
    for _ in range(TIMES):
        for folder in (small, large):
            done = subprocess.run(
                python(GROWTH, small, folder),
                cwd=ROOM,
                env={**os.environ, "CIRCUITMAP_CACHE": ""},
                capture_output=True,
                text=True,
                check=True,
            )
            times[folder].append(float(done.stdout))
    ours, theirs = median(times[large]), 10 * median(times[small])
    return [Ratio("read, check and build 5,000 wires", "ten times its own 500 wires", ours, theirs, 1.2)]


RECORD = """
import sys
from pathlib import Path
from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
ask, asked = GraphvizProcess._ask, []
def noting(self, dot):
    asked.append(dot)
    return ask(self, dot)
GraphvizProcess._ask = noting
code = end_of(program, sys.argv[2:])
for number, dot in enumerate(asked):
    Path(sys.argv[1], f"{number}.dot").write_text(dot)
sys.exit(code)
"""
LAY_OUT = """
import sys, pygraphviz
for file in sys.argv[1:]:
    graph = pygraphviz.AGraph(file)
    graph.layout(prog="dot")
    assert all(node.attr["pos"] for node in graph.nodes_iter())
"""


def drawing(room: Path) -> list[Ratio]:
    """A drawing of about forty nodes against `trace` and 1.5 times a bare child process that does the same layout:
    what our own child was asked is recorded and laid out by a process that does nothing else."""
    fuses = [word for fuse in ("F6", "F11", "F19", "F24", "F33") for word in ("--drawing", fuse)]
    words = ["diagram", TRUCK, *fuses, "-o", room / "forty.svg"]
    asked = room / "asked"
    asked.mkdir()
    seconds_of(python(RECORD, asked, *words))
    bare = python(LAY_OUT, *sorted(asked.iterdir()))
    draw, trace = turn_about(circuitmap(*words), circuitmap("trace", TRUCK, "LIFT"))
    layout = median(seconds_of(bare) for _ in range(TIMES))
    return [Ratio("SVG of forty nodes on the truck", "trace + 1.5 x a bare layout", draw, trace + 1.5 * layout, 1.0)]


PARTS: dict[str, Callable[[Path], list[Ratio]]] = {
    "reading": reading,
    "start-up": start_up,
    "growth": growth,
    "drawing": drawing,
}
ROOM = Path(tempfile.gettempdir())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", choices=PARTS, action="append", help="measure only this; may be repeated")
    parser.add_argument("--patience", type=float, default=1.0, help="factor by which a goal may be missed")
    parser.add_argument("--json", action="store_true", help="print figures for programs")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        ratios = [ratio for part in asked.only or PARTS for ratio in PARTS[part](Path(name))]
    if asked.json:
        print(json.dumps([{**vars(ratio), "ratio": ratio.value} for ratio in ratios], indent=2))
    else:
        print(f"{'':45}{'against':40}{'ours':>8}{'theirs':>8}{'ratio':>7}{'goal':>6}")
        for r in ratios:
            verdict = "" if r.value <= r.goal else "  missed"
            print(f"{r.what:45}{r.against:40}{r.ours:7.3f}s{r.theirs:7.3f}s{r.value:7.2f}{r.goal:6.1f}{verdict}")
    sys.exit(any(ratio.value > ratio.goal * asked.patience for ratio in ratios))


if __name__ == "__main__":
    main()
