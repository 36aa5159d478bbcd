"""Pieces of a line that name several things, each with what was seen of it: networks, finds, a battery, something that
is on no sheet, and what became of the draw."""

import re

from circuitmap.circuit.links import circuit_of
from circuitmap.dead.written_told import written_told
from circuitmap.evidence.battery_seen import CHECKS, HOW, the_battery, written_check
from circuitmap.evidence.changes_seen import is_change, written_change
from circuitmap.evidence.checks_at_parts import HOW as HOW_TESTED
from circuitmap.evidence.checks_at_parts import WHAT, check_test
from circuitmap.evidence.found_there import sign_of, written_found
from circuitmap.evidence.in_slot import fuse_in_slot
from circuitmap.evidence.tested_itself import passed_itself
from circuitmap.evidence.written_names import feed_and_figure, removable, written_line, written_position
from circuitmap.failures import WrongUse
from circuitmap.jobs.dead_told import written_probe
from circuitmap.jobs.line_so_far import LineSoFar
from circuitmap.jobs.typed_words import UNITS, as_written, is_amount, is_bare_number, names_in, with_points, words_in

_THEN = re.compile(r"(?P<names>.*?)\s*[:,]\s*(?P<change>[^:,;]+)\Z")
_FILLERS = ("a", "an", "the", "at", "in", "on", "of", "is", "was", "wire", "wires", "lamp", "spot", "and", "plug", "by")


def network(line: LineSoFar, rest: str) -> None:
    """`BODY 2.5V`, or several: `BODY awake DRIVE 0.2`."""
    words = words_in(with_points(rest).replace("=", " "))
    while words:
        name = words.pop(0)
        value = words.pop(0) if words else ""
        if is_bare_number(value) and words and words[0].casefold() in UNITS:
            value += words.pop(0)
        elif is_bare_number(value):
            line.remarks.append(f"{name} {value} has no unit: written down as {value}V, the volts of a line to ground.")
            value = f"{value}V"
        value = as_written(value)
        found = written_line(line.platform, name, value)
        line.also("network", "network", [(found.network, value)])


def found(line: LineSoFar, rest: str) -> None:
    """`LOADL burning`, `chafed wire at X20.8`, `LOADL LOADR burning, X20 wet`: each sign is that of the names before
    it, or where none is before it, of those behind it."""
    names: list[str] = []
    waiting = ""
    pairs: list[tuple[str, str]] = []
    for word in words_in(rest):
        sign = sign_of(word)
        if sign is None and word.casefold() in _FILLERS:
            continue
        if sign is None and waiting:
            pairs.append((word, waiting))
        elif sign is None:
            names.append(word)
        elif names:
            pairs += [(name, sign) for name in names]
            names = []
        else:
            waiting = sign
    if names or not pairs:
        example = "For example: found LOADL burning, found X20.8 chafed; anything else is a remark"
        raise WrongUse(f"found {rest}: what was found, and where?", example)
    its = []
    for name, there in pairs:
        try:
            its.append(written_found(line.platform, name, there, line.added))
        except WrongUse as failure:
            if sign_of(name) is None and "no lamp" not in failure.message:
                how = f"Name the place and the sign alone: found PLACE {there}; remark {rest}"
                raise WrongUse(failure.message, f"{failure.advice} {how}".strip()) from None
            raise
    line.also("found", "found", [(one.place, one.sign) for one in its])


def battery(line: LineSoFar, rest: str) -> None:
    """`rest 12.45V charging 14.2V test bad`, with the battery's name first where there are several."""
    words = words_in(with_points(rest).replace("=", " "))
    words = [word for word in words if word.casefold() not in ("at", "is", "volts", "voltage")]
    name = ""
    if words and words[0].casefold() not in CHECKS and not is_bare_number(words[0].rstrip("Vv")):
        name = the_battery(line.platform, words.pop(0))
    said: list[tuple[str, str]] = []
    while words:
        check, value = words.pop(0).casefold(), words.pop(0) if words else ""
        if check not in CHECKS and value.casefold() in CHECKS:  # 12.45V rest
            check, value = value.casefold(), check
        if is_bare_number(value) and check != "test":
            value = f"{value}V"
        value = as_written(value)
        written_check(line.platform, name, check, value)
        if line.says_anew(f"battery {check}", check, value, f"{check} {value}"):
            said.append((check, value))
    if not said:
        raise WrongUse("battery needs something after it.", HOW)
    line.put("battery", ((("place", name),) if name else ()) + tuple(said))


def fitted(line: LineSoFar, rest: str) -> None:
    """`DASHCAM from BAT`, `DASHCAM from F8 6mA`: something that no sheet shows, and what it takes standing by."""
    name, word, fed_from = rest.rpartition(" from ")
    if not word:
        raise WrongUse(
            f"{rest}: fed from where?", f"For example: fitted {rest.split()[0]} from F22; equipment: option {rest}."
        )
    if len(name.split()) != 1:
        one = "-".join(word for word in name.upper().split() if word not in ("A", "AN", "THE"))
        raise WrongUse(f"{name}: one word, so that it can be named later.", f"Write: fitted {one} from {fed_from}")
    its, asleep = feed_and_figure(line.platform, name.strip(), fed_from)
    figure = "" if asleep is None else f" {fed_from.split()[-1]}"
    line.also("added", "fitted", [(name.strip(), its + figure)])


def own_battery(line: LineSoFar, rest: str) -> None:
    """`own-battery SIREN`: it goes on when it is unplugged."""
    names = [removable(line.platform, word, line.added) for word in names_in(rest)]
    line.put("own-battery", tuple(dict.fromkeys(names)))


def in_slot(line: LineSoFar, rest: str) -> None:
    """`in-slot FC4 10A mini`: what fuse is in a slot of which the sheets give no size, or another."""
    name, _, said = rest.strip().partition(" ")
    its = fuse_in_slot(line.platform, name.rstrip(":"), said)
    line.also("in-slot", "in-slot", [(its.name, said.strip())])


def out_or_back(line: LineSoFar, key: str, rest: str) -> None:
    """The names after `out` or `back`, `all` of them, and what became of the draw: `F20, F21: gone`."""
    then = _THEN.match(rest)
    if then is not None and is_change(then["change"]):
        rest = then["names"]
        change(line, then["change"])
    elif then is not None and is_amount(then["change"]):
        raise WrongUse(
            f"{then['change']}: read where?",
            f"Write: {key} {then['names']}; total {then['change']}",
        )
    names = list(dict.fromkeys(names_in(rest.rstrip(":"))))
    if not names:
        raise WrongUse(f"{key} needs something after it.", f"For example: {key} HEATER")
    if key == "back" and [name.casefold() for name in names] in (["all"], ["everything"]):
        if not line.car.out:
            raise WrongUse("back all: by the card, nothing is out.", "For example: back HEATER")
        names = list(line.car.out)
    line.put(key, tuple(removable(line.platform, name, line.added) for name in names))


def change(line: LineSoFar, text: str) -> None:
    """`gone`, `less`, `no change`; `again` once it is back in."""
    line.put("change", written_change(text))


def stands(line: LineSoFar, rest: str) -> None:
    """`LIVSW on`: how a switch stood all along; one that stood otherwise by the card was turned, and is left so."""
    switch, position = _position(line, rest)
    before = line.car.stand.get(switch, position)
    if before != position:
        line.remarks.append(f"{switch} stood at {before} by the card: so it was turned to {position}, and is left so.")
        line.put("turned", ((switch, position),))
        return
    line.put("stands", ((switch, position),))
    if switch not in line.car.stand:
        line.remarks.append(
            f"Taken so: {switch} stood at {position} all along. If it was turned just now: turned {switch} {position}."
        )


def turned(line: LineSoFar, rest: str) -> None:
    """`BUNKSW off`: a switch that was turned, and is left so."""
    line.put("turned", (_position(line, rest),))


def _position(line: LineSoFar, rest: str) -> tuple[str, str]:
    name, _, position = rest.replace("=", " ").partition(" ")
    return written_position(line.platform, name, position)


def dead(line: LineSoFar, word: str, rest: str) -> None:
    """`SCRL SCRR`, `M12@S14=4`: loads, single pins and relays that do not work, or that do."""
    circuit = line.car.circuit or circuit_of(line.platform)
    told = [written_told(circuit, name, word == "works").typed for name in names_in(rest)]
    for name in told:
        line.says_anew(f"dead {name}", name, word, f"{word} {name}")
    line.put(word, tuple(dict.fromkeys(told)))


def probed(line: LineSoFar, rest: str) -> None:
    """`F72.1 12.3V F72.2 0.02V`: what a probe showed at points while the dead load was switched on."""
    words = words_in(with_points(rest).replace("=", " "))
    pairs = []
    while words:
        point = words.pop(0)
        value = as_written(words.pop(0)) if words else ""
        value = f"{value}V" if is_bare_number(value) else value
        terminal, _ = written_probe(line.platform, point, value)
        untouchable = line.hands_off.why_not(str(terminal))
        if untouchable is not None:
            line.remarks.append(f"{terminal} is hands-off: it is kept, because it was done; do not probe there again.")
        pairs.append((terminal.as_typed, value))
    line.also("probed", "probed", pairs)


def tested(line: LineSoFar, rest: str) -> None:
    """`LIFT feed 0.08V inputs fine`; of the part itself `S12 bad`, or what its contact shows."""
    words = words_in(rest)
    part = removable(line.platform, words[0], line.added) if words else ""
    said = words[1:]
    if said and said[0] not in WHAT:
        result = rest.strip().partition(" ")[2].strip(" ,:")
        passed_itself(line.platform, part, result)
        line.put("tested", ((part, result),))
        return
    if not said or len(said) % 2:
        raise WrongUse("A test says what was tested and how it was.", HOW_TESTED)
    pairs = []
    for what, result in zip(said[::2], said[1::2], strict=True):
        check_test(what, result)
        if line.says_anew(f"{part} {what}", what, result, f"{what} {result}"):
            pairs.append((f"{part} {what}", result))
    line.put("tested", tuple(pairs))
