"""What proof of a part still lacks, once the draw went with it.

It needs the draw to go with the part, to come back with it and to go again; then separate tests of its inputs and of
what it feeds, and of its feed and ground under load. Less is enough where something else says the same.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Literal

from circuitmap.evidence.checks_at_parts import WHAT, What
from circuitmap.evidence.readings import Reading
from circuitmap.evidence.tries import LEAST_SHARE, Try, is_still_by_chance, least_seen
from circuitmap.evidence.written_readings import battery_read_at
from circuitmap.jobs.part_tests import PartTest
from circuitmap.wiring.parts import UNFUSED_KINDS, Battery, Fuse, Load, Relay, Switch
from circuitmap.wiring.platform import Platform

Need = Literal["hand-over", "in-again", "out-again", "which-part", "left-so", "own-plug", "itself"] | What
"""What is still missing for proof, in the order in which it is done. `hand-over`: what was out is hands-off, so nothing
more is done to it here and nothing else is asked. `own-plug`: what was out is on no sheet and is fed by what is
hands-off, so its own plug and switch are all that is used, and nothing is tested apart. `which-part`: what was out is a
fuse, a plug, several parts or a connector, so it is still open which part it is. `left-so`: a switch was turned; what
remains is to see that the draw stays away. `itself`: a switch is measured by itself."""


def still_needed(
    platform: Platform,
    out: tuple[str, ...],
    tries: list[Try],
    tests: tuple[PartTest, ...],
    added: Mapping[str, str],
    by_its_plug: bool,
    period: float | None,
    shown: Mapping[str, Reading],
) -> tuple[tuple[Need, ...], tuple[PartTest, ...]]:
    """What is still to be done, in order, and the tests that were not passed. `shown` is what was read at each place
    with everything in; `added` are the parts that are on no sheet, each with what it is fed from."""
    needs: list[Need] = []
    came_back = [n for n, one in enumerate(tries) if one.back is not None and not one.stayed_away]
    went = sum(_went(one) for one in tries)
    if any(one.turned for one in tries):  # turned back, it is no remedy: what hangs on it is still to be found
        return ("left-so",) if tries[-1].back is None else ("which-part",), ()
    part = platform.parts.get(out[0]) if len(out) == 1 else None
    own = len(out) == 1 and not isinstance(part, Relay | Switch)  # what flows by those is another part's
    own = own and _its_own_went(platform, out[0], tries, shown, added) and not is_still_by_chance(tries, period)
    if all(name in platform.parts and platform.parts[name].kind in UNFUSED_KINDS for name in out):
        # A cable without a fuse is taken off once, not again and again. But the ground lead was off for it, and what
        # only hung is reset by that: unless its own current was read, it has to come back with the cable.
        needs += [] if own or came_back else ["in-again"]
    elif not came_back:
        needs.append("in-again")
        if went < TWICE:
            needs.append("out-again")
    elif (went < TWICE and not own) or is_still_by_chance(tries, period):
        needs.append("out-again")
    if (
        isinstance(part, Relay | Switch)
        and _went_and_is_wrong(part.name, tries, tests)
        and not is_still_by_chance(tries, period)
    ):
        needs = [need for need in needs if need not in ("in-again", "out-again")]
    is_one_part = isinstance(part, Load | Relay | Switch) or (len(out) == 1 and out[0] in added)
    if not is_one_part:
        return (*needs, "which-part", *(("own-plug",) if by_its_plug else ())), ()
    latest = {test.what: test for test in tests if test.part == out[0]}
    wanted: tuple[What, ...] = ("inputs", "outputs") if isinstance(part, Relay | Switch) else WHAT
    itself = latest.pop("itself", None)
    if itself is not None and not itself.passed:
        wanted = ()  # it was measured wrong apart from all that hangs on it
    elif isinstance(part, Relay) and "inputs" in latest and not latest["inputs"].passed:
        wanted, needs = (), []  # something drives it: out once more it would only say again that all hangs on it
    elif part is not None and part.kind in UNFUSED_KINDS:
        wanted = ()  # nothing switches it on, and its cable is all that it feeds
    elif isinstance(part, Switch) and itself is None and not by_its_plug:
        wanted, needs = (), [*needs, *(("itself",) if "inputs" not in latest else ())]
    elif by_its_plug:
        wanted, needs = (), [*needs, "own-plug"]
    elif part is None:
        wanted = ()  # what somebody plugged in is no part of the vehicle: out, in and out again tells all of it
    needs += [what for what in WHAT if what in wanted and what not in latest]
    return tuple(needs), tuple(test for test in latest.values() if not test.passed)


TWICE = 2
"""What went with a part once may have gone by accident."""


def _went_and_is_wrong(name: str, tries: Iterable[Try], tests: Iterable[PartTest]) -> bool:
    """Whether the draw, or a share of it, went with a switch or a relay and has not stayed away, and measured by itself
    it is wrong: that it comes and goes once more would say nothing that is not known. A relay is where volts were over
    its contact, or beyond it, and none at its coil; live from both sides it is not put in and pulled again for less."""
    itself = [test.passed for test in tests if test.part == name and test.what == "itself"]
    return itself[-1:] == [False] and any(one.fell and not one.stayed_away for one in tries)


def _went(one: Try) -> bool:
    return one.fell


def _its_own_went(
    platform: Platform, part: str, tries: Iterable[Try], shown: Mapping[str, Reading], added: Mapping[str, str]
) -> bool:
    """Whether a part's own current is known, asleep, and what went with the part is just that: then nothing else went.
    It was read at its own cable, or at the fuse at its end; or the part hangs on the post, and all else there was."""
    last = next((one for one in tries if one.fell and one.before is not None), None)
    if last is None or last.before is None or last.before.amps is None or last.after.amps is None:
        return False
    read = (shown.get(place) for place in (part, *platform.derived(_own_fuses).get(part, ())))
    own = next((one for one in read if one is not None and one.amps is not None and one.shows_current), None)
    if own is not None and own.amps is not None:
        amps, off = own.amps, own.zero + own.half_step
    elif (left := _left_at_the_post(platform, part, last.before, shown, added)) is not None:
        amps, off = left
    else:
        return False
    off = max(LEAST_SHARE * amps, least_seen(last.before, last.after), off)
    return abs(last.before.amps - last.after.amps - amps) <= off


def _left_at_the_post(
    platform: Platform, part: str, total: Reading, shown: Mapping[str, Reading], added: Mapping[str, str]
) -> tuple[float, float] | None:
    """What of the whole current no fuse at the post carries, in A, and how far it may be off, for what is clamped there
    without a fuse; None for another part, where some fuse there was not read, or where nothing is left."""
    post = battery_read_at(platform, total.place)
    if not post or battery_read_at(platform, added.get(part, "")) != post or total.amps is None:
        return None
    fuses = platform.derived(_fuses_at_posts).get(post, ())
    left, off = total.amps, total.zero + total.half_step
    for fuse in fuses:
        read = shown.get(fuse)
        if read is None or read.amps is None:
            return None
        left, off = left - read.amps, off + read.zero + read.half_step
    return (left, off) if fuses and left > off else None


def _fuses_at_posts(platform: Platform) -> dict[str, tuple[str, ...]]:
    """The fuses that a wire of each battery's plus goes straight to; none where something else begins there, too, but
    for cables that have no fuse by their nature (starter, alternator)."""
    found: dict[str, dict[str, None]] = {}
    others: set[str] = set()
    for wire in platform.wires:
        for end, other in ((wire.a, wire.b), (wire.b, wire.a)):
            if not isinstance(platform.parts.get(end.part), Battery) or end.pin == "-":
                continue
            behind = platform.parts.get(other.part)
            if isinstance(behind, Fuse):
                found.setdefault(end.part, {})[other.part] = None
            elif behind is None or behind.kind not in UNFUSED_KINDS:
                others.add(end.part)
    return {post: tuple(fuses) for post, fuses in found.items() if post not in others}


def _own_fuses(platform: Platform) -> dict[str, tuple[str, ...]]:
    """For each part the fuses of which a wire goes straight to it, and to nothing else."""
    at = Counter(end for wire in platform.wires for end in (wire.a, wire.b))
    found: dict[str, dict[str, None]] = {}
    for wire in platform.wires:
        for end, other in ((wire.a, wire.b), (wire.b, wire.a)):
            if isinstance(platform.parts.get(other.part), Fuse) and at[other] == 1:
                found.setdefault(end.part, {})[other.part] = None
    return {part: tuple(fuses) for part, fuses in found.items()}
