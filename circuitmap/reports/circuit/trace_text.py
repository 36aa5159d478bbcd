"""`trace` as text: how a part is fed, how it is grounded, what hangs on it."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

from circuitmap.circuit.branches import Branch
from circuitmap.circuit.feeding import Taking
from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.circuit.parked import opened_by
from circuitmap.circuit.path import PROTECTIVE, Path, Step
from circuitmap.circuit.trace import PinTrace, Trace
from circuitmap.power.feeds import Feed
from circuitmap.reports.circuit.cavities_text import cavity_lines
from circuitmap.reports.circuit.grounded_text import grounded_lines
from circuitmap.reports.circuit.trace_head import head_lines, loads_name, named_in
from circuitmap.reports.circuit.worked_text import worked_lines
from circuitmap.reports.words.demand_words import demand_words
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.reports.words.hands_off_words import in_one_line, untouchable_among
from circuitmap.reports.words.paragraphs import (
    WIDTH,
    as_text,
    counted,
    cut_short,
    joined,
    section,
    shortened,
    wrapped,
)
from circuitmap.reports.words.part_words import (
    condition_words,
    signal_words,
    terminal_words,
    wire_words,
)
from circuitmap.reports.words.path_words import contact_words, made_by, path_lines
from circuitmap.reports.words.unknown_words import open_end_sentence, unknown_sentences
from circuitmap.wiring.parts import Terminal, is_unnamed
from circuitmap.wiring.platform import Platform

_MOST_WAYS = 6
_MOST_LINES = 60
"""How many lines the tree downstream may have before what lies behind fuses is only named (judgement: two screens)."""


def trace_text(
    platform: Platform,
    trace: Trace,
    fed: Mapping[Terminal, Feed],
    width: int = WIDTH,
    whole: bool = False,
    hands_off: HandsOffMap | None = None,
) -> str:
    """`fed` says for each terminal when it is live. Long lists are cut short unless the `whole` is asked for. With
    `hands_off` it says what of all that nobody touches."""
    blocks: list[Sequence[str]] = [
        [
            *head_lines(platform, trace, fed, width, whole),
            *section("HANDS OFF", in_one_line(untouchable_among(hands_off, named_in(trace))), width),
        ],
        *_ways(platform, trace, "FEED", width),
        *_ways(platform, trace, "GROUND", width),
        worked_lines(platform, trace.worked, fed, width, whole),
        _downstream(platform, trace, fed, width),
        *grounded_lines(platform, trace, width),
        *cavity_lines(platform, trace, width),
        section("SHEETS", [", ".join(trace.sheets)] if trace.sheets else [], width),
        section(
            "NOT KNOWN",
            [*map(open_end_sentence, trace.open_ends), *unknown_sentences(platform, trace.unknown)],
            width,
        ),
    ]
    return as_text(*(blocks if whole else map(cut_short, blocks)))


def _ways(platform: Platform, trace: Trace, label: str, width: int) -> Iterator[list[str]]:
    """Each way to or from each pin as a block of its own; ways back through contacts are only counted."""
    shown: list[Path] = []
    for pin in trace.pins:
        paths = pin.supply if label == "FEED" else pin.ground
        elsewhere = [path for path in paths if label == "GROUND" and trace.returns.of(path) == "other"]
        paths = tuple(path for path in paths if path not in elsewhere and not (path.second and made_by(platform, path)))
        direct = [path for path in paths if not path.roundabout and not path.second]
        second = [path for path in paths if path.second]
        name = terminal_words(platform, pin.terminal)
        for number, path in enumerate(direct[:_MOST_WAYS], 1):
            of = f", way {number} of {len(direct)}" if len(direct) > 1 else ""
            yield [
                *wrapped(f"{label} {name}{of}{_whose(trace, path, label)}{_when(pin, path, label)}", "", "    ", width),
                *path_lines(platform, path, shown, width),
            ]
            shown.append(path)
        remarks = []
        if len(direct) > _MOST_WAYS:
            remarks.append(f"{counted(len(direct) - _MOST_WAYS, 'more way')} to {name}: --json lists them.")
        if second:
            ways = counted(len(second), "way")
            remarks.append(f"{ways} to {name} from {_origins(platform, second, direct)} besides: --json lists them.")
        if len(paths) > len(direct) + len(second):
            around = counted(len(paths) - len(direct) - len(second), "roundabout way")
            remarks.append(f"{around} to {name} back through a closed contact: not shown.")
        if elsewhere:
            posts = joined(list(dict.fromkeys(path.end.part for path in elsewhere)))
            remarks.append(
                f"{counted(len(elsewhere), 'way')} from {name} to {posts}, which does not feed it: not shown."
            )
        yield section("", remarks, width)


def _whose(trace: Trace, path: Path, label: str) -> str:
    """Whose current takes a way to ground, where other ways are those of another battery."""
    if label == "FEED" or path.end.pin != "-" or len(trace.returns.main | trace.returns.besides) < 2:
        return ""
    return f", for what {path.end.part} feeds"


def _origins(platform: Platform, paths: Sequence[Path], than: Sequence[Path] = ()) -> str:
    """`LEIS and LEIS2, only through MCHG.S+`: batteries, and the contacts that each of these ways needs but none of the
    others."""
    batteries = dict.fromkeys(path.start.part for path in paths)
    needed = [set(opened_by(platform, path)) for path in paths]
    known = {name for path in than for name in opened_by(platform, path)}
    contacts = sorted(set.intersection(*needed) - known)
    return joined(list(batteries)) + (f", only through {joined(contacts)}," if contacts else "")


def _when(pin: PinTrace, path: Path, label: str) -> str:
    """What is special about a way: its pin's role is assumed, its far end is not typed in, it needs a contact
    closed."""
    role = f" (taken for a {pin.role} pin)" if pin.assumed and pin.role else ""
    if is_unnamed(pin.terminal.pin) and pin.role:
        role = " (a pin nobody named)"
    end = ", from a place that is not typed in" if label == "FEED" else ", to a place that is not typed in"
    when = demand_words(path.demands)
    return role + ("" if path.known else end) + (f": when {when}" if when else "")


def _downstream(platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], width: int) -> list[str]:
    lines: list[str] = []
    for folded in ("", "last fuse", "next fuse"):  # told in full if that is readable
        lines = []
        for branch in trace.branches:
            most = None if folded == "next fuse" else _MOST_LINES - len(lines)
            lines += _branch_lines(platform, branch, fed, width, folded, most)
        if len(lines) <= _MOST_LINES:
            break
    if trace.backwards:
        lines += _backwards(platform, trace, width)
    return ["DOWNSTREAM", *lines] if lines else []


def _backwards(platform: Platform, trace: Trace, width: int) -> list[str]:
    """What the part feeds only against the direction of a fuse, in one line."""
    loads = tuple(dict.fromkeys(d.part for d in trace.backwards if d.taking.kind in ("load", "reversed")))
    paths = [path for there in trace.backwards for path in there.paths]
    fuses = dict.fromkeys(
        step.link.part for path in paths for step in path.steps if step.link.kind in PROTECTIVE and not step.forward
    )
    what = f"{counted(len(loads), 'load')} ({shortened(loads, 4)})" if loads else "no load"
    text = f"backwards through {shortened(list(fuses), 3)}, from {_origins(platform, paths)}: {what}"
    return wrapped(text.replace(",:", ":"), " ", "     ", width)


def _branch_lines(
    platform: Platform, root: Branch, fed: Mapping[Terminal, Feed], width: int, folded: str, most: int | None
) -> list[str]:
    """A tree by indentation, without recursion, so that no platform is too deep for it. If `folded`, what lies behind
    the `next fuse` or the `last fuse` is only named. It stops once it has more than `most` lines."""
    lines: list[str] = []
    todo = [(root, 0)]
    while todo and (most is None or len(lines) <= most):
        branch, depth = todo.pop()
        indent = " " + "  " * min(depth, 12)
        cut = _up_to_a_fuse(branch, folded == "last fuse") if folded else None
        if cut is not None:
            names = dict.fromkeys(loads_name(platform, t.part) for t in _all_takings(branch) if t.kind != "end")
            what = shortened(list(names), 4) or "nothing typed in behind it"
            lines += wrapped(f"{_chain(platform, cut)}: {what}", indent, indent + "    ", width)
            continue
        if branch.steps or not depth:
            taking = [_taking_words(platform, t.terminal, t.kind, fed) for t in branch.takings]
            about = f": {'; '.join(word for word in taking if word)}" if any(taking) else ""
            lines += wrapped(f"{_chain(platform, branch)}{about}", indent, indent + "    ", width)
        todo += [(after, depth + 1) for after in reversed(branch.branches)]
    return lines


def _up_to_a_fuse(branch: Branch, last: bool) -> Branch | None:
    """The branch as far as the first fuse on it or, if asked for, as far as its `last` one, provided that no fuse
    follows in what it branches into; None if there is no such fuse."""
    fuses = [number for number, step in enumerate(branch.steps, 1) if step.link.kind in PROTECTIVE]
    if not fuses or (last and any(_has_fuse(after) for after in branch.branches)):
        return None
    return branch._replace(steps=branch.steps[: fuses[-1 if last else 0]])


def _has_fuse(root: Branch) -> bool:
    todo = [root]
    while todo:
        branch = todo.pop()
        if any(step.link.kind in PROTECTIVE for step in branch.steps):
            return True
        todo += branch.branches
    return False


def _all_takings(root: Branch) -> Iterator[Taking]:
    todo = [root]
    while todo:
        branch = todo.pop()
        yield from branch.takings
        todo += reversed(branch.branches)


def _chain(platform: Platform, branch: Branch) -> str:
    """`CAB.F22 -> X14.14 -> SP5 in OG/BK 0.75mm2`, as it is typed: what is said after an end also holds for the wires
    before it, where those say nothing. Points of one part stand there only once."""
    start = terminal_words(platform, branch.start)
    steps: list[tuple[str, str]] = []
    for step in branch.steps:
        name, how = terminal_words(platform, step.end), _step_words(platform, step)
        if name != (steps[-1][0] if steps else start) or how:
            steps.append((name, how))
    chain = start
    for (name, how), (_, following) in zip_longest(steps, steps[1:], fillvalue=("", "")):
        chain += f" -> {name}"
        if how.startswith("in ") and following == how:
            continue
        shown = how if following.startswith("in ") else how.removeprefix(_NOT_PRINTED).strip()
        chain += f" {shown}" if shown else ""
    return chain


_NOT_PRINTED = "in ?"


def _step_words(platform: Platform, step: Step) -> str:
    """What a wire looks like, or when a contact conducts; nothing inside a part."""
    link = step.link
    if link.wire is None:
        return f"({contact_words(platform, link)})" if link.contact else ""
    its = wire_words(link.wire)
    look = f"in {'?' if its == 'wire' else its}" if link.wire.kind == "wire" else f"({its})"
    return f"{look} {condition_words(link.condition)}".strip()


def _taking_words(platform: Platform, terminal: Terminal, kind: str, fed: Mapping[Terminal, Feed]) -> str:
    part = platform.parts.get(terminal.part)
    about = part.description if part is not None and kind != "open end" else ""
    if kind == "battery":
        return about or "battery"
    told = {"coil": "relay coil", "end": "nothing typed in behind it", "reversed": "runs both ways"}
    what = told.get(kind) or signal_words(kind)
    feed = feed_words(fed[terminal]) if terminal in fed and kind == "load" else ""
    return ", ".join(word for word in (about, what, feed) if word)
