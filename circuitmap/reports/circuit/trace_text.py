"""`trace` as text: how a part is fed, how it is grounded, what hangs on it."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

from circuitmap.circuit.branches import Branch
from circuitmap.circuit.feeding import Taking
from circuitmap.circuit.parked import opened_by
from circuitmap.circuit.path import PROTECTIVE, Path, Step, ahead_of
from circuitmap.circuit.set_apart import SetApart
from circuitmap.circuit.trace import PinTrace, Trace
from circuitmap.power.feeds import Feed
from circuitmap.reports.circuit.cavities_text import cavity_lines
from circuitmap.reports.circuit.grounded_text import grounded_lines
from circuitmap.reports.circuit.worked_text import worked_lines
from circuitmap.reports.words.feed_words import demand_words, feed_words, with_words
from circuitmap.reports.words.paragraphs import (
    WIDTH,
    as_text,
    counted,
    cut_short,
    joined,
    section,
    shortened,
    shortened_or,
    wrapped,
)
from circuitmap.reports.words.part_words import (
    condition_words,
    in_full,
    kind_words,
    open_end_words,
    rating,
    signal_words,
    terminal_words,
    time_words,
    wire_words,
    written_words,
)
from circuitmap.reports.words.path_words import contact_words, made_by, path_lines
from circuitmap.reports.words.unknown_words import open_end_sentence, unknown_sentences
from circuitmap.wiring.fitting import needs_of
from circuitmap.wiring.parts import Fuse, Ground, Joint, Load, OpenEnd, Relay, Terminal
from circuitmap.wiring.platform import Platform

_MOST_WAYS = 6
_MOST_LINES = 60
"""How many lines the tree downstream may have before what lies behind fuses is only named (judgement: two screens)."""


def trace_text(
    platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], width: int = WIDTH, whole: bool = False
) -> str:
    """`fed` says for each terminal when it is live. Long lists are cut short unless the `whole` is asked for."""
    blocks: list[Sequence[str]] = [
        _head(platform, trace, fed, width, whole),
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


def _head(platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], width: int, whole: bool) -> list[str]:
    part = platform.parts[trace.part]
    about = [in_full(platform, trace.part)]
    about.append(rating(part) if isinstance(part, Fuse) else kind_words(part))
    condition = condition_words(needs_of(platform, trace.part))
    if condition:
        about.append(condition)
    lines = wrapped(f"{'; '.join(about)}.", rest=" ", width=width)
    for pin in trace.pins:
        if not pin.supply or pin.terminal not in fed:
            continue
        direct = [path for path in pin.supply if not path.roundabout]
        # A headline does not name the fuses of a battery that does not normally drive the part.
        main = [path for path in direct if not path.second] or direct
        ahead = ahead_of(main)
        makers = tuple(dict.fromkeys(name for path in ahead if (name := made_by(platform, path))))
        fused = [path for path in ahead if not made_by(platform, path)]
        fuses = tuple(dict.fromkeys(fuse for path in fused for fuse in path.fuses[-1:]))
        unfused = [path for path in fused if path.known and not path.fuses]
        others = [path for path in fused if path not in unfused]
        besides = _through_no_fuse(unfused, others) if unfused else ""
        not_said = _pin_not_said(ahead, "feeds") if len(fuses) > 1 else ()
        words = [f"through {joined(fuses, 'or' if not_said else 'and')}"] if fuses and fuses != (trace.part,) else []
        back = _passed_back(main) if len(ahead) < len(main) and fed[pin.terminal].kind != "always" else []
        words = [f"by {joined(makers)} itself", *words] if makers else words
        words += [f"backwards through {joined(back)}"] if back else []
        through = f" {joined(words)}" if words else ""
        through += besides if through and (fuses or back) else ""
        name = terminal_words(platform, pin.terminal)
        fed_by = f" is fed{through}" if through else ""
        said = wrapped(f"{name}{fed_by}: {feed_words(fed[pin.terminal], whole)}.", " ", "   ", width)
        if said != lines[-len(said) :]:  # not twice for the two sides of a fuse between two batteries
            lines += said
        if not_said:
            says = f"From which supply pin {joined(not_said)} feeds this is not typed in."
            lines += wrapped(says, " ", "   ", width)
    by_whom: dict[str, dict[str, None]] = {"main": {}, "besides": {}, "other": {}}
    for pin in trace.pins:
        if not isinstance(part, Load) or part.works_either_way or pin.role in ("ground", ""):
            for path in (path for path in pin.ground if not path.roundabout):
                by_whom[trace.returns.of(path)][written_words(platform, _last_ground(path))] = None
    grounds = tuple(by_whom["main"])
    if grounds and grounds != (trace.part,):
        ways = [_pin_not_said(pin.ground, "grounds") for pin in trace.pins if not isinstance(part, Joint | Ground)]
        modules = tuple(dict.fromkeys(module for its in ways for module in its)) if len(grounds) > 1 else ()
        also = f"; for what {joined(sorted(trace.returns.besides))} feeds {joined(list(by_whom['besides']))}"
        own = ", each for what it feeds" if len({*grounds} & trace.returns.main) > 1 else ""
        said_of = shortened_or(grounds) if modules else shortened(grounds)
        own += f"; which of its ground pins {joined(modules)} uses is not typed in" if modules else ""
        bolt = _first_ground(platform, trace)
        said_of = f"{bolt}, and from there {said_of}" if bolt and bolt not in grounds else said_of
        lines += wrapped(f"Ground: {said_of}{own}{also if by_whom['besides'] else ''}.", " ", "   ", width)
    elif by_whom["besides"] or by_whom["other"]:
        feeds = joined(sorted(trace.returns.main))
        lines += wrapped(f"No way back to {feeds} is typed in, of what it feeds.", " ", "   ", width)
    if isinstance(part, Load) and part.needs:
        needed = joined([terminal_words(platform, Terminal(part.name, pin)) for pin in part.needs])
        lines += wrapped(f"It is dead without {needed}.", " ", "   ", width)
    if isinstance(part, Load) and part.run_on is not None:
        lines += wrapped(f"It runs on for {time_words(part.run_on)}.", " ", "   ", width)
    if trace.side_by_side:
        told = joined(trace.side_by_side)
        lines += wrapped(f"Side by side with {told}: what hangs behind hangs on all of them.", " ", "   ", width)
    if trace.made_by is not None:
        made = trace.made_by
        returns = f"{made.module} makes its {made.volts:g} V itself: the current returns there, not to a battery."
        lines += wrapped(returns, " ", "   ", width)
    for pin in trace.pins:
        if pin.through:
            at_plus = pin.role == "supply" or (isinstance(part, Relay) and pin.terminal.pin == part.coil[0])
            its = "supply" if at_plus else "ground"
            by_module = all(platform.parts[name].kind == "module" for name in pin.through)
            says = "is wired to" if by_module else f"is in series: its {its} comes through"
            through = joined([loads_name(platform, name) for name in pin.through])
            needs = [demand_words(path.demands) for path in pin.beyond]
            when = f", when {', or '.join(dict.fromkeys(needs))}" if needs and all(needs) else ""
            lines += wrapped(f"{terminal_words(platform, pin.terminal)} {says} {through}{when}.", " ", "   ", width)
    apart = trace.loads_apart
    loads = [name for name in trace.loads if not any(name in names for names in apart.values())]
    if loads:
        hanging = shortened([loads_name(platform, name) for name in loads])
        lines += wrapped(f"{counted(len(loads), 'load')} on it: {hanging}.", " ", "   ", width)
    for reason, some in apart.items():
        lines += wrapped(_apart_words(reason, [loads_name(platform, name) for name in some]), " ", "   ", width)
    if trace.loads_besides:
        names = shortened([loads_name(platform, name) for name in trace.loads_besides], 4)
        lines += wrapped(f"Besides, of what another battery normally feeds: {names}.", " ", "   ", width)
    for join in trace.joins:
        when = with_words(join.demands)
        through = "" if part.kind == "battery" else " through it"
        lines += wrapped(
            f"{joined([join.battery, *join.others])} are joined{through} {when}".rstrip() + ".", " ", "   ", width
        )
    if trace.networks:
        lines += wrapped(f"On the network {joined(trace.networks)}.", " ", "   ", width)
    return lines


def _through_no_fuse(unfused: Sequence[Path], others: Sequence[Path]) -> str:
    """`, and from B1 through no fuse`: the battery is named where the fused ways come from another one."""
    whose = dict.fromkeys(path.start.part for path in unfused)
    apart = not whose.keys() & {path.start.part for path in others}
    return f", and from {joined(list(whose))} through no fuse" if apart else ", and through no fuse"


def _apart_words(its: SetApart, loads: Sequence[str]) -> str:
    if its.why == "against":
        return f"Only backwards through {joined(its.by)}, where another way feeds it as a rule: {shortened(loads)}."
    them = "it" if len(loads) == 1 else "them"
    return f"Perhaps also {shortened(loads)}: from which supply pin {joined(its.by)} feeds {them} is not typed in."


def _pin_not_said(paths: Sequence[Path], action: str) -> tuple[str, ...]:
    """The modules whose outputs on these ways may use several of their supply, or ground, pins: no sheet says which."""
    pins: dict[tuple[str, str], set[Terminal]] = {}
    for output, link in ((link.output, link) for path in paths for link in path.contacts):
        if output is not None and output.action == action and not output.source:
            pins.setdefault((output.module, output.contact), set()).add(link.a if action == "feeds" else link.b)
    return tuple(dict.fromkeys(module for (module, _), its in pins.items() if len(its) > 1))


def _passed_back(paths: Sequence[Path]) -> list[str]:
    """The fuses that ways run back through, from their outgoing side."""
    back = (step.link for path in paths for step in path.steps if not step.forward)
    return list(dict.fromkeys(link.part for link in back if link.kind in PROTECTIVE))


def loads_name(platform: Platform, name: str) -> str:
    part = platform.parts.get(name)
    if isinstance(part, OpenEnd):
        return open_end_words(part)
    return f"{name} ({part.description})" if part is not None and part.description else name


def _first_ground(platform: Platform, trace: Trace) -> str:
    """The ground point at which all ways to ground first arrive: there somebody looks first, wherever a strap leads."""
    part = platform.parts[trace.part]
    pins = [pin for pin in trace.pins if not isinstance(part, Load) or pin.role in ("ground", "")]
    ways = [path for pin in pins for path in pin.ground if not path.roundabout and trace.returns.of(path) == "main"]
    firsts = {
        next((t.part for t in path.terminals if isinstance(platform.parts.get(t.part), Ground)), "") for path in ways
    }
    return firsts.pop() if len(firsts) == 1 and not isinstance(part, Joint | Ground) else ""


def _last_ground(path: Path) -> str:
    """The ground point or post that a way to ground ends at."""
    return next((t.part for t in reversed(path.terminals) if t.part != "case"), "case")


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
