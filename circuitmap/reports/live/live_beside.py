"""What `live` says beside the loads: fuses, where the sheets go on live, batteries joined, coils with one side only."""

from collections.abc import Mapping
from typing import Any

from circuitmap.circuit.unknowns import open_end
from circuitmap.power.classes import LoadClass
from circuitmap.power.dead_modules import dead_modules
from circuitmap.power.evaluate import LoadPower, Powered
from circuitmap.power.hot_fuses import hot_fuses
from circuitmap.power.joined import joined_batteries
from circuitmap.power.latching import Thrown
from circuitmap.power.short_circuits import touching_shorts, unsure_touches
from circuitmap.power.why import why
from circuitmap.quantities import Band
from circuitmap.reports.words.paragraphs import in_rows, joined, listed, section, shortened
from circuitmap.reports.words.part_words import amps_band, named, terminal_words
from circuitmap.reports.words.way_words import through_words
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Answer, holds
from circuitmap.wiring.parts import Load, OpenEnd, Relay, Terminal

_MOST_STOPPED = 12
"""How many loads are named that no longer draw (judgement: what a line or two hold)."""


def live_open_ends(powered: Powered) -> list[tuple[Unknown, Terminal, Answer]]:
    """Live places from which the sheets go on, with how surely they are live."""
    platform = powered.circuit.platform
    found = []
    for part in platform.parts.values():
        if isinstance(part, OpenEnd) and not part.from_supply:
            for wire in platform.wires_at.get(part.name, ()):
                here = wire.b if wire.a.part == part.name else wire.a
                answer = powered.supply.get(here, Answer.NO)
                if answer != Answer.NO:
                    found.append((open_end(platform, part), here, answer))
    return sorted(found, key=lambda entry: (-entry[2], entry[0].name))


def goes_on(powered: Powered, width: int) -> list[str]:
    platform = powered.circuit.platform
    rows = []
    for entry, here, answer in live_open_ends(powered):
        reason = why(powered, here)
        fuses = [s.link.part for s in reason.steps if s.link is not None and s.link.kind in ("fuse", "link", "breaker")]
        says = [f'"{entry.detail}"' if entry.detail else "the sheet does not say where to"]
        says += [f"through {fuses[-1]}"] if fuses else []
        says += ["may be live"] if answer == Answer.MAY_BE else []
        rows.append((terminal_words(platform, here), "; ".join(says)))
    return listed(f"GOES ON  {len(rows)}: live where the sheets go on, what is there is not typed in", rows, width)


def current_words(part: Load, its: LoadPower) -> str:
    """What it takes in this state, if that was typed in."""
    is_up = its.awake == Answer.YES and part.awake is not None
    if part.kind != "module" and not is_up:
        running = (part.running, part.running_at, "running")
        band, by_pin, word = running if part.running is not None else (part.asleep, part.asleep_at, "asleep")
    elif its.awake == Answer.YES:
        band, by_pin, word = part.awake, part.awake_at, "awake"
    else:
        band, by_pin, word = part.asleep, part.asleep_at, "asleep"
    if by_pin:
        taken = [by_pin[pin.terminal.pin] for pin in its.pins if pin.live == its.supply and pin.terminal.pin in by_pin]
        band = Band(sum(each.low for each in taken), sum(each.high for each in taken)) if taken else None
    more = ", awake not typed in" if its.awake == Answer.YES and word == "asleep" else ""
    return f"{word} {amps_band(band)}{more}" if band is not None else ""


def coil_feed(powered: Powered, plus: Terminal) -> str:
    """What feeds a coil, which may be another load: `L1 (F1)`."""
    way = why(powered, plus)
    if way.answer != Answer.NO or not way.backfed_by:
        return through_words(powered, plus)
    found = []
    for load in way.backfed_by:
        pins = powered.loads[load].pins if load in powered.loads else ()
        through = dict.fromkeys(through_words(powered, pin.terminal) for pin in pins if pin.live != Answer.NO)
        found.append(f"{load} ({'; '.join(through)})" if through else load)
    return joined(found)


def touch_sentences(powered: Powered) -> list[str]:
    """What blows where plus touches ground."""
    parts, told = powered.circuit.platform.parts, []
    for its in touching_shorts(powered):
        a, b = map(str, its.points)
        goes = [f"{name} would {'trip' if parts[name].kind == 'breaker' else 'blow'}" for name in its.fuses]
        goes += ["no fuse protects that way"] if its.unfused else []
        ask = f" What is left then: {' '.join(f'--pull {name}' for name in its.fuses)}." if not its.unfused else ""
        told.append(f"{a} touching {b} joins plus to ground: {', then '.join(goes)}.{ask}")
    told += [
        f"{live} is live, but how {grounded} is joined to its battery's minus is not typed in: whether that is a short "
        "circuit is not known. Name a ground point instead."
        for live, grounded in unsure_touches(powered)
    ]
    return told


def dead(powered: Powered, width: int) -> list[str]:
    """Modules that are fed, and dead all the same."""
    platform = powered.circuit.platform
    found = dead_modules(powered)
    rows = [
        (named(platform, its.name), f"no plus at {joined(list(map(str, its.lacks)))}" if its.lacks else "no ground")
        for its in found
    ]
    return listed(f"DEAD  {len(rows)}: fed, but without what they need", rows, width)


def stopped(powered: Powered, classes: Mapping[str, LoadClass], width: int) -> list[str]:
    """What is fed in the parked vehicle and takes nothing in this state, so that nobody looks for it in vain."""
    state = powered.state
    why_not: dict[str, list[str]] = {}
    told = {its.name for its in dead_modules(powered)}
    for name, its in powered.loads.items():
        if name in told or classes[name].its not in ("constant", "message-only") or its.draws != Answer.NO:
            continue
        if name in state.unplugged:
            reason = "unplugged"
        else:
            reason = "no feed" if its.supply == Answer.NO else "fed, but no ground" if its.ground == Answer.NO else ""
        if reason:
            why_not.setdefault(reason, []).append(name)
    rows = [(reason, shortened(names, _MOST_STOPPED)) for reason, names in why_not.items()]
    return listed(f"STOPPED  {sum(map(len, why_not.values()))}: they draw when parked, not in this state", rows, width)


def fuses_live(powered: Powered, width: int) -> list[str]:
    """Which fuses are live, and what the others wait for: what a test lamp on the fuses should show."""
    fuses = hot_fuses(powered)
    live = [its.name for its in fuses if its.live == Answer.YES]
    perhaps = [its.name for its in fuses if its.live == Answer.MAY_BE]
    waiting: dict[tuple[tuple[str, ...], tuple[str, ...]], list[str]] = {}
    for its in fuses:
        if its.live == Answer.NO:
            waiting.setdefault((its.waits_for, its.may_be_fed_by), []).append(its.name)
    rows = [("live", in_rows(live))] if live else []
    rows += [("may be", in_rows(perhaps))] if perhaps else []
    rows += [
        ("dead", f"{in_rows(names)}: {_behind(powered, contacts)}{_unless_fed(feeding)}")
        for (contacts, feeding), names in sorted(waiting.items(), key=lambda its: (len(its[0][0]) == 0, -len(its[1])))
    ]
    rows += _bars(powered, "bar", "bars")
    rows += _bars(powered, "terminal", "studs")
    return listed(f"FUSES  {len(live)} of {len(fuses)} live", rows, width) if fuses else []


def _bars(powered: Powered, kind: str, label: str) -> list[tuple[str, str]]:
    """Which bars, or studs, are live, where there are several: one probe there tells of all fuses on it. What is
    grounded is none of them."""
    by_answer: dict[Answer, list[str]] = {}
    for part in powered.circuit.platform.parts.values():
        end = Terminal(part.name)
        fitted = holds(part.condition, powered.state.fitting) != Answer.NO
        if part.kind == kind and fitted and end in powered.supply and powered.ground.get(end) == Answer.NO:
            by_answer.setdefault(powered.supply[end], []).append(part.name)
    said = {Answer.YES: "live", Answer.MAY_BE: "may be live", Answer.NO: "dead"}
    told = [f"{word} {in_rows(by_answer[answer])}" for answer, word in said.items() if answer in by_answer]
    several = sum(map(len, by_answer.values())) > 1 and (kind == "bar" or Answer.YES in by_answer)
    return [(label, "; ".join(told))] if several else []


def _behind(powered: Powered, contacts: tuple[str, ...]) -> str:
    """`behind CAB.K4.87 and IGN.15`, what is nearest to the fuse first."""
    if contacts:
        return f"behind {joined(list(reversed(contacts)))}"
    out = sorted(powered.state.pulled | powered.state.unplugged)
    return f"no way from a battery with {joined(out)} out" if out else "no way from a battery is typed in"


def _unless_fed(feeding: tuple[str, ...]) -> str:
    """What may make a dead fuse live all the same: whoever takes it for dead has a hand in it."""
    return f"; but live while {joined(feeding, 'or')} feeds (--feeding)" if feeding else ""


def batteries_joined(powered: Powered, width: int) -> list[str]:
    sentences = []
    for its in joined_batteries(powered):
        are = "are" if its.surely == Answer.YES else "may be"
        how = joined([f"{name}{' stuck closed' if name in powered.state.stuck else ''}" for name in its.contacts])
        one, other = its.batteries
        way = f", on the way {' - '.join((one, *its.way, other))}" if its.fuses else ""
        sentences.append(f"{joined(its.batteries)} {are} joined by {how}{way}: each feeds what hangs on the other.")
    return section("BATTERIES", sentences, width)


def coils_on_one_side(powered: Powered) -> list[tuple[str, Terminal, tuple[str, ...]]]:
    """Relays at rest whose coil is fed, or may be, and whose other side these contacts keep from ground."""
    found = []
    for name, answer in powered.energised.items():
        part = powered.circuit.platform.parts[name]
        if answer != Answer.NO or not isinstance(part, Relay):
            continue
        sides = [Terminal(name, pin) for pin in part.coil]
        fed = [side for side in sides if powered.supply.get(side, Answer.NO) != Answer.NO]
        other = [side for side in sides if side not in fed]
        if len(fed) == len(other) == 1 and other[0] in powered.ground and powered.ground[other[0]] == Answer.NO:
            open_contacts = why(powered, other[0], "ground").open_contacts
            if open_contacts:
                found.append((name, fed[0], open_contacts))
    return found


def thrown_over(thrown: Thrown, width: int) -> list[str]:
    """Latching relays that the state itself moves."""
    sentences = [
        f"{name} goes to {to} by the current in its {to} coil, and stays there when that ends; told as it then is."
        for name, to in thrown.moved.items()
    ]
    sentences += [f"{name} throws itself back and forth; told as it was left." for name in thrown.restless]
    return section("LATCHING", sentences, width)


def coils_fed(powered: Powered, width: int) -> list[str]:
    """For a state that somebody asked about: which relay would pull in with one more contact closed."""
    platform = powered.circuit.platform
    rows = []
    for name, fed, contacts in coils_on_one_side(powered):
        may = "may be" if powered.supply[fed] == Answer.MAY_BE else "is"
        rows.append((named(platform, name), f"coil {may} fed at {fed}, not grounded: {joined(contacts, 'or')} open"))
    return listed(f"RELAYS AT REST, COIL FED  {len(rows)}", rows, width)


def beside_json(powered: Powered) -> dict[str, Any]:
    platform = powered.circuit.platform
    return {
        "fuses": [
            {
                "fuse": its.name,
                "live": its.live.words,
                "waits_for": list(its.waits_for),
                "may_be_fed_by": list(its.may_be_fed_by),
            }
            for its in hot_fuses(powered)
        ],
        "goes_on": [
            {
                "at": terminal_words(platform, here),
                "live": answer.words,
                "detail": entry.detail,
                "sheets": list(entry.sheets),
            }
            for entry, here, answer in live_open_ends(powered)
        ],
        "batteries_joined": [
            {
                "batteries": list(its.batteries),
                "contacts": list(its.contacts),
                "joined": its.surely.words,
                "way": list(its.way),
            }
            for its in joined_batteries(powered)
        ],
        "coils_fed": [
            {"relay": name, "fed_at": str(fed), "open": list(contacts)}
            for name, fed, contacts in coils_on_one_side(powered)
        ],
    }
