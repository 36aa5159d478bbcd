"""Why loads do not work, as text: what it may be, then the step to do next with each of its outcomes, then the rest."""

from collections.abc import Sequence

from circuitmap.circuit.links import Circuit
from circuitmap.dead.blown import BlownFuse
from circuitmap.dead.breaks import Break
from circuitmap.dead.dead_loads import DeadLoads, NextStep, ProbeOutcome
from circuitmap.dead.probes import GROUND
from circuitmap.dead.watched import ToldOf, said_apart
from circuitmap.dead.weighing import Group
from circuitmap.power.functions import function_named
from circuitmap.reports.dead.black_lead_words import black_lead_told
from circuitmap.reports.dead.blown_text import blown_text
from circuitmap.reports.dead.break_words import break_words, probe_words
from circuitmap.reports.dead.handing_over import hand_over_told
from circuitmap.reports.dead.resting import dead_rests_on
from circuitmap.reports.volts.line_words import line_sentences, one_by_one, shown_on
from circuitmap.reports.volts.place_words import volts_words
from circuitmap.reports.words.cautions import Told, caution_lines, cautions_at
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import WIDTH, as_text, joined, section, shortened, wrapped
from circuitmap.reports.words.part_words import named
from circuitmap.reports.words.state_said import changes_words, state_said
from circuitmap.wiring.platform import Platform

_MOST_GROUPS = 4
_LEAST = 0.02
_MOST_MEMBERS = 12
_MOST_TOLD = 3


def dead_text(platform: Platform, its: DeadLoads | BlownFuse, *, whole: bool = False, width: int = WIDTH) -> str:
    """The answer for people."""
    if isinstance(its, BlownFuse):
        return blown_text(platform, its, width)
    return as_text(
        wrapped(complaint_words(platform, its), width=width),
        section("STATE", states_told(its), width),
        *_groups(its, width, whole=whole),
        _next(platform, its, width),
        section("HANDS OFF", hand_over_told(its), width),
        section("BLACK LEAD", black_lead_told(its), width),
        *_others(platform, its, width),
        section("LINES", lines_told(its), width),
        section("CLEARED", cleared_told(its), width),
        section("NOT KNOWN", dead_rests_on(its), width),
    )


def complaint_words(platform: Platform, its: DeadLoads) -> str:
    """What does not work, what works, and in which state."""
    told = said_apart(its.complaint.told)
    dead = joined([_told_words(platform, one) for one in told if not one.works])
    works = joined([_told_words(platform, one) for one in told if one.works])
    does = "does" if len(its.complaint.dead) == 1 else "do"
    work = "works" if len(its.complaint.works) == 1 else "work"
    title = f"{dead} {does} not work" + (f"; {works} {work}" if works else "")
    return f"{title}  ({state_said(its.watched.main.state)})"


def _told_words(platform: Platform, one: ToldOf) -> str:
    return named(platform, one.name) + one.words.removeprefix(one.name)


def _on(its: DeadLoads) -> str:
    """What is switched on meanwhile."""
    main = [
        one.told.name for one in its.watched.items
        if not (one.told.works or one.lacking or one.told.network) and one.state == 0
    ]  # fmt: skip
    return joined(main or [one.words for one in its.complaint.dead if not one.network] or ["all that hangs there"])


def states_told(its: DeadLoads) -> list[str]:
    """What of the states nobody said, and what works in none that was tried."""
    told = []
    if its.watched.otherwise:
        told.append(
            f"As it was said, none of these works by what is typed in: put {changes_words(its.watched.otherwise)} "
            "first, and try again. What may be broken is told for what is still dead then."
        )
    for number, state in enumerate(its.watched.states):
        if state.changes:
            names = [one.told.name for one in its.watched.items if one.state == number]
            told.append(f"{joined(names)}: taken with {changes_words(state.changes)}; nobody said it.")
    if its.lacking:
        told.append(f"{joined(its.lacking)}: by what is typed in, in no state that was tried does it work; left out.")
    return told


def _groups(its: DeadLoads, width: int, *, whole: bool) -> list[list[str]]:
    """Groups with their own chances, as one thing or as two."""
    shown = groups_shown(its, whole=whole)
    if not shown:
        return [section("IT MAY BE", [nothing_explains(its)], width)]
    lines = wrapped(groups_head(its), width=width)
    for group in shown:
        lines += wrapped(group_words(its, group, whole=whole), f" {chance(group.chance):<10} ", " " * 12, width)
    told = or_told(its)
    return [lines, section("OR", told, width)] if told else [lines]


def groups_shown(its: DeadLoads, *, whole: bool = False) -> list[Group]:
    """The groups that are worth being told, likeliest first."""
    return [group for group in its.weighed.groups if group.chance >= _LEAST][: 99 if whole else _MOST_GROUPS]


def nothing_explains(its: DeadLoads) -> str:
    """Where no group is left."""
    none = "Nothing that is typed in explains this"
    if its.lacking:
        none += f": {joined(its.lacking)} would not work even with everything sound"
    return f"{none}."


def groups_head(its: DeadLoads) -> str:
    """What stands above the groups: one thing, two at once, or nothing that fits alone."""
    if not its.weighed.one_fits:
        return (
            "NO SINGLE THING fits all that was said: two things at once, or you were told wrong of one. "
            "Groups, each with its own chance:"
        )
    if its.weighed.two > 0.5:
        return f"TWO THINGS AT ONCE ({chance(its.weighed.two)}). Groups, each with its own chance:"
    still = f", if still dead with {changes_words(its.watched.otherwise)}" if its.watched.otherwise else ""
    return f"IT MAY BE  one thing{still}; what stands in one row is not told apart yet"


def or_told(its: DeadLoads) -> list[str]:
    """What it may be besides the groups."""
    found = its.weighed
    told = []
    if found.wrong >= 0.05 or not found.one_fits:
        told.append(f"You were told wrong: switch {_on(its)} on yourself first.")
    if found.two >= 0.1 and found.one_fits and found.two <= 0.5:
        told.append(f"Two things at once: {chance(found.two)}; the chances above count both.")
    for name in its.second_feed:
        told.append(f"{name} has a second feed: no single fuse or wire before it clears or condemns anything.")
    return told


def group_words(its: DeadLoads, group: Group, *, whole: bool = False) -> str:
    """A row, after what speaks against it; what a probe has as good as cleared is left out of it."""
    best = max((its.weighed.odds.get(one, 0.0) for one in group.breaks), default=0.0)
    likely = [one for one in group.breaks if not its.complaint.probed or its.weighed.odds[one] >= _WORTH * best]
    row = shortened([break_words(its.circuit, one) for one in likely], 999 if whole else _MOST_MEMBERS)
    return f"{_strained_words(its, group)}{row}"


def _strained_words(its: DeadLoads, group: Group) -> str:
    """`only if BLM with BSW at 3 does not really work: `; `leaves NPL working, so something else besides: `."""
    told = {one.number: one.told.words for one in its.watched.items}
    against = [told[n] for n in sorted(group.against) if n in told]
    leaves = [told[n] for n in sorted(group.leaves) if n in told]
    if against:
        do = "does" if len(against) == 1 else "do"
        return f"only if {shortened(against, _MOST_TOLD)} {do} not really work: "
    return f"leaves {shortened(leaves, _MOST_TOLD)} working, so something else besides: " if leaves else ""


_WORTH = 0.06
"""Share of the likeliest of a row from which on something is told that a probe speaks against (judgement)."""


def _next(platform: Platform, its: DeadLoads, width: int) -> list[str]:
    if not its.steps:
        return []
    first = its.steps[0]
    lines = section("NEXT", [_step_words(its, first)], width)
    for outcome in first.outcomes:
        words = shortened([break_words(its.circuit, one) for one in outcome.left], 6)
        told = f"{shown_words(its, outcome)} ({chance(outcome.chance)}): {words}"
        lines += wrapped(told, " " * 13, " " * 15, width)
    return [*lines, *caution_lines(step_cautions(platform, its, first), width, " " * 11)]


def _step_words(its: DeadLoads, step: NextStep) -> str:
    minutes = f"({step.step.minutes:.0f} min)"
    return f"{what_to_do(its, step)} {minutes}" + ("" if step.step.point is None else ":")


def what_to_do(its: DeadLoads, step: NextStep) -> str:
    """`switch on MIRR: does it work?`, `volts at F72, outgoing side, SCRL switched on`."""
    if step.step.point is None:
        return f"switch on {named(its.circuit.platform, step.step.load)}: does it work?"
    at = probe_words(its.circuit, step.step.point)
    if step.step.network:
        return f"volts to ground at {at}, and at the other wire of {step.step.network}, key on"
    return f"volts at {at}, {_on(its)} switched on"


def shown_words(its: DeadLoads, outcome: ProbeOutcome) -> str:
    """What an outcome shows: `about 12.1 V`, `it works`, what a network's line shows."""
    if outcome.shown in ("talks", "still", "shorted"):
        return shown_on(its.circuit.platform.networks[outcome.network], outcome.shown)
    if outcome.volts is None:
        return "it works" if outcome.shown == "works" else "dead, too"
    low, high = outcome.volts
    if outcome.shown == "ground":
        return f"next to nothing (below {volts_words(GROUND * outcome.nominal)})"
    if high - low < 1.0:
        return f"about {volts_words((low + high) / 2)}"
    return f"{volts_words(low)} to {volts_words(high)}"


def step_cautions(platform: Platform, its: DeadLoads, step: NextStep) -> tuple[Told, ...]:
    """What to take care of at a step."""
    if step.step.point is None:
        told = cautions_at(platform, "switch-on", (step.step.load,))
    else:
        functions = (function_named(its.circuit, one.name) for one in its.complaint.dead)
        parts = (step.step.point.part, *(one.part for one in functions if one is not None))
        told = cautions_at(platform, "live-volts", parts)
    return (*told, *cautions_at(platform, "blown-fuse")) if fuse_may_have_blown(its) else told


def fuse_may_have_blown(its: DeadLoads) -> bool:
    """Whether a fuse is among what it most likely is."""
    return any(one.kind == "fuse" and odds >= 0.05 for one, odds in its.suspects)


def _others(platform: Platform, its: DeadLoads, width: int) -> list[list[str]]:
    told = []
    for step in its.steps[1:3]:
        told.append(f"{_step_words(its, step)} {outcomes_in_short(its, step)}")
    if its.steps and its.plan.minutes > 0:
        told.append(f"About {its.plan.minutes:.0f} minutes until one place is left, if nothing is misread.")
    return [section("OR ELSE", told, width)] if told else []


def outcomes_in_short(its: DeadLoads, step: NextStep) -> str:
    """What each outcome of a step leaves, in one line."""
    return "; ".join(_short(its.circuit, outcome) for outcome in step.outcomes)


def _short(circuit: Circuit, outcome: ProbeOutcome) -> str:
    words = [break_words(circuit, one) for one in outcome.left]
    shown = {
        "plus": _full_words(circuit, outcome), "ground": "next to nothing", "between": "something between",
        "talks": "somebody talks", "still": "nobody is heard", "shorted": "held down",
    }  # fmt: skip
    return f"{shown.get(outcome.shown, outcome.shown)}: {shortened(words, 3)}"


def _full_words(circuit: Circuit, outcome: ProbeOutcome) -> str:
    """`battery volts`; behind a converter the volts that it makes."""
    usual = outcome.nominal in (0.0, circuit.platform.supply_volts)
    return "battery volts" if usual else f"about {outcome.nominal:g} V"


def lines_told(its: DeadLoads) -> list[str]:
    """How the lines of networks are measured that it may be."""
    told = []
    for line in its.lines.values():
        told += line_sentences(its.circuit, line.network, its.watched.main.state.fitting)
        if any(one.kind == "network" and one.name == line.network.name for one, _ in its.suspects):
            told.append(one_by_one(its.circuit, line.network, line.members))
    return told


def cleared(its: DeadLoads) -> Sequence[Break]:
    """What would have killed one of the dead loads, and would have left another working or killed one that works."""
    dead = {one.number for one in its.watched.items if not one.told.works and not one.lacking}
    out = []
    for one, without in its.found.without.items():
        if without.kills & dead and its.weighed.odds.get(one, 0.0) < 0.002 and one.kind in ("fuse", "ground", "plug"):
            out.append(one)
    return out


def cleared_told(its: DeadLoads) -> list[str]:
    """The same in a sentence."""
    circuit = its.circuit
    names = [break_words(circuit, one) for one in cleared(its)]
    if not names or its.weighed.two > 0.5:
        return []
    return [f"{shortened(names, 8)}: would leave one of the dead working, or kill what works."]
