"""The feed that drawing fuses have in common, in words."""

from circuitmap.circuit.common import InCommon
from circuitmap.circuit.common_beside import FeedOfSome
from circuitmap.circuit.feed_ways import SecondFeed
from circuitmap.circuit.isolation import CommonSupply, SupplyPoint
from circuitmap.reports.words.demand_words import with_words
from circuitmap.reports.words.paragraphs import joined, shortened
from circuitmap.reports.words.part_words import rating
from circuitmap.wiring.parts import Fuse, Terminal
from circuitmap.wiring.platform import Platform

_MOST_SECOND = 3
"""How many ways from other batteries are told (judgement)."""


def feed_sentences(platform: Platform, shared: InCommon) -> list[str]:
    supply = shared.supply
    sentences = []
    if len(shared.fuses) > 1:
        if supply.nearest is None and shared.main_nearest is not None:
            place = _place_words(platform, shared.main_nearest)
            sentences.append(f"The nearest place that normally feeds all of them is {place}.")
        elif supply.nearest is None and shared.easiest_nearest is not None:
            place = _place_words(platform, shared.easiest_nearest)
            only = f"The nearest place that feeds all of them {with_words(shared.easiest_needs)}"
            sentences.append(f"{only} is {place}; in other positions there is none.")
        elif supply.nearest is None:
            some = [_of_some(platform, its) for its in shared.feed_of_some]
            sentences.append(f"They have no feed in common{', but ' if some else ''}{'; '.join(some)}.")
        else:
            chain = [_point_words(platform, point) for point in supply.chain if point.kind != "terminal"]
            passed = f" All pass {joined(chain)}." if chain else ""
            sentences.append(
                f"The nearest place that feeds all of them is {_point_words(platform, supply.nearest)}.{passed}"
            )
            if shared.supply_quiet:
                quiet = shared.supply_quiet
                sentences.append(
                    f"{shortened(quiet)} hang{_s(quiet)} on it too and {_are(quiet)} quiet: so not the feed."
                )
            through: dict[tuple[str, ...], list[str]] = {}
            for fuse, contacts in shared.supply_open.items():
                through.setdefault(contacts, []).append(fuse)
            for contacts, fuses in through.items():
                sentences.append(
                    f"{shortened(fuses)} hang{_s(tuple(fuses))} on it only through {joined(contacts, 'or')}, open when "
                    f"parked: that {'it is' if len(fuses) == 1 else 'they are'} quiet tells nothing of the feed."
                )
    if shared.main_supply:
        all_pass = joined([_rated(platform, name) for name in shared.main_supply])
        sentences.append(f"On the main way {'all pass' if len(shared.fuses) > 1 else 'it passes'} {all_pass}.")
    sentences += [_second_words(shared, its) for its in shared.second[:_MOST_SECOND]]
    sentences += [f"What feeds {joined(supply.unfed)} is not typed in."] if supply.unfed else []
    return sentences


def _of_some(platform: Platform, its: FeedOfSome) -> str:
    every = "both" if len(its.fuses) == 2 else "these"
    place = _point_words(platform, its.supply.nearest) if its.supply.nearest else ""
    chain = _chain_words(platform, its.supply)
    passed = f", behind {joined(chain)}" if chain else ""
    return f"{joined(its.fuses)} have: the nearest place that feeds {every} is {place}{passed}"


def _chain_words(platform: Platform, supply: CommonSupply) -> list[str]:
    points = (point for point in supply.chain if point.kind != "terminal" and point != supply.nearest)
    return [_point_words(platform, point) for point in points]


def _second_words(shared: InCommon, its: SecondFeed) -> str:
    whom = "them" if its.fuses == shared.fuses and len(its.fuses) > 1 else joined(its.fuses)
    only = with_words(its.demands)
    return f"{only[0].upper()}{only[1:]}, {joined(its.batteries)} can feed {whom} too, through {joined(its.contacts)}."


def _rated(platform: Platform, name: str) -> str:
    part = platform.parts.get(name)
    return f"{name} ({rating(part)})" if isinstance(part, Fuse) else f"contact {name}"


def _place_words(platform: Platform, end: Terminal) -> str:
    return _point_words(platform, SupplyPoint("terminal", str(end), end.part))


def _point_words(platform: Platform, point: SupplyPoint) -> str:
    if point.kind == "contact":
        return f"contact {point.name}"
    part = platform.parts.get(point.part)
    if isinstance(part, Fuse):
        return f"{point.name} ({rating(part)})"
    if part is not None and part.kind == "battery":
        return point.name
    kind = f"{part.kind} " if part is not None and part.kind in ("bar", "splice", "connector") else ""
    about = f" ({part.description})" if part is not None and part.description else ""
    return f"{kind}{point.name}{about}"


def _s(names: tuple[str, ...]) -> str:
    return "s" if len(names) == 1 else ""


def _are(names: tuple[str, ...]) -> str:
    return "is" if len(names) == 1 else "are"
