"""Asks Graphviz, in a child process with limits, where the nodes of a drawing should go.

Graphviz can hang, exit the process it runs in, or report an error and still succeed; so it never runs in ours. Only
names made of our own counters are sent to it, never a word that a person wrote.
"""

import contextlib
import json
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import TracebackType
from typing import NamedTuple, Self

from circuitmap.failures import LimitReached

CHILD = Path(__file__).with_name("graphviz_child.py")
FEWER = "Draw fewer parts: name the ones that matter, or one sheet at a time."


MOST_ARRANGED = 4_500
"""Most boxes and links of one layout (judgement: some seconds; the whole truck of the samples has fewer)."""


class LayoutFailed(LimitReached):
    """The drawing could not be laid out within its limits."""


class LayoutLimits(NamedTuple):
    """What a layout may take: seconds of processor time, of all that one process lays out; memory; the size of the
    answer; and seconds by the clock for one layout, which only end what would never end, so that a busy machine draws
    what an idle one does."""

    seconds: float = 20.0
    memory_megabytes: int = 1024
    answer_bytes: int = 4_000_000
    patience: float = 300.0


USUAL_LIMITS = LayoutLimits()
_OUT_OF_TIME = tuple(-getattr(signal, name) for name in ("SIGXCPU", "SIGKILL") if hasattr(signal, name))
"""How a process ends that has had all its processor time."""


class Port(NamedTuple):
    """A place where an edge touches a node, `x` points from its left edge."""

    name: str
    x: float


class LaidBox(NamedTuple):
    """A node: its width in points and its ports along the top and the bottom."""

    name: str
    width: float
    top: tuple[Port, ...] = ()
    bottom: tuple[Port, ...] = ()


class LaidEdge(NamedTuple):
    """An edge from a lower edge to an upper edge; a port may be empty."""

    name: str
    upper: str
    upper_port: str
    lower: str
    lower_port: str
    weight: int = 1


class LayoutPlan(NamedTuple):
    """What Graphviz is asked to arrange: rows of boxes from top to bottom, and links between neighbouring rows."""

    rows: tuple[tuple[LaidBox, ...], ...]
    links: tuple[LaidEdge, ...]
    gap: float = 10.0


def dot_of(plan: LayoutPlan) -> str:
    """The plan as DOT. Only names made of counters are quoted, so nothing needs to be escaped."""
    lines = [
        "digraph {",
        f"graph [nodesep={plan.gap / 72:.4f} ranksep=0.3 splines=line]",
        'node [shape=plain margin=0 label=""]',
        "edge [arrowhead=none]",
    ]
    for number, row in enumerate(plan.rows):
        lines += ["{ rank=same", f"r{number} [shape=point width=0.01 height=0.01]", *map(_box, row), "}"]
        if number:
            lines.append(f"r{number - 1} -> r{number} [key=s{number} style=invis weight=0]")
    for link in plan.links:
        upper = f'"{link.upper}":"{link.upper_port}":s' if link.upper_port else f'"{link.upper}"'
        lower = f'"{link.lower}":"{link.lower_port}":n' if link.lower_port else f'"{link.lower}"'
        lines.append(f'{upper} -> {lower} [key="{link.name}" weight={link.weight}]')
    return "\n".join((*lines, "}\n"))


def _box(box: LaidBox) -> str:
    if not (box.top or box.bottom):
        return f'"{box.name}" [shape=box fixedsize=true width={box.width / 72:.5f} height=0.1]'
    rows = "".join(f"<TR><TD>{_cells(box.width, ports)}</TD></TR>" for ports in (box.top, box.bottom))
    return f'"{box.name}" [label=<{_TABLE}{rows}</TABLE>>]'


_TABLE = '<TABLE BORDER="0" CELLBORDER="0" CELLSPACING="0" CELLPADDING="0">'


def _cells(width: float, ports: Sequence[Port]) -> str:
    """A row of cells as wide as the node, with a cell centred on each port."""
    cells = []
    at = 0.0
    ordered = sorted(ports, key=lambda port: port.x)
    for number, port in enumerate(ordered):
        before = port.x - at
        after = (ordered[number + 1].x if number + 1 < len(ordered) else width) - port.x
        half = max(1, int(min(before, after / 2 if number + 1 < len(ordered) else after)))
        if before > half:
            cells.append(_cell(before - half))
        cells.append(_cell(2 * half, port.name))
        at = port.x + half
    if at < width:
        cells.append(_cell(width - at))
    return f"{_TABLE}<TR>{''.join(cells)}</TR></TABLE>"


def _cell(width: float, port: str = "") -> str:
    named = f' PORT="{port}"' if port else ""
    return f'<TD FIXEDSIZE="TRUE" WIDTH="{round(width)}" HEIGHT="4"{named}></TD>'


class GraphvizProcess:
    """A child process that arranges plans, one after the other. Use as a context manager.

    It is started at once and loads Graphviz while the caller prepares the first plan.
    """

    def __init__(self, limits: LayoutLimits = USUAL_LIMITS, child: Sequence[str] = (sys.executable, "-I", str(CHILD))):
        self._limits = limits
        self._too_late = False
        self.arranged = 0
        """How many boxes and links it has been asked to arrange so far."""
        environment = {name: value for name, value in os.environ.items() if not name.startswith(("GV", "DOT"))}
        try:
            self._process = subprocess.Popen(
                [*child, str(limits.memory_megabytes), str(max(1, round(limits.seconds)))],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=environment,
            )
        except OSError as error:
            raise LayoutFailed(f"The program that lays out drawings could not be started: {error.strerror}.") from None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._process.kill()
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe:
                with contextlib.suppress(OSError):
                    pipe.close()
        self._process.wait()

    def arrange(self, plan: LayoutPlan) -> Mapping[str, float]:
        """The middle of every box of the plan, in points from the left. Raises LayoutFailed."""
        asked = sum(map(len, plan.rows)) + len(plan.links)
        if asked > MOST_ARRANGED:
            raise LayoutFailed(f"There are more than {MOST_ARRANGED:,} boxes and lines to lay out.", FEWER)
        self.arranged += asked
        watch = threading.Timer(self._limits.patience, self._stop)
        watch.daemon = True
        watch.start()
        try:
            answer = self._ask(dot_of(plan))
        finally:
            watch.cancel()
        nodes, edges = answer["nodes"], answer["edges"]
        boxes = {box.name for row in plan.rows for box in row}
        links = {link.name for link in plan.links}
        if not boxes <= nodes.keys() or not links <= set(edges) or len(edges) != len(links) + len(plan.rows) - 1:
            raise LayoutFailed("The layout of the drawing came back incomplete.", FEWER)
        return {name: nodes[name][0] for name in boxes}

    def _ask(self, dot: str) -> dict[str, dict[str, list[float]]]:
        text = dot.encode("utf-8")
        pipe_in, pipe_out = self._process.stdin, self._process.stdout
        assert pipe_in and pipe_out
        try:
            pipe_in.write(b"%d\n" % len(text) + text)
            pipe_in.flush()
            line = pipe_out.readline(self._limits.answer_bytes + 1)
        except OSError:
            line = b""
        if len(line) > self._limits.answer_bytes:
            raise LayoutFailed("The layout of the drawing is too large.", FEWER)
        if not line.endswith(b"\n"):
            raise LayoutFailed(self._why_it_ended(), FEWER)
        answer = json.loads(line)
        # Libraries below Graphviz print warnings too, about fonts for instance; Graphviz says `Error:` when it gives
        # up.
        given_up = [text for text in answer.get("complaints", "").splitlines() if text.startswith("Error:")]
        wrong = answer.get("error") or "".join(given_up[:1])
        if wrong:
            raise LayoutFailed(f"The drawing could not be laid out: {wrong.strip().splitlines()[0]}", FEWER)
        return answer  # type: ignore[no-any-return]

    def _why_it_ended(self) -> str:
        if self._too_late:
            return f"Laying out the drawing took more than {self._limits.patience:g} seconds by the clock."
        try:
            code = self._process.wait(timeout=1)
        except subprocess.TimeoutExpired:
            return "The program that lays out drawings stopped answering."
        if code in _OUT_OF_TIME:
            return f"Laying out the drawing took more than {self._limits.seconds:g} seconds of the processor."
        return f"The program that lays out drawings ended unexpectedly (code {code})."

    def _stop(self) -> None:
        self._too_late = True
        self._process.kill()
