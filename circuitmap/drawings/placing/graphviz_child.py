"""Runs Graphviz in a process of its own. Started by path, never imported by the package.

Reads requests from standard input, each a line with the number of bytes and then the DOT text; answers each with one
line of JSON: `{"nodes": {name: [x, y]}, "edges": [name, ...]}` in points, or `{"error": ...}`. What Graphviz writes to
its error output is sent along, because Graphviz can fail and still end as if all were well.
"""

import json
import os
import sys


def limit_self(megabytes: int, seconds: int) -> None:
    """Limit memory and processor time, on systems that can."""
    try:
        import resource
    except ImportError:
        return
    size = megabytes * 1024 * 1024
    for what, limit in ((resource.RLIMIT_AS, size), (resource.RLIMIT_CPU, seconds), (resource.RLIMIT_CORE, 0)):
        hard = resource.getrlimit(what)[1]
        if hard != resource.RLIM_INFINITY:
            limit = min(limit, hard)
        resource.setrlimit(what, (limit, limit))


def arrange(dot: str) -> dict[str, object]:
    """The positions of all nodes, and the names of all edges that are in the laid-out graph."""
    import pygraphviz

    graph = pygraphviz.AGraph(string=dot)
    graph.layout(prog="dot")
    nodes = {}
    for node in graph.nodes_iter():
        across, up = node.attr["pos"].split(",")
        nodes[str(node)] = [float(across), float(up)]
    return {"nodes": nodes, "edges": [edge[2] for edge in graph.edges_iter(keys=True)]}


def main() -> None:
    limit_self(int(sys.argv[1]), int(sys.argv[2]))
    answers = os.fdopen(os.dup(1), "w", encoding="ascii")
    try:
        import tempfile

        import pygraphviz  # noqa: F401  (loaded before the first request arrives)
    except Exception as error:
        answers.write(json.dumps({"error": f"{type(error).__name__}: {error}"}) + "\n")
        return
    complaints = tempfile.TemporaryFile()  # noqa: SIM115  (open as long as this process lives)
    os.dup2(complaints.fileno(), 1)
    os.dup2(complaints.fileno(), 2)
    while size := sys.stdin.buffer.readline():
        try:
            answer = arrange(sys.stdin.buffer.read(int(size)).decode("utf-8"))
        except Exception as error:
            answer = {"error": f"{type(error).__name__}: {error}"}
        complaints.seek(0)
        answer["complaints"] = complaints.read(4096).decode("utf-8", "replace")
        complaints.seek(0)
        complaints.truncate()
        answers.write(json.dumps(answer) + "\n")
        answers.flush()


if __name__ == "__main__":
    main()
