"""Where the short behind a fuse is, as text and as JSON: find it first, then the next fuse."""

from collections.abc import Sequence
from typing import Any

from circuitmap.dead.blown import BlownFuse, Parting, ShortAt
from circuitmap.reports.volts.place_words import link_words
from circuitmap.reports.words.cautions import Told, caution_json, caution_lines, cautions_at
from circuitmap.reports.words.chance_words import chance
from circuitmap.reports.words.paragraphs import as_text, joined, section, shortened, wrapped
from circuitmap.reports.words.part_words import named
from circuitmap.reports.words.state_said import state_json, state_said
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform


def blown_text(platform: Platform, its: BlownFuse, width: int) -> str:
    """The answer for people."""
    blows = joined([one.words for one in its.told if not one.works])
    holds = joined([one.words for one in its.told if one.works])
    title = f"{blows} blows" + (f"; {holds} holds" if holds else "")
    return as_text(wrapped(f"{title}  ({state_said(its.state)})", width=width), blown_sections(platform, its, width))


def blown_sections(platform: Platform, its: BlownFuse, width: int) -> list[str]:
    """Where it may be, what to do, what is cleared and what is not known: as lines."""
    return [
        *section("A SHORT", [_places(its)], width),
        *section("NEXT", steps_told(platform, its), width),
        *caution_lines(_cautions(platform, its), width, " " * 11),
        *section("CLEARED", cleared_told(its), width),
        *section("NOT KNOWN", [UNKNOWN], width),
    ]


UNKNOWN = (
    "Whether it is a short, or a load that takes too much (a motor that sticks): judged by what it takes alone. How "
    "often each kind of thing is shorted: judgement."
)


def _places(its: BlownFuse) -> str:
    if not its.places:
        return "Nothing is left: what was behind it when it blew was behind it when it held. Look whether that was so."
    words = [short_words(its, one) for one in its.places]
    return f"behind the fuse, which is not the fault. In the order of the way: {shortened(words, 14)}."


def short_words(its: BlownFuse, one: ShortAt) -> str:
    """`wire X2.38 to X4.9 (BK 1.5mm2)`, `inside WORKL`."""
    return f"inside {one.load}" if one.load else link_words(its.circuit, one.link)


def steps_told(platform: Platform, its: BlownFuse) -> list[str]:
    """What to do, first things first."""
    state = state_said(its.state)
    loads = joined([_load_words(platform, name) for name in its.loads]) or "no load"
    told = [
        f"fuse out, no further one in; put it as it blew ({state}), everything else off, no other feed on that wire: "
        f"ohms from {its.fuse}, outgoing side, to ground. Next to nothing: the short is there now. What hangs there "
        f"shows, too, and less cold than at work: {loads}; unplugged it does not mislead. Then a lamp for this voltage "
        "in place of the fuse will do as well: it is bright as long as the short is there."
    ]
    told += [_parting_words(its, one) for one in its.partings[:_MOST]]
    return told


_MOST = 5


def _load_words(platform: Platform, name: str) -> str:
    part = platform.parts[name]
    amps = part.running if isinstance(part, Load) else None
    return (
        f"{name} about {platform.supply_volts / amps.middle:.1f} ohm at work"
        if amps is not None and amps.middle
        else name
    )


def _parting_words(its: BlownFuse, one: Parting) -> str:
    do = {"plug": f"part {one.part}", "switch": f"turn {one.part} back", "load": f"take the plug off {one.part}"}[
        one.how
    ]
    odds = sum(place.odds for place in one.behind)
    return (
        f"{do} ({one.minutes:.0f} min): gone ({chance(odds)}): {_short(its, one.behind)}; still there: "
        f"{_short(its, one.before)}."
    )


def _short(its: BlownFuse, places: Sequence[ShortAt]) -> str:
    return shortened([short_words(its, one) for one in places], 4)


def cleared_told(its: BlownFuse) -> list[str]:
    words = [link_words(its.circuit, i) for i in its.cleared]
    return [f"{shortened(words, 8)}: behind the fuse when it held."] if words else []


def _cautions(platform: Platform, its: BlownFuse) -> tuple[Told, ...]:
    parts = [one.part for one in its.partings]
    told = (*cautions_at(platform, "blown-fuse"), *cautions_at(platform, "wire-ohms", parts))
    return (*told, *(one for one in cautions_at(platform, "connector", parts) if one not in told))


def blown_json(platform: Platform, its: BlownFuse) -> dict[str, Any]:
    """The same as data."""
    return {
        "fuse": its.fuse,
        "blows": [one.words for one in its.told if not one.works],
        "holds": [one.words for one in its.told if one.works],
        "state": state_json(its.state),
        "places": [{"kind": one.kind, "words": short_words(its, one), "odds": one.odds} for one in its.places],
        "next": steps_told(platform, its),
        "partings": [
            {
                "how": one.how,
                "part": one.part,
                "minutes": one.minutes,
                "gone": [short_words(its, place) for place in one.behind],
                "still_there": [short_words(its, place) for place in one.before],
            }
            for one in its.partings
        ],
        "loads": [named(platform, name) for name in its.loads],
        "cleared": [link_words(its.circuit, i) for i in its.cleared],
        "cautions": caution_json(_cautions(platform, its)),
        "unknown": [UNKNOWN],
    }
