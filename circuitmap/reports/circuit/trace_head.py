"""The first lines of `trace`: what the part is, and in a sentence each how it is fed, how it is grounded, what hangs on
it."""

from collections.abc import Iterator, Mapping, Sequence

from circuitmap.circuit.path import PROTECTIVE, Path, ahead_of
from circuitmap.circuit.set_apart import SetApart
from circuitmap.circuit.trace import PinTrace, Trace
from circuitmap.power.feeds import Feed
from circuitmap.reports.words.demand_words import demand_words, with_words
from circuitmap.reports.words.feed_words import feed_words
from circuitmap.reports.words.paragraphs import counted, joined, shortened, shortened_or, wrapped
from circuitmap.reports.words.part_words import (
    condition_words,
    in_full,
    kind_words,
    open_end_words,
    rating,
    terminal_words,
    time_words,
    written_words,
)
from circuitmap.reports.words.path_words import made_by
from circuitmap.wiring.fitting import needs_of
from circuitmap.wiring.parts import Fuse, Ground, Joint, Load, OpenEnd, Relay, Terminal, is_unnamed
from circuitmap.wiring.platform import Platform


def named_in(trace: Trace) -> Iterator[str]:
    """What an answer names that somebody might go to: the part, its own pins, all on its ways to plus and ground, and
    what hangs on it."""
    yield trace.part
    yield from (str(pin.terminal) for pin in trace.pins)
    for paths in (trace.supply, trace.ground):
        yield from (end.part for path in paths if not path.roundabout and not path.second for end in path.terminals)
    yield from (there.part for there in trace.downstream)
    yield from trace.networks


def head_lines(platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], width: int, whole: bool) -> list[str]:
    """`fed` says for each terminal when it is live; `whole`: however many conditions that has."""
    part = platform.parts[trace.part]
    about = [in_full(platform, trace.part), rating(part) if isinstance(part, Fuse) else kind_words(part)]
    condition = condition_words(needs_of(platform, trace.part))
    lines = wrapped(f"{'; '.join([*about, condition] if condition else about)}.", rest=" ", width=width)
    for sentence in (
        *_fed(platform, trace, fed, whole),
        *_grounded(platform, trace),
        *_of_itself(platform, trace),
        *_in_series(platform, trace),
        *_hanging(platform, trace),
        *_through_coils(platform, trace),
        *_joining(platform, trace),
    ):
        lines += wrapped(sentence, " ", "   ", width)
    return lines


def _fed(platform: Platform, trace: Trace, fed: Mapping[Terminal, Feed], whole: bool) -> Iterator[str]:
    pins = [pin for pin in trace.pins if pin.supply and pin.terminal in fed]
    last = ""
    for pin in pins:
        direct = [path for path in pin.supply if not path.roundabout]
        # A headline does not name the fuses of a battery that does not normally drive the part.
        main = [path for path in direct if not path.second] or direct
        ahead = ahead_of(main)
        fused = [path for path in ahead if not made_by(platform, path)]
        fuses = tuple(dict.fromkeys(fuse for path in fused for fuse in path.fuses[-1:]))
        not_said = _pin_not_said(ahead, "feeds") if len(fuses) > 1 else ()
        back = _passed_back(main) if len(ahead) < len(main) and fed[pin.terminal].kind != "always" else []
        through = _through(platform, trace, ahead, fuses, back)
        name = terminal_words(platform, pin.terminal)
        if is_unnamed(pin.terminal.pin) and len(pins) > 1:
            name = f"A pin of {name} that nobody named"
        said = f"{name}{f' is fed {through}' if through else ''}: {feed_words(fed[pin.terminal], whole)}."
        if said != last:  # not twice for the two sides of a fuse between two batteries
            yield said
        if not_said:
            yield f"From which supply pin {joined(not_said)} feeds this is not typed in."
        last = "" if not_said else said


def _through(platform: Platform, trace: Trace, ahead: Sequence[Path], fuses: Sequence[str], back: Sequence[str]) -> str:
    """`through F1 and F2`, with what makes the voltage, fuses that are passed backwards, and ways through no fuse."""
    makers = tuple(dict.fromkeys(name for path in ahead if (name := made_by(platform, path))))
    fused = [path for path in ahead if not made_by(platform, path)]
    unfused = [path for path in fused if path.known and not path.fuses]
    not_said = len(fuses) > 1 and _pin_not_said(ahead, "feeds")
    any_of_them = not_said or any(link.assumed == "terminal" for path in ahead for link in path.links)
    words = [f"through {joined(fuses, 'or' if any_of_them else 'and')}"] if fuses and fuses != (trace.part,) else []
    words = [f"by {joined(makers)} itself", *words] if makers else words
    words += [f"backwards through {joined(back)}"] if back else []
    besides = unfused and words and (fuses or back)
    return joined(words) + (_through_no_fuse(unfused, [its for its in fused if its not in unfused]) if besides else "")


def _through_no_fuse(unfused: Sequence[Path], others: Sequence[Path]) -> str:
    """`, and from B1 through no fuse`: the battery is named where the fused ways come from another one."""
    whose = dict.fromkeys(path.start.part for path in unfused)
    apart = not whose.keys() & {path.start.part for path in others}
    return f", and from {joined(list(whose))} through no fuse" if apart else ", and through no fuse"


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


def _grounded(platform: Platform, trace: Trace) -> Iterator[str]:
    part = platform.parts[trace.part]
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
        yield f"Ground: {said_of}{own}{also if by_whom['besides'] else ''}."
    elif by_whom["besides"] or by_whom["other"]:
        yield f"No way back to {joined(sorted(trace.returns.main))} is typed in, of what it feeds."


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


def _of_itself(platform: Platform, trace: Trace) -> Iterator[str]:
    """What was said of the part, and what its two sides share."""
    part = platform.parts[trace.part]
    if isinstance(part, Load) and part.needs:
        needed = joined([terminal_words(platform, Terminal(part.name, pin)) for pin in part.needs])
        yield f"It is dead without {needed}."
    if isinstance(part, Load) and part.run_on is not None:
        yield f"It runs on for {time_words(part.run_on)}."
    if trace.side_by_side:
        yield f"Side by side with {joined(trace.side_by_side)}: what hangs behind hangs on all of them."
    if trace.made_by is not None:
        made = trace.made_by
        yield f"{made.module} makes its {made.volts:g} V itself: the current returns there, not to a battery."


def _in_series(platform: Platform, trace: Trace) -> Iterator[str]:
    """Pins whose supply or ground comes through other loads."""
    for pin in trace.pins:
        if pin.through:
            by_module = all(platform.parts[name].kind == "module" for name in pin.through)
            says = "is wired to" if by_module else f"is in series: its {_side(platform, trace, pin)} comes through"
            through = joined([loads_name(platform, name) for name in pin.through])
            needs = [demand_words(path.demands) for path in pin.beyond]
            when = f", when {', or '.join(dict.fromkeys(needs))}" if needs and all(needs) else ""
            yield f"{terminal_words(platform, pin.terminal)} {says} {through}{when}."


def _side(platform: Platform, trace: Trace, pin: PinTrace) -> str:
    part = platform.parts[trace.part]
    at_plus = pin.role == "supply" or (isinstance(part, Relay) and pin.terminal.pin == part.coil[0])
    return "supply" if at_plus else "ground"


def _hanging(platform: Platform, trace: Trace) -> Iterator[str]:
    """The loads on it: surely, perhaps, and of what another battery feeds."""
    apart = trace.loads_apart
    loads = [name for name in trace.loads if not any(name in names for names in apart.values())]
    if loads:
        hanging = shortened([loads_name(platform, name) for name in loads])
        yield f"{counted(len(loads), 'load')} on it: {hanging}."
    for reason, some in apart.items():
        yield _apart_words(reason, [loads_name(platform, name) for name in some])
    if trace.loads_besides:
        names = shortened([loads_name(platform, name) for name in trace.loads_besides], 4)
        yield f"Besides, of what another battery normally feeds: {names}."


def _through_coils(platform: Platform, trace: Trace) -> Iterator[str]:
    """What it does not feed and what stops with it all the same."""
    its = trace.through_coils
    none = "" if trace.loads or its.is_empty else "It feeds no load. "
    for label, by_what in (
        ("Not fed by it, and stops with it", its.stops),
        ("Comes on, or is switched over, without it", its.other_way),
        ("Has one way less without it", its.fewer),
    ):
        if by_what:
            told = [f"{shortened([loads_name(platform, n) for n in names])} by {by}" for by, names in by_what.items()]
            yield f"{none}{label}: {'; '.join(told)}."
            none = ""
    if its.off:
        yield f"{none}Off without it, because nothing tells it to be on: output {joined(its.off)}."


def _apart_words(its: SetApart, loads: Sequence[str]) -> str:
    if its.why == "against":
        return f"Only backwards through {joined(its.by)}, where another way feeds it as a rule: {shortened(loads)}."
    them = "it" if len(loads) == 1 else "them"
    return f"Perhaps also {shortened(loads)}: from which supply pin {joined(its.by)} feeds {them} is not typed in."


def loads_name(platform: Platform, name: str) -> str:
    """`SCRL (screen heater)`; a pin of a load is called as the load is."""
    part = platform.parts.get(name) or platform.parts.get(name.rpartition(".")[0])
    if isinstance(part, OpenEnd):
        return open_end_words(part)
    return f"{name} ({part.description})" if part is not None and part.description else name


def _joining(platform: Platform, trace: Trace) -> Iterator[str]:
    """The batteries that it joins, and its networks."""
    through = "" if platform.parts[trace.part].kind == "battery" else " through it"
    for join in trace.joins:
        names = joined([join.battery, *join.others])
        yield f"{names} are joined{through} {with_words(join.demands)}".rstrip() + "."
    if trace.networks:
        yield f"On the network {joined(trace.networks)}."
