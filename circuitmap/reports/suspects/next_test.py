"""The next test in words: what to do, where, how long, what it would show, what to take care of."""

from collections.abc import Iterator, Sequence

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.next_test.planned import WORTH_NAMING, OutcomeBranch, PlannedTest, points_to
from circuitmap.diagnosis.seen.netting import Segment
from circuitmap.reports.suspects.at_a_load import asked_at
from circuitmap.reports.suspects.because import brings_nothing, loads_at
from circuitmap.reports.suspects.care_at_step import care_at_step
from circuitmap.reports.suspects.comes_and_goes import held_to_a_time, logged_total
from circuitmap.reports.suspects.control_wire_remarks import control_wire_remarks
from circuitmap.reports.suspects.eyes_only import eyes_only_at, with_hands
from circuitmap.reports.suspects.fault_kind_words import PROVES, look_words
from circuitmap.reports.suspects.fault_words import network_words, short_part_words
from circuitmap.reports.suspects.ground_lead import starts_anew
from circuitmap.reports.suspects.outcomes import seen_words, told_branches
from circuitmap.reports.suspects.post_words import written_at_the_post
from circuitmap.reports.suspects.quick_tests import at_a_shut_room, quick_tests, wiggle_cautions
from circuitmap.reports.suspects.row_words import row_sentences
from circuitmap.reports.suspects.step_in_words import action_words, at_box
from circuitmap.reports.suspects.stretch_words import stretch_left
from circuitmap.reports.suspects.why import drawn_at
from circuitmap.reports.words.cautions import caution_lines
from circuitmap.reports.words.chance_words import chance, chances
from circuitmap.reports.words.paragraphs import joined, shortened, wrapped
from circuitmap.reports.words.plug_words import plug_sentences
from circuitmap.reports.words.unknown_words import once_more_words
from circuitmap.wiring.parts import Load, Relay
from circuitmap.wiring.platform import Platform


def time_words(action: Action) -> str:
    """`2 min + up to 10 min to settle`; the risk of waking is in the choice, not in the time, but what surely wakes the
    vehicle costs the time until it sleeps again. Where nothing has to fall asleep first, it is read at once."""
    hands = max(1.0, action.hands_and_reach)
    at_once = ", read at once" if action.takes_out else ""
    if action.sleeps_again:
        at_once = f" + about {action.sleeps_again:.0f} min until it sleeps again"
    wait = f" + up to {action.wait:.0f} min to settle" if action.wait else at_once
    return f"{hands:.0f} min{wait}"


def step_words(platform: Platform, diagnosis: Diagnosis, action: Action) -> str:
    """What to do, as an instruction, with what has to be the case before."""
    words = action_words(platform, action)
    where = stretch_left(diagnosis, action.parts[0]) if action.doing == "follow" else ""
    if where:
        words = f"Follow the wire behind {action.parts[0]}{at_box(platform, action.parts[0])},{where}, no tool."
    return f"{_back_first(diagnosis, action)}{while_up(platform, diagnosis, action)}{words}"


def while_up(platform: Platform, diagnosis: Diagnosis, action: Action) -> str:
    """What a draw that comes and goes has to do before a step shows anything: with the total at its floor all that
    would tell is there already."""
    looks = action.tells == "what a look finds" and action.doing != "at-the-post"
    shows_at_any_time = action.tells == "nothing" or looks or _is_total(platform, action)
    logged = None if shows_at_any_time else logged_total(diagnosis)
    return "While it is up: " if logged is not None and logged.log is not None and logged.log.comes_and_goes else ""


def test_lines(platform: Platform, diagnosis: Diagnosis, number: int, test: PlannedTest, width: int) -> list[str]:
    """One choice with its branch table."""
    head = f"{step_words(platform, diagnosis, test.action)}  {time_words(test.action)}"
    lines = wrapped(head, f" {number}  ", "    ", width)
    care = (
        *care_at_step(platform, diagnosis, test.action),
        *wiggle_cautions(platform, diagnosis, test),
    )
    lines += caution_lines(care, width)
    if diagnosis.account is None and _is_total(platform, test.action):
        known = any(_draws_much(diagnosis, segment) for segment in diagnosis.netted.measured.values())
        says = "Says how much there is to find." if known else _AT_ALL
        return [*lines, *wrapped(says, " " * 6, None, width)]
    if test.action.tells == "what a look finds":
        seen = [fault for fault in test.look_for if fault.part not in test.action.parts[1:]]  # those are clamped
        signs = look_words(platform, seen, eyes_only_at(diagnosis, seen)) or ANYTHING_SEEN
        lines += wrapped(f"Look for: {signs}.", " " * 6, None, width)
    if test.action.doing == "inputs" and test.look_for:
        left = [short_part_words(platform, fault.part) for fault in test.look_for]
        lines += wrapped(f"Left to look at: {joined(left)}.", " " * 6, None, width)
    if test.action.takes_out and (long := held_to_a_time(diagnosis)):
        lines += wrapped(f"If it goes:{long}", " " * 6, None, width)
    branches = told_branches(test)
    shown = [seen_words(platform, diagnosis, test, branch.outcome) for branch in branches]
    room = min(max(map(len, shown), default=0), 46)
    likely = chances([branch.probability for branch in branches])
    for words, branch, how_likely in zip(shown, branches, likely, strict=True):
        start = f"      {words.ljust(room)}  ({how_likely})  "
        to = _points_to(platform, diagnosis, test, branch)
        lines += wrapped(to, start, " " * 10, width) if to else [start.rstrip()]
    for remark in _remarks(platform, diagnosis, test, branches):
        lines += wrapped(remark, "      ", "      ", width)
    return lines


LEVEL_THEN = 0.8
"""Two parts are level after an outcome where the second keeps this share of the first (judgement)."""
_AT_ALL = "Says whether there is a draw at all, and how much there is to find."
ANYTHING_SEEN = (
    "anything that burns, hums or is warm; a lid, door or switch not home; anything fitted that is on no sheet"
)
"""What to look for while no fault stands out."""


def _is_total(platform: Platform, action: Action) -> bool:
    part = platform.parts.get(action.parts[0]) if action.parts else None
    return action.doing == "clamp" and part is not None and part.kind == "battery"


def _points_to(platform: Platform, diagnosis: Diagnosis, test: PlannedTest, branch: OutcomeBranch) -> str:
    action = test.action
    if branch.outcome == "found" and test.look_for and not with_hands(diagnosis, test.look_for):
        return "write it down and hand over: it is hands-off"
    if branch.outcome == "found":
        volts = [n for n, t in enumerate(diagnosis.tests.choices, start=1) if t.action.doing == "relay-volts"]
        if action.doing == "at-the-post":
            return "prove it: off once, ground lead off first and on last"
        prove = f"NEXT {volts[0]} before it is touched, then prove it" if volts else "prove it: out, in, out"
        left = eyes_only_at(diagnosis, test.look_for)
        return f"{prove}; at {joined(list(left))} hand over" if left else prove
    name, share = points_to(branch)
    if branch.outcome == "a wrong input" and (branch.then < WORTH_NAMING or test.of_two):
        return "then that input, by its switch or its wire"
    named = _group_words(platform, diagnosis, branch) if branch.then < WORTH_NAMING else ""
    then = f"then {named or _about_words(platform, diagnosis, name)} ({chance(share)})" if name else ""
    answer = diagnosis.subjects[0].about if diagnosis.subjects else ""
    if name == branch.about == answer and name in platform.networks and branch.then < WORTH_NAMING:
        shut = branch.part in platform.parts and not diagnosis.hands_off.may_touch(branch.part)
        level = branch.beside_then >= LEVEL_THEN * branch.then  # nobody leads: the first of a list is none
        then = f"{name} still" if shut or level else f"{name} still, {short_part_words(platform, branch.part)} first"
    if branch.then >= WORTH_NAMING and branch.beside_then >= WORTH_NAMING:
        both = "and" if branch.then + branch.beside_then > 1.1 else "or"
        then += f" {both} {_about_words(platform, diagnosis, branch.beside)} ({chance(branch.beside_then)})"
    if branch.outcome == "open" and not then:
        return f"not {action.about or action.parts[0]}: another way"
    if branch.outcome == "the same" and then:
        then += _unexplained(platform, diagnosis, branch.part, action.parts[0])
    if branch.outcome == "stays" and action.about and branch.part != action.about:
        return f"not {action.about}: {then or 'nothing leads yet'}"
    return then or "nothing leads yet: read on"


def _unexplained(platform: Platform, diagnosis: Diagnosis, part: str, place: str) -> str:
    """What else was found to draw, besides a place, that the part to which the outcome then points does not explain."""
    faults = next((its.faults for its in diagnosis.parts if its.part == part), ())
    left = [
        other
        for other, segment in diagnosis.netted.measured.items()
        if other != place and _draws_much(diagnosis, segment) and faults and brings_nothing(platform, faults, other)
    ]
    first = diagnosis.subjects[0].parts[0] if diagnosis.subjects else None
    second = "a second fault"
    if first is not None and left and not any(brings_nothing(platform, first.faults, other) for other in left):
        second = f"{short_part_words(platform, first.part)}, a second fault"
    return f"; what {joined(left[:2])} {'shows' if len(left) == 1 else 'show'} is {second}, or misread" if left else ""


def _draws_much(diagnosis: Diagnosis, segment: Segment) -> bool:
    """Whether a place was found to draw, and more than a sound vehicle may take in all."""
    own = segment.readings[0]
    return drawn_at(segment) and (own.amps is None or own.amps > diagnosis.tests.normal_up_to)


def _about_words(platform: Platform, diagnosis: Diagnosis, about: str) -> str:
    """A network or a part by name; for a relay as what is to be mended, that its contact is stuck; for an output, that
    something may request it."""
    if about in platform.networks:
        return network_words(platform, about)
    name, part = short_part_words(platform, about), platform.parts.get(about)
    its = next((its.faults for its in diagnosis.parts if its.part == about), ())
    if isinstance(part, Relay) and all(fault.kind in ("contact", "none-of-these") for fault in its):
        return f"{name} stuck"
    answer = diagnosis.subjects[0].about if diagnosis.subjects else ""
    asked = isinstance(part, Load) and any(f.kind == "contact" and f.about == answer != about for f in its)
    return f"{name}, or what asks it to," if asked else name


def _group_words(platform: Platform, diagnosis: Diagnosis, branch: OutcomeBranch) -> str:
    """All there is about a relay, while none of it stands out: what holds it, where its own contact is all but ruled
    out, else the relay alone. Empty for what is no relay."""
    relay, group = branch.about, next((its for its in diagnosis.subjects if its.about == branch.about), None)
    if not isinstance(platform.parts.get(relay), Relay) or group is None:
        return ""
    name = short_part_words(platform, relay)
    stuck = sum(its.probability for its in group.parts if its.part == relay)
    ruled_out = branch.part != relay and stuck < RULED_OUT * group.probability
    return f"what holds {name}" if ruled_out else name


RULED_OUT = 0.02
"""A contact of no more than this share of what is about its relay is not what an outcome is told of (judgement)."""


def _remarks(
    platform: Platform, diagnosis: Diagnosis, test: PlannedTest, branches: Sequence[OutcomeBranch]
) -> Iterator[str]:
    action = test.action
    if again := _once_more(diagnosis, action):
        yield again
    if action.doing == "read-fuse":
        yield from _who_hangs_there(platform, diagnosis, action.parts[0], branches)
    if action.doing == "read-box":
        yield from row_sentences(platform, diagnosis, action)
    if action.doing == "at-the-post":
        yield from written_at_the_post(action.parts)
    if action.doing == "look-at":
        if shut := at_a_shut_room(platform, diagnosis, action.parts[0]):
            yield shut
        yield f"Written down as found {action.parts[0]} burning, or dark."
    if action.doing == "look":
        yield PROVES
        yield from quick_tests(platform, diagnosis, test)
    if action.doing == "connector":
        yield from plug_sentences(platform, action.parts[0])
    if action.doing == "pull-fuses" and len(action.parts) > 1 and action.about:
        yield f"Not one alone: the other feeds {action.about}, too."
    if action.doing == "network-line" and platform.networks[action.parts[0]].kind == "lin":
        low = "Near 0 V it is shorted to ground or has no supply, which says nothing of sleeping"
        yield f"{low} (common practice, no source)."
    if action.doing == "inputs":
        yield "This wakes the car: wait again before the next reading."
        if test.or_volts_at:
            pins = joined(test.or_volts_at, "or")
            yield f"Without waking it: volts to ground at {pins}, from behind (volts {test.or_volts_at[0]} ..V)."
    if action.doing in ("input-volts", "load-volts", "asked-volts"):
        yield f"Written down as volts {action.parts[0]} ..V."
        yield from asked_at(platform, diagnosis, action.about)
    if action.doing in ("zero-again", "leads-again"):
        yield "The same again: it flows there. Less by as much everywhere: that was the zero; what it shows now counts."
    if action.doing == "finer-clamp":
        yield "What it shows then takes the place of what was read; what was 0 before may show its share."
    if action.doing == "bridge":
        yield f"Goes: tested {action.parts[0]} bad. Stays: tested {action.parts[0]} fine, and its wire is what remains."
    yield from control_wire_remarks(platform, diagnosis, test, branches)
    yield from starts_anew(platform, action)


def _once_more(diagnosis: Diagnosis, action: Action) -> str:
    """Why something that is on the card is to be done once more."""
    if action.tells == "what flows there":
        its = [aside for aside in diagnosis.netted.set_aside if aside.reading.place == action.parts[0]]
        told = ["other-state", "as-it-stood"]  # that stands beside SET ASIDE
        if action.parts[0] in diagnosis.netted.readings:
            told.append("event-phase")  # it was read at the floor, too
        whys = [aside for aside in its if aside.why not in told]
        return once_more_words(whys[-1].why, whys[-1].beside) if whys else ""
    tried = [one for one in diagnosis.tried if one.why_not and set(one.attempt.out) == set(action.parts)]
    return once_more_words(tried[-1].why_not) if tried and action.takes_out else ""


def _back_first(diagnosis: Diagnosis, action: Action) -> str:
    """What comes before a try that is doubted is made again."""
    odd = any(one.why_not == "odd" and set(one.attempt.out) == set(action.parts) for one in diagnosis.tried)
    return f"Put {joined(action.parts)} back in: does the draw come back? Then: " if odd and action.takes_out else ""


def _who_hangs_there(
    platform: Platform, diagnosis: Diagnosis, fuse: str, branches: Sequence[OutcomeBranch]
) -> Iterator[str]:
    """Why a fuse tells of a network: its members that hang there."""
    for network in dict.fromkeys(points_to(branch)[0] for branch in branches):
        if network in platform.networks:
            faults = [fault for fault in diagnosis.faults if fault.about == network]
            loads = [load for load in loads_at(platform, faults[:1], fuse) if fuse not in load]
            if loads:
                yield f"{shortened(loads, 2)} {'hangs' if len(loads) == 1 else 'hang'} there, up while {network} is."
