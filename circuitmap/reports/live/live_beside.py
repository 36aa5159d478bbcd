"""What `live` says beside the loads: fuses, where the sheets go on live, batteries joined, coils with one side only."""

from typing import Any

from circuitmap.circuit.unknowns import open_end
from circuitmap.power.evaluate import Powered
from circuitmap.power.hot_fuses import hot_fuses
from circuitmap.power.joined import joined_batteries
from circuitmap.power.why import why
from circuitmap.reports.words.paragraphs import in_rows, joined, listed, section
from circuitmap.reports.words.part_words import named, terminal_words
from circuitmap.unknown import Unknown
from circuitmap.wiring.fitting import Answer
from circuitmap.wiring.parts import OpenEnd, Relay, Terminal


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


def fuses_live(powered: Powered, width: int) -> list[str]:
    """Which fuses are live, and what the others wait for: what a test lamp on the fuses should show."""
    fuses = hot_fuses(powered)
    live = [its.name for its in fuses if its.live == Answer.YES]
    perhaps = [its.name for its in fuses if its.live == Answer.MAY_BE]
    waiting: dict[tuple[str, ...], list[str]] = {}
    for its in fuses:
        if its.live == Answer.NO:
            waiting.setdefault(its.waits_for, []).append(its.name)
    rows = [("live", in_rows(live))] if live else []
    rows += [("may be", in_rows(perhaps))] if perhaps else []
    rows += [
        ("dead", f"{in_rows(names)}: {_behind(powered, contacts)}")
        for contacts, names in sorted(waiting.items(), key=lambda its: (len(its[0]) == 0, -len(its[1])))
    ]
    return listed(f"FUSES  {len(live)} of {len(fuses)} live", rows, width) if fuses else []


def _behind(powered: Powered, contacts: tuple[str, ...]) -> str:
    """`behind CAB.K4.87 and IGN.15`, what is nearest to the fuse first."""
    if contacts:
        return f"behind {joined(list(reversed(contacts)))}"
    out = sorted(powered.state.pulled | powered.state.unplugged)
    return f"no way from a battery with {joined(out)} out" if out else "no way from a battery is typed in"


def batteries_joined(powered: Powered, width: int) -> list[str]:
    sentences = []
    for its in joined_batteries(powered):
        are = "are" if its.surely == Answer.YES else "may be"
        how = joined([f"{name}{' stuck closed' if name in powered.state.stuck else ''}" for name in its.contacts])
        sentences.append(f"{joined(its.batteries)} {are} joined by {how}: each feeds what hangs on the other.")
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
            {"fuse": its.name, "live": its.live.words, "waits_for": list(its.waits_for)} for its in hot_fuses(powered)
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
            {"batteries": list(its.batteries), "contacts": list(its.contacts), "joined": its.surely.words}
            for its in joined_batteries(powered)
        ],
        "coils_fed": [
            {"relay": name, "fed_at": str(fed), "open": list(contacts)}
            for name, fed, contacts in coils_on_one_side(powered)
        ],
    }
