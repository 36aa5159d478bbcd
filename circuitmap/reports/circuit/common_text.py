"""`common` as text: what the fuses that draw share, what speaks against it, what is not known."""

from collections.abc import Iterator

from circuitmap.circuit.common import InCommon, Shared
from circuitmap.circuit.common_networks import CommonMember, SharedNetwork
from circuitmap.circuit.hands_off import HandsOffMap
from circuitmap.reports.circuit.common_feed import feed_sentences
from circuitmap.reports.circuit.worked_text import worked_lines
from circuitmap.reports.words.demand_words import with_words
from circuitmap.reports.words.hands_off_words import in_one_line, untouchable_among
from circuitmap.reports.words.paragraphs import (
    NUMBERS,
    WIDTH,
    as_text,
    counted,
    cut_short,
    joined,
    section,
    shortened,
    table,
    wrapped,
)
from circuitmap.reports.words.part_words import named, rating, signal_words, terminal_words
from circuitmap.reports.words.unknown_words import unknown_sentences
from circuitmap.wiring.parts import LOAD_KINDS, Fuse
from circuitmap.wiring.platform import Platform

_KINDS = (
    (LOAD_KINDS, "load"),
    (("splice",), "splice"),
    (("cavity",), "connector cavity"),
    (("connector",), "connector"),
    (("contact",), "contact"),
    (("relay",), "relay"),
    (("ground",), "ground"),
    (("terminal",), "terminal"),
    (("switch",), "switch"),
)
"""What may be the cause when it is shared, and its noun; bars and sheets alone say little. A connector counts because
water or a chafed loom joins what passes its cavities (common practice, no source)."""
_NOT_MISSED = ("connector cavity", "relay", "terminal", "switch")
"""That none of these is shared is not worth a word: a connector says it of its cavities."""

_BY_THEIR_PINS = ("connector", "terminal", "switch")
"""What is told only where its cavities or contacts do not say it already."""


def common_text(
    platform: Platform,
    shared: InCommon,
    width: int = WIDTH,
    whole: bool = False,
    hands_off: HandsOffMap | None = None,
) -> str:
    """Long lists are cut short unless the `whole` is asked for. With `hands_off` it says what of all that nobody
    touches."""
    lines = wrapped(f"{joined(shared.fuses)} draw{_s(shared.fuses)}.", rest=" ", width=width)
    if shared.quiet:
        lines += wrapped(f"{joined(shared.quiet)} {_are(shared.quiet)} quiet.", rest=" ", width=width)
    lines += section("HANDS OFF", in_one_line(untouchable_among(hands_off, named_in(shared))), width)
    unknown = unknown_sentences(platform, shared.incomplete)
    if shared.cut_off:
        unknown.append("Cut off: there are more ways to these loads, or networks, than were looked for.")
    blocks = [
        lines,
        [
            *section("SHARED", _shared(platform, shared), width),
            *section("NOT SHARED", _not_shared(shared), width),
            *section("FEED", feed_sentences(platform, shared), width),
            *section("ALL BUT 1", _all_but_one(platform, shared), width),
            *section("COUNT", _counted_twice(shared), width),
        ],
        *(
            (_network_in_short if _told_by_another(shared, network) else _network)(platform, network, width)
            for network in (*shared.networks, *shared.wake_lines)
        ),
        worked_lines(platform, shared.worked, {}, width),
        _fuses(platform, shared, width),
        section("NOT KNOWN", unknown, width),
    ]
    return as_text(*(blocks if whole else map(cut_short, blocks)))


def named_in(shared: InCommon) -> Iterator[str]:
    """What an answer names that somebody might go to: the fuses, and what all or all but one of them share."""
    yield from shared.fuses
    yield from (entry.name for entry in shared.shared if entry.kind != "sheet")
    yield from (point.name for point in shared.supply.chain if point.name)


def _shared(platform: Platform, shared: InCommon) -> list[str]:
    """The answer: what is on all of them, what is also quiet said beside it. What merely feeds them comes last."""
    together: dict[tuple[str, int, bool, bool], list[str]] = {}
    for entry in shared.shared:
        if not entry.missing and _noun(entry) and not (entry.quiet and _only_feeds(entry)):
            if entry.kind in _BY_THEIR_PINS and _says_no_more(shared, entry):
                continue
            by_signals = all(ways == ("signal",) for ways in entry.how.values())
            cavities = "" if by_signals else _in_cavities(entry)
            where = f"{_where(entry)}{cavities}{_but_quiet(entry.quiet)}.{_never_together(entry)}"
            # What lies on one of several ways, or carries signals only, is told in one line, the others by themselves.
            apart = "" if (entry.partly and _only_feeds(entry)) or by_signals else entry.name
            its = together.setdefault(
                (f"{apart}: {where}", len(entry.quiet), _only_feeds(entry), entry.kind == "connector"), []
            )
            its.append(f"{_noun(entry)} {entry.name if apart == '' else named(platform, entry.name)}")
    found = [
        ((False, quiet, feeds, connector), f"{joined(names)}: {where.partition(': ')[2]}")
        for (where, quiet, feeds, connector), names in together.items()
    ]
    for network in (*shared.networks, *shared.wake_lines):
        if not network.missing:
            each = "each feeds a member of it" if len(shared.fuses) > 1 else "it feeds a member of it"
            how = _by_gateway(network) if network.by_gateway else each
            also = "" if network.by_gateway or not network.through else f", and it wakes {_woken(network)}"
            elsewhere = "" if network.by_gateway else _elsewhere(network)
            text = f"{_network_name(platform, network)}: {how}{also}{_but_quiet(network.quiet)}.{elsewhere}"
            found.append(((network.by_gateway, len(network.quiet), False, False), text))
    found.sort(key=lambda entry: entry[0])
    if not found and len(shared.fuses) > 1:
        return ["Nothing but the feed, as far as it was typed in: no load, splice, ground, contact or network."]
    return [text[0].upper() + text[1:] for _, text in found]


def _says_no_more(shared: InCommon, entry: Shared) -> bool:
    """It only feeds all of them, or one of its cavities or contacts is on all of them and told itself. A connector is
    told all the same where two of them pass cavities of their own."""
    prefix = f"{entry.name}."
    told = {
        other.name.removeprefix(prefix)
        for other in shared.shared
        if other.kind in ("cavity", "contact") and not other.missing and other.name.startswith(prefix)
    }
    apart = [fuse for fuse in entry.fuses if set(entry.cavities.get(fuse, ())) - told]
    return _only_feeds(entry) or bool(told and len(apart) < 2)


def _in_cavities(entry: Shared) -> str:
    """`: F1 in cavity 1, F2 in 2 and 4`; water or a chafed loom joins what passes one connector."""
    rows = [f"{fuse} in {joined(entry.cavities[fuse])}" for fuse in entry.fuses if entry.cavities.get(fuse)]
    return f" ({', '.join(rows)})" if rows else ""


def _never_together(entry: Shared) -> str:
    """` Never at once: F1 in left, F2 in right.`"""
    rows = [f"{fuse} in {joined(positions, 'or')}" for fuse, positions in entry.apart.items()]
    return f" Never at once: {', '.join(rows)}." if rows else ""


def _elsewhere(network: SharedNetwork) -> str:
    names = network.unlisted
    return f" On none of these fuses: {shortened(names)}." if names else ""


def _only_feeds(entry: Shared) -> bool:
    """Whether it is on the way from the battery to the fuses and nowhere else."""
    return all(set(ways) <= {"feed", "some feeds"} for ways in entry.how.values())


def _noun(entry: Shared) -> str:
    return next((noun for kinds, noun in _KINDS if entry.kind in kinds), "")


_WAYS = {
    "feed": "on the way from the battery to {}",
    "some feeds": "on some ways from the batteries to {}",
    "load": "fed by {}",
    "wake": "its wake pin on {}",
    "sense": "its sense pin on {}",
    "control": "its control pin on {}",
    "coil": "its coil on {}",
    "contact": "its contact feeds what hangs on {}",
    "switches": "an output of it switches what hangs on {}",
    "joins": "its contact joins batteries, with {} between them",
    "downstream": "behind {}",
    "ground side": "on the ground side of {}",
    "signal": "in the signal wires of what hangs on {}",
}


def _where(entry: Shared) -> str:
    """Where on the circuits it is; the fuses are named if it is not the same for all of them."""
    by_ways: dict[tuple[str, ...], list[str]] = {}
    for fuse in entry.fuses:
        by_ways.setdefault(tuple(entry.how[fuse]), []).append(fuse)
    if len(by_ways) == 1:
        every = "both" if len(entry.fuses) == 2 else "all of them" if len(entry.fuses) > 1 else "it"
        return joined([_way_words(entry, way).format(every) for way in next(iter(by_ways))])
    found = []
    for ways, fuses in by_ways.items():
        # A relay's contact on the way from the battery says more by its own name.
        by_contact = entry.kind == "relay"
        words = ["its contact feeds {}" if way == "feed" and by_contact else _way_words(entry, way) for way in ways]
        found.append(joined([word.format(joined(fuses)) for word in words]))
    return "; ".join(found)


def _way_words(entry: Shared, way: str) -> str:
    """`on one of 2 ways from the batteries to {}, only with KSPLIT pulled in`."""
    if way != "some feeds" or entry.partly is None:
        return _WAYS[way]
    its = entry.partly
    which = f"on {NUMBERS.get(its.on, its.on)} of {its.of} ways from the batteries to {{}}" if its.of else _WAYS[way]
    only = with_words(its.demands)
    return f"{which}, only {only}" if only else which


def _but_quiet(quiet: tuple[str, ...]) -> str:
    return f"; but {joined(quiet)} {_are(quiet)} on it too and quiet" if quiet else ""


def _not_shared(shared: InCommon) -> list[str]:
    found = {_noun(entry) for entry in shared.shared if not entry.missing}
    absent = [noun for _, noun in _KINDS if noun not in found and noun not in _NOT_MISSED]
    absent += ["network"] if all(network.missing for network in shared.networks) else []
    nothing = len(absent) == len(_KINDS) - len(_NOT_MISSED) + 1 and not found - {""}
    if len(shared.fuses) < 2 or not absent or nothing:
        return []
    every = "both" if len(shared.fuses) == 2 else "all of them"
    return [f"No {joined(absent, 'or')} is on {every}, as far as it was typed in."]


def _all_but_one(platform: Platform, shared: InCommon) -> list[str]:
    sentences = [
        f"{_noun(entry)} {named(platform, entry.name)}: {_if_switching(entry)}not on {joined(entry.missing)}"
        f"{_but_quiet(entry.quiet)}."
        for entry in shared.shared
        if entry.missing and _noun(entry) and entry.kind not in _BY_THEIR_PINS
    ]
    for network in (*shared.networks, *shared.wake_lines):
        wired = {its.part for fuse in network.missing for its in shared.inputs.get(fuse, ())}
        if network.missing and not wired & {member.part for member in network.members}:
            name = _network_name(platform, network)
            sentences.append(f"{name}: not reached by {joined(network.missing)}{_but_quiet(network.quiet)}.")
    return [text[0].upper() + text[1:] for text in sentences[:8]]


def _if_switching(entry: Shared) -> str:
    """A module that only switches what hangs on a fuse is not found in the list of that fuse."""
    return f"{_where(entry)}; " if any("switches" in ways for ways in entry.how.values()) else ""


def _counted_twice(shared: InCommon) -> list[str]:
    below: dict[tuple[str, ...], list[str]] = {}
    for fuse, above in shared.above.items():
        if above:
            below.setdefault(above, []).append(fuse)
    return [
        f"{joined(above)} feed{_s(above)} {joined(fuses)}: {'its' if len(above) == 1 else 'their'} reading includes "
        f"{'that' if len(fuses) == 1 else 'those'}. Do not count both."
        for above, fuses in below.items()
    ] + _counted_twice_if(shared)


def _counted_twice_if(shared: InCommon) -> list[str]:
    """Fuses that feed others only while some contact is closed: when parked, their readings are their own."""
    below: dict[tuple[str, tuple[str, ...], str], list[str]] = {}
    for fuse, perhaps in shared.above_if.items():
        for its in perhaps:
            below.setdefault((its.fuse, its.batteries, with_words(its.demands)), []).append(fuse)
    by_others: dict[tuple[str, tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for (above, batteries, when), fuses in below.items():
        by_others.setdefault((when, batteries, tuple(fuses)), []).append(above)
    return [
        f"The reading of {joined(above, 'or')} includes {joined(fuses)} only {when or 'on some ways'}, "
        f"fed from {joined(batteries, 'or')}."
        for (when, batteries, fuses), above in by_others.items()
    ]


def _network_name(platform: Platform, network: SharedNetwork) -> str:
    noun = "wake line" if network.kind == "wake" else "network"
    its = platform.networks.get(network.name)
    about = f", {its.description}" if its is not None and its.description else ""
    return f"the {noun} {network.name}{about}"


def _woken(network: SharedNetwork) -> str:
    """`CHASSIS through GATE`."""
    unsure = " (the sheet does not say which way it passes)"
    return joined([f"{its.network} through {its.gateway}{'' if its.sure else unsure}" for its in network.through])


def _by_gateway(network: SharedNetwork) -> str:
    """The fuses that its own members hang on, and that it reaches the others by waking another network."""
    if not network.direct:
        return f"none feeds a member of it, but it wakes {_woken(network)}"
    return f"only {joined(network.direct)} feed{_s(network.direct)} a member of it, but it wakes {_woken(network)}"


def _told_by_another(shared: InCommon, network: SharedNetwork) -> bool:
    """Whether it reaches the fuses only by waking a network that reaches as many of them and is itself told."""
    woken = {its.network for its in network.through}
    return network.by_gateway and any(
        other.name in woken and not other.by_gateway and set(network.fuses) <= set(other.fuses)
        for other in shared.networks
    )


def _network_in_short(platform: Platform, network: SharedNetwork, width: int) -> list[str]:
    """A network that only wakes the one that the fuses share: its own members may still be what keeps that awake."""
    own = [member for member in network.members if member.network == network.name]
    quiet = [f"{its.part} ({joined(its.quiet)})" for its in own if its.quiet and not its.fuses]
    unlisted = [its.part for its in own if its.unlisted]
    name = _network_name(platform, network).removeprefix("the ")
    words = [f"wakes {_woken(network)}"]
    words += [f"on quiet fuses {shortened(quiet)}"] if quiet else []
    words += [f"on no listed fuse {shortened(unlisted)}"] if unlisted else []
    return wrapped(f"{name[0].upper()}{name[1:]}: {'; '.join(words)}.", rest=" ", width=width)


def _network(platform: Platform, network: SharedNetwork, width: int) -> list[str]:
    """Its own members by fuse; members on no listed fuse are told separately, because they may be the cause as well."""
    own = [member for member in network.members if member.network == network.name]
    on_listed = [member for member in own if member.fuses]
    quiet = [member for member in own if member.quiet and not member.fuses]
    unlisted = [member for member in own if member.unlisted]
    name = _network_name(platform, network).removeprefix("the ")
    others = tuple(dict.fromkeys(member.network for member in network.members if member not in own))
    also = f", and through gateways those of {joined(others)}" if others else ""
    lines = [f"{name[0].upper()}{name[1:]}: {counted(len(own), 'member')}{also}"]
    lines += table([(", ".join(m.fuses), _member(platform, m)) for m in on_listed], width)
    if quiet:
        lines.append(" on a quiet fuse: it should draw as well while the network is awake")
        lines += [f"  {line}" for line in table([(", ".join(m.quiet), _member(platform, m)) for m in quiet])]
    if unlisted:
        lines.append(" on no listed fuse: each may be the one that keeps it awake")
        rows = [(", ".join(m.all_fuses) or "no fuse typed", _member(platform, m)) for m in unlisted]
        lines += [f"  {line}" for line in table(rows, width - 2)]
    return lines


def _member(platform: Platform, member: CommonMember) -> str:
    part = platform.parts.get(member.part)
    place = f", {part.place}" if part is not None and part.place and member.unlisted else ""
    return f"{named(platform, member.part)}{place}"


def _fuses(platform: Platform, shared: InCommon, width: int) -> list[str]:
    """What hangs on each of the drawing fuses."""
    rows = []
    for fuse in shared.fuses:
        part = platform.parts[fuse]
        loads = [named(platform, load) for load, fuses in shared.loads.items() if fuse in fuses]
        loads += [
            f"{named(platform, its.part)} ({signal_words(its.kind)} {terminal_words(platform, its.terminal)})"
            for its in shared.inputs.get(fuse, ())
        ]
        size = rating(part) if isinstance(part, Fuse) else ""
        for join in shared.joins.get(fuse, ()) if not loads else ():
            when = with_words(join.demands)
            loads.append(f"joins {joined([join.battery, *join.others])} {when}".rstrip())
        rows.append((fuse, size, "; ".join(loads) or "no load typed in"))
    return ["ON EACH FUSE", *table(rows, width)]


def _s(names: tuple[str, ...]) -> str:
    return "s" if len(names) == 1 else ""


def _are(names: tuple[str, ...]) -> str:
    return "is" if len(names) == 1 else "are"
