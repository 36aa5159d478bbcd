"""The volts to expect, as text: the answer first, then what a reading says, what a bad place would show, the way."""

import math
from collections.abc import Sequence

from circuitmap.power.evaluate import Powered
from circuitmap.power.minus_switch import switched_from_body
from circuitmap.quantities import Band
from circuitmap.reports.volts.line_words import line_sentences
from circuitmap.reports.volts.place_words import between_words, link_words, ohms_words, point_words, volts_words
from circuitmap.reports.volts.rests_on import rests_on
from circuitmap.reports.words.cautions import caution_lines, cautions_at
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.hands_off_words import HAND_OVER, why_words
from circuitmap.reports.words.paragraphs import WIDTH, as_text, joined, listed, section, shortened, table, wrapped
from circuitmap.reports.words.part_words import amps, amps_band, named
from circuitmap.reports.words.state_said import state_said, state_sentences
from circuitmap.volts.answer import VoltsThere
from circuitmap.volts.bad_places import SHOWN_OHMS
from circuitmap.volts.expected_volts import AtPoint, ExpectedVolts, Lost
from circuitmap.volts.net import ResistanceNet
from circuitmap.wiring.parts import Terminal, is_unnamed
from circuitmap.wiring.platform import Platform

_MOST_PLACES = 6
_LEAST_CHANCE = 0.02
_MISREAD = 0.05
"""Volts that a point may stand higher than the one before it, by two readings one after the other (judgement)."""


def volts_text(platform: Platform, there: VoltsThere, *, whole: bool = False, width: int = WIDTH) -> str:
    """The answer for people."""
    point = point_words(platform, there.point)
    if there.untouchable is not None:
        told = f"{why_words(point, there.untouchable)}: not probed, not measured; {HAND_OVER}."
        return as_text(section("HANDS OFF", [told], width))
    powered = there.state.powered
    if there.line is not None:
        return as_text(
            wrapped(f"{point}, on a line of {there.line.name}  ({state_said(powered.state)})", width=width),
            section("EXPECT", line_sentences(powered.circuit, there.line, powered.state.fitting), width),
            caution_lines(cautions_at(platform, "live-volts", (there.point.part,)), width, " " * 11),
        )
    running = joined([named(platform, name) for name in there.running]) or "nothing"
    verb = "run" if len(there.running) > 1 else "runs"
    title = wrapped(f"{point} while {running} {verb}  ({state_said(powered.state)})", width=width)
    beforehand = section("STATE", state_sentences(there.state), width)
    if there.expected is None:
        none = ["No battery is typed in, or this car has none of those that are: there are no volts to work out."]
        return as_text(title, section("EXPECT", none, width), beforehand)
    its = there.expected
    return as_text(
        title,
        _supposed(platform, its, width),
        _expect(platform, its, width),
        _read(platform, its, width),
        _lost_lines(platform, its, width),
        _what_if(its, width, whole=whole),
        _way(platform, its, width),
        beforehand,
        section("NOT KNOWN", rests_on(its), width),
    )


def _expect(platform: Platform, its: ExpectedVolts, width: int) -> list[str]:
    between = switched_from_body(its.powered)
    black = f"black lead on {black_lead(its.net)}"
    black += f" itself, not on the body: {between_words(between)}" if between else ""
    if not its.flows:
        still = "it floats: the meter shows nothing that means anything" if its.still is None else (
            f"about {volts_words(its.still)}"
        )  # fmt: skip
        feeders = _may_mean(its)
        why = (
            f"{joined(its.off)} takes no current in this state"
            if its.off and its.asked.running
            else f"which pin of {its.asked.point.part} {joined(feeders)} feeds is not typed in"
            if feeders
            else "no current of what runs passes this point"
        )
        told = [
            f"{still[0].upper()}{still[1:]} ({black}), and it proves nothing: {why}, and without current the worst "
            "joint shows full volts. Switch on what hangs there, and say so with --running."
        ]
        return section("EXPECT", told, width) + _cautions(platform, its, width)
    here = its.way[its.point_at].bounds
    about = "about " if its.about else ""
    sound = "Without that, sound: " if its.supposed is not None else ""
    most = f"{about}{band_words(here.most)} at most; load on, {black}."
    told = [f"{sound}{band_words(here.ninety)} nine times in ten, {most}"]
    return section("EXPECT", told, width) + _cautions(platform, its, width)


def _may_mean(its: ExpectedVolts) -> tuple[str, ...]:
    """What a fuse chart names as feeding this load, where the point is a pin of it that no wire names."""
    circuit, point = its.powered.circuit, its.asked.point
    load = circuit.loads.get(point.part)
    if load is None or point not in load.perhaps:
        return ()
    rows = (link for pin in load.supplies if is_unnamed(pin.pin) for link in circuit.links_at(pin) if link.b == pin)
    return tuple(dict.fromkeys(link.a.part for link in rows))


def _cautions(platform: Platform, its: ExpectedVolts, width: int) -> list[str]:
    parts = dict.fromkeys(at.terminal.part for at in its.way)
    return caution_lines(cautions_at(platform, "live-volts", (its.asked.point.part, *parts)), width, " " * 11)


def black_lead(net: ResistanceNet) -> str:
    """Where the black lead is held."""
    return str(net.circuit.nodes[net.reference])


def band_words(band: Band) -> str:
    """`10.8 to 11.8 V`, in millivolts where both are small."""
    if max(abs(band.low), abs(band.high)) < 0.0995:
        return f"{band.low * 1000:.0f} to {band.high * 1000:.0f} mV"
    low, high = (f"{its:.2f}" if max(abs(band.low), abs(band.high)) < 2 else f"{its:.1f}" for its in band)
    return f"{low} to {high} V" if low != high else f"{low} V"


def _read(platform: Platform, its: ExpectedVolts, width: int) -> list[str]:
    """What the readings point to."""
    found = its.pointing
    if found is None:
        return []
    told = []
    for at in (at for at in its.way if at.read is not None):
        told.append(f"{volts_words(at.read or 0.0)} at {point_words(platform, at.terminal)}: {_verdict(at)}.")
    if found.strange:
        told.append("No single bad place shows this: read again, check that the load is on and both leads hold.")
    elif found.sound > 0.5:
        told.append(f"All of it looks sound ({chance(found.sound)}).")
    lines = section("READ", told, width)
    if found.strange:
        return lines
    circuit = its.powered.circuit
    foreground = its.foreground
    rows = []
    for place in found.places[:_MOST_PLACES]:
        if place.chance < _LEAST_CHANCE or foreground is None:
            continue
        links = [link_words(circuit, foreground.resistances[n].link) for n in place.numbers]
        size = "interrupted" if math.isinf(place.ohms) else f"about {ohms_words(place.ohms)}"
        rows.append((chance(place.chance), size, shortened([*dict.fromkeys(links)], 9)))
    label = "POINTS TO  one of each row; what stands in one row these points do not tell apart"
    return lines + (["", *listed(label, rows, width)] if rows and found.sound <= 0.9 else [])


def _verdict(at: AtPoint) -> str:
    read = at.read or 0.0
    if at.bounds.ninety.low <= read <= at.bounds.ninety.high:
        return "as it should be"
    if at.bounds.most.low <= read <= at.bounds.most.high:
        side = "low" if read < at.bounds.ninety.low else "high"
        return f"{side}, yet possible with long wires ({band_words(at.bounds.most)} at most)"
    side = "too low" if read < at.bounds.most.low else "too high"
    return f"{side}; sound it is {band_words(at.bounds.ninety)}, {band_words(at.bounds.most)} at most"


def _lost_lines(platform: Platform, its: ExpectedVolts, width: int) -> list[str]:
    return section("LOST", [lost_words(platform, its.powered, lost) for lost in its.lost], width)


def lost_words(platform: Platform, powered: Powered, lost: Lost) -> str:
    """What is lost between two points that were read, and whether that is too much."""
    between = f"{point_words(platform, lost.above)} to {point_words(platform, lost.below)}"
    if lost.amps.high < 1e-3:
        return f"{between}: {volts_words(lost.volts)}; no current flows, so it says nothing of the ohms."
    sound = f"{band_words(lost.sound)} would be sound"
    how = "measured" if lost.measured else "by its load"
    is_ohms = f" ({ohms_words(lost.ohms)})" if lost.ohms is not None and lost.ohms > 0 else ""
    verdict = ""
    if lost.volts > lost.sound.high:
        links = [link_words(powered.circuit, i) for i in lost.links]
        verdict = f" Too much: {shortened([*dict.fromkeys(links)], 9)}."
    elif lost.volts < -_MISREAD:
        verdict = " Less than nothing is lost: one of the two was misread."
    return f"{between}: {volts_words(lost.volts)} at {amps_band(lost.amps)} ({how}){is_ohms}, where {sound}.{verdict}"


def _supposed(platform: Platform, its: ExpectedVolts, width: int) -> list[str]:
    if its.supposed is None:
        return []
    bad = joined([f"{place} {_how_bad(ohms)}" for place, ohms in its.asked.bad.items()])
    asked = point_words(platform, its.asked.point)
    rows = [
        (f"{words} <-" if words == asked else words, "floats" if volts is None else volts_words(volts))
        for terminal, volts in _no_repeats(platform, its.supposed.at)
        for words in (point_words(platform, terminal),)
    ]
    told = [f"{joined([str(name) for name in its.supposed.unknown])}: not on the way; left out."]
    return listed(f"IF  {bad}", rows, width) + (section("", told, width) if its.supposed.unknown else [])


def _how_bad(ohms: float) -> str:
    return "open" if math.isinf(ohms) else f"+{ohms:g} ohm"


def _no_repeats(platform: Platform, at: Sequence[tuple[Terminal, float | None]]) -> list[tuple[Terminal, float | None]]:
    """The halves of one cavity are one point: the last one is told."""
    found: dict[str, tuple[Terminal, float | None]] = {}
    for terminal, volts in at:
        found[point_words(platform, terminal)] = terminal, volts
    return list(found.values())


def _what_if(its: ExpectedVolts, width: int, *, whole: bool) -> list[str]:
    """What the point shows with one place bad; places that show the same stand together."""
    if not its.what_if or its.asked.bad or its.pointing is not None:
        return []
    circuit = its.powered.circuit
    groups: dict[tuple[str, str], list[str]] = {}
    for what in its.what_if:
        open_ = "floats" if what.open is None else volts_words(what.open)
        groups.setdefault((volts_words(what.volts), open_), []).append(link_words(circuit, what.link))
    most = 99 if whole else 5
    rows = [("ohms", "open", "where")]
    rows += [(worse, open_, shortened([*dict.fromkeys(links)], most)) for (worse, open_), links in groups.items()]
    label = f"A BAD PLACE  the same point with {SHOWN_OHMS:g} ohm too much there, or with it open; usual wires"
    return listed(label, rows, width)


def _way(platform: Platform, its: ExpectedVolts, width: int) -> list[str]:
    rows = [("usual", "nine in ten", "at most", "amps", "point")]
    hands_off = its.powered.circuit.hands_off
    seen: dict[str, tuple[str, ...]] = {}
    for at in its.way:
        words = point_words(platform, at.terminal)
        more = f": {volts_words(at.read)} read" if at.read is not None else ""
        alone = "" if hands_off.may_probe(str(at.terminal)) else "; hands off: not probed"
        mark = " <-" if at.terminal == its.asked.point else ""
        seen[words] = (
            volts_words(at.bounds.usual), band_words(at.bounds.ninety), band_words(at.bounds.most), amps(at.amps),
            f"{words}{more}{alone}{mark}",
        )  # fmt: skip
    return ["THE WAY  from the battery to the load, and from it to ground", *table([*rows, *seen.values()], width)] if (
        seen
    ) else []  # fmt: skip
