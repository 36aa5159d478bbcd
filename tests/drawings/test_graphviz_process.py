"""The child that runs Graphviz: what it answers, and what the message says when it hangs, dies, lies or talks too
much."""

import json
import os
import signal
import string
import sys
import threading
import time
from pathlib import Path

import pytest

from circuitmap.drawings.placing.graphviz_layout import (
    GraphvizProcess,
    LaidBox,
    LaidEdge,
    LayoutFailed,
    LayoutLimits,
    LayoutPlan,
    Port,
    dot_of,
)
from circuitmap.failures import LimitReached
from tests.drawings.pages import graphviz

PLAN = LayoutPlan(
    rows=((LaidBox("a", 40.0, (), (Port("p", 10.0), Port("q", 30.0))),), (LaidBox("b", 20.0), LaidBox("c", 20.0))),
    links=(LaidEdge("e0", "a", "p", "b", ""), LaidEdge("e1", "a", "q", "c", "")),
)


def child(tmp_path: Path, text: str) -> tuple[str, ...]:
    """A child process that does something other than it should."""
    file = tmp_path / "child.py"
    file.write_text(text, "utf-8")
    return (sys.executable, "-I", str(file))


def test_boxes_come_back_in_order_and_apart() -> None:
    middles = graphviz().arrange(PLAN)
    assert middles.keys() == {"a", "b", "c"}
    assert middles["c"] - middles["b"] >= 20 + PLAN.gap


def test_a_box_stands_below_its_port() -> None:
    plan = LayoutPlan(
        ((LaidBox("a", 200.0, (), (Port("p", 20.0),)),), (LaidBox("b", 20.0),)), (LaidEdge("e0", "a", "p", "b", ""),)
    )
    middles = graphviz().arrange(plan)
    assert middles["b"] == pytest.approx(middles["a"] - 80, abs=0.6)


def test_only_our_own_names_are_in_the_dot() -> None:
    assert not set(dot_of(PLAN)) - set(string.ascii_letters + string.digits + ' \t\n<>{}[]="/.:;->_')


def test_a_hanging_child_is_stopped_in_time(tmp_path: Path) -> None:
    hanging = child(tmp_path, "import time\ntime.sleep(600)\n")
    begun = time.monotonic()
    impatient = LayoutLimits(patience=0.5)
    with (
        pytest.raises(LayoutFailed, match=r"more than 0\.5 seconds by the clock"),
        GraphvizProcess(impatient, hanging) as p,
    ):
        p.arrange(PLAN)
    assert time.monotonic() - begun < 120, "far from the child's ten minutes, on a busy machine too"


def test_time_that_passes_before_a_layout_is_not_its_own(tmp_path: Path) -> None:
    """What a drawing is made of may take long to gather, and dozens of drawings may share one process."""
    answer = json.dumps({"nodes": {"a": [1.0, 2.0]}, "edges": []})
    slow = child(tmp_path, f"import sys\nwhile sys.stdin.readline():\n    print('{answer}', flush=True)\n")
    one_box = LayoutPlan(((LaidBox("a", 20.0),),), ())
    before = threading.active_count()
    with GraphvizProcess(LayoutLimits(patience=60.0), slow) as process:
        assert threading.active_count() == before, "no clock runs before a layout is asked for"
        for _ in range(3):
            assert process.arrange(one_box) == {"a": 1.0}
            patience = time.monotonic() + 30
            while threading.active_count() > before and time.monotonic() < patience:
                time.sleep(0.01)
            assert threading.active_count() == before, "nor after it has come"


@pytest.mark.skipif(not hasattr(signal, "SIGXCPU"), reason="processor time is limited on POSIX")
def test_a_child_that_works_too_long_is_told(tmp_path: Path) -> None:
    dying = child(
        tmp_path, "import os, signal, sys\nsys.stdin.buffer.readline()\nos.kill(os.getpid(), signal.SIGXCPU)\n"
    )
    with pytest.raises(LayoutFailed, match="more than 20 seconds of the processor"), GraphvizProcess(child=dying) as p:
        p.arrange(PLAN)


def test_a_child_that_never_reads_is_stopped_in_time(tmp_path: Path) -> None:
    """A large plan fills the pipe: the write itself must not hang."""
    hanging = child(tmp_path, "import time\ntime.sleep(600)\n")
    boxes = tuple(LaidBox(f"b{number}", 20.0) for number in range(20_000))
    with pytest.raises(LayoutFailed, match="more than"), GraphvizProcess(LayoutLimits(patience=2.0), hanging) as p:
        p.arrange(LayoutPlan((boxes,), ()))


def test_a_child_that_exits_is_told(tmp_path: Path) -> None:
    """Graphviz can exit the process it runs in."""
    dying = child(tmp_path, "import os, sys\nsys.stdin.buffer.readline()\nos._exit(3)\n")
    with pytest.raises(LayoutFailed, match=r"ended unexpectedly \(code 3\)"), GraphvizProcess(child=dying) as process:
        process.arrange(PLAN)


@pytest.mark.skipif(os.name != "posix", reason="signals are a matter of POSIX")
def test_a_killed_child_is_told(tmp_path: Path) -> None:
    dying = child(
        tmp_path, "import os, signal, sys\nsys.stdin.buffer.readline()\nos.kill(os.getpid(), signal.SIGSEGV)\n"
    )
    with pytest.raises(LayoutFailed, match="ended unexpectedly"), GraphvizProcess(child=dying) as process:
        process.arrange(PLAN)


def test_an_answer_without_end_is_cut_off(tmp_path: Path) -> None:
    talking = child(tmp_path, "import sys\nwhile True:\n    sys.stdout.write('x' * 4096)\n")
    with (
        pytest.raises(LayoutFailed, match="too large"),
        GraphvizProcess(LayoutLimits(10.0, 512, 100_000), talking) as p,
    ):
        p.arrange(PLAN)


def test_a_missing_node_is_a_failure(tmp_path: Path) -> None:
    lying = child(
        tmp_path,
        "import sys, json\nsys.stdin.buffer.readline()\n"
        "print(json.dumps({'nodes': {'a': [0, 0]}, 'edges': [], 'complaints': ''}), flush=True)\n",
    )
    with pytest.raises(LayoutFailed, match="incomplete"), GraphvizProcess(child=lying) as process:
        process.arrange(PLAN)


def test_a_complaint_is_a_failure_even_if_all_else_is_well(tmp_path: Path) -> None:
    lying = child(
        tmp_path,
        "import sys, json\nsys.stdin.buffer.readline()\n"
        "nodes = {name: [0, 0] for name in 'abc'}\n"
        "print(json.dumps({'nodes': nodes, 'edges': ['e0', 'e1', 's1'], 'complaints': 'Error: trouble in init_rank'}),"
        " flush=True)\n",
    )
    with pytest.raises(LayoutFailed, match="trouble in init_rank"), GraphvizProcess(child=lying) as process:
        process.arrange(PLAN)


def test_missing_fonts_are_nothing_to_fail_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """No text goes through Graphviz, so a machine without any font or font configuration draws as well."""
    monkeypatch.setenv("FONTCONFIG_FILE", "/nonexistent/fonts.conf")
    with GraphvizProcess() as process:
        assert process.arrange(PLAN) == graphviz().arrange(PLAN)


def test_what_graphviz_itself_complains_about_is_a_failure() -> None:
    with GraphvizProcess() as process, pytest.raises(LayoutFailed, match="could not be laid out"):
        process._ask("digraph { a -> ")


@pytest.mark.skipif(sys.platform != "linux", reason="the memory limit is enforced where the system can")
def test_memory_is_limited() -> None:
    with pytest.raises(LayoutFailed), GraphvizProcess(LayoutLimits(memory_megabytes=40)) as process:
        process.arrange(PLAN)


def test_a_program_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(LayoutFailed, match="could not be started"):
        GraphvizProcess(child=(str(tmp_path / "nothing"),))


def test_it_is_a_limit_for_the_command_line() -> None:
    assert issubclass(LayoutFailed, LimitReached) and LayoutFailed("x").exit_code == 4


def test_nothing_of_graphviz_is_loaded_here() -> None:
    """In our own process Graphviz could end the whole program."""
    graphviz().arrange(PLAN)
    assert "pygraphviz" not in sys.modules
