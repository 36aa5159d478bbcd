"""Minutes until the part is found: following the tool's advice, or a habit of the trade. Without readings the habit is to
pull one fuse after the other; with all fuses read, to unplug what hangs on those that draw.

Everybody pays the same for the same work, and the same bad luck: a part that is unplugged may wake the car. Who takes
the wrong part for the right one loses the time of proving it.
"""

from dataclasses import dataclass, replace
from random import Random

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.faults.looking import INPUT_SLIP, LAMP_SEEN
from circuitmap.diagnosis.next_test.doing import TAKES_OUT, WORK
from circuitmap.diagnosis.next_test.handling import Action
from circuitmap.diagnosis.prepared import prepared_for
from circuitmap.diagnosis.seen.against_zeros import ODD
from circuitmap.diagnosis.seen.pin_volts import pin_says
from circuitmap.evidence.checks_at_parts import InputSeen, PinVolts, RelayState, RelayVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.found_there import FoundThere, Sign
from circuitmap.evidence.network_lines import LineState, NetworkLine
from circuitmap.evidence.tries import Try
from circuitmap.wiring.parts import Terminal
from tests.benchmarks.diagnosis.asking import Car
from tests.benchmarks.diagnosis.simulator import Wrong

MOST_MINUTES = 600.0
PROVING = 15.0
FOLLOWING_A_WIRE = 20.0
READING_THE_TOTAL = 3.0
SEEN_BY_LOOKING = {"lamp": 0.75, "added": 0.3, "contact": 0.2, "output": 0.15, "coil": 0.15, "chafed": 0.15}
"""How often a look finds a fault of this kind; others one time in twenty."""


@dataclass(frozen=True)
class Course:
    """How it went with the tool's advice: the minutes, whether the wrong part was ever said to be what there is to mend,
    and how many steps were offered again after they had been done, without the reason that a named repeat has."""

    minutes: float
    was_wrong: bool = False
    again: int = 0


def minutes_with_advice(car: Car, wrong: Wrong, all_read: bool = False, most_steps: int = 25) -> Course:
    """From the total alone, or from when all fuses have been read (the reading is not counted), until the tool says "mend
    this" and is right."""
    random = car.random
    spent, again = 0.0, 0
    done: set[tuple[str, tuple[str, ...]]] = set()
    if all_read:
        car.read_fuses(1.0)
        done |= {("read-fuse", (fuse.name,)) for fuse in car.truth.vehicle.fuses}
    else:
        car.note(car.read("BAT"))
        spent = READING_THE_TOTAL
    for _ in range(most_steps):
        diagnosis = diagnose(car.circuit, car.evidence)
        if diagnosis.tests.mend:
            spent += PROVING
            # With the chart alone nobody can name a switch: whoever has the module sees which of its inputs is wrong.
            named = _is_found(diagnosis.tests.mend, wrong) and car.spoilt == "chart alone"
            if diagnosis.tests.mend == wrong.part or named:
                return Course(min(spent, MOST_MINUTES), again=again)
            return Course(MOST_MINUTES, was_wrong=True, again=again)
        # A try against what was read is made once more, and said to be.
        odd = {frozenset(one.attempt.out) for one in diagnosis.tried if one.why_not == ODD}
        steps = [(t.action, (t.action.doing, t.action.parts) in done) for t in diagnosis.tests.choices]
        choices = [action for action, was_done in steps if not was_done or frozenset(action.parts) in odd]
        again += any(
            was_done and action.doing != "read-again" and frozenset(action.parts) not in odd
            for action, was_done in steps[:1]
        )
        if not choices:
            break
        action = choices[0]
        done.add((action.doing, action.parts))
        spent += action.hands_and_reach + action.wait
        if random.random() < WORK[action.doing].wakes:
            spent += random.uniform(*car.truth.vehicle.sleep)
        if do(car, action, wrong):
            return Course(min(spent, MOST_MINUTES), again=again)
        if spent > MOST_MINUTES:
            break
    # Nothing more is advised: the likeliest parts are tried one after the other, as by the habit and for the same minutes.
    # What is behind a fuse, whether somebody added it or a wire is chafed, is found by following the same wire.
    followed = {part for doing, parts in done if doing == "follow" for part in parts}
    for part in diagnose(car.circuit, car.evidence).parts:
        fault = part.faults[0]
        if fault.kind in ("added", "chafed", "none-of-these"):
            spent += FOLLOWING_A_WIRE if fault.about not in followed else 0.0
            followed.add(fault.about)
        else:
            # With all its feeds out it was out, too: nobody waits for that once more before it is proven.
            feeds = next((set(m.feeds) for m in car.truth.vehicle.modules if m.name == part.part), {part.part})
            was_out = any(doing in TAKES_OUT and set(parts) in ({part.part}, feeds) for doing, parts in done)
            spent += 0.0 if was_out else _unplug_cost(car, random, part.part)
            spent += PROVING if was_out or part.part == wrong.part else 0.0
        if spent > MOST_MINUTES:
            break
        if part.part == wrong.part or (wrong.kind in ("added", "chafed") and wrong.fuse in followed):
            return Course(min(spent, MOST_MINUTES), again=again)
    return Course(MOST_MINUTES, again=again)


def do(car: Car, action: Action, wrong: Wrong) -> bool:
    """Do what was advised and note what is seen; true when it finds the part itself."""
    random, truth = car.random, car.truth
    match action.doing:
        case "look":
            if random.random() < SEEN_BY_LOOKING.get(wrong.kind, 0.05):
                return True
            car.evidence = replace(car.evidence, looked=True)
        case "look-at":
            lamp = action.parts[0]
            burns = truth.flowing()["BAT"] - truth.flowing(frozenset({lamp}))["BAT"] > 0.03
            sign: Sign = "burning" if burns and random.random() < LAMP_SEEN else "dark"
            at_lamp = FoundThere(place=lamp, sign=sign, written=f"{lamp} {sign}")
            car.evidence = car.evidence.and_also(Evidence(found=(at_lamp,)))
        case "follow":
            if wrong.kind in ("added", "chafed") and wrong.fuse == action.parts[0]:
                return True
            place = action.parts[0]
            sound = FoundThere(place=place, sign="sound", written=f"{place} sound")
            car.evidence = car.evidence.and_also(Evidence(found=(sound,)))
        case "at-the-post":
            if wrong.kind == "added" and not wrong.fuse:
                return True
            for cable in ("ALT", "STARTER"):
                car.note(car.read(cable))
            place = action.parts[0]
            sound = FoundThere(place=place, sign="sound", written=f"{place} sound")
            car.evidence = car.evidence.and_also(Evidence(found=(sound,)))
        case "read-fuse" | "read-again" | "clamp":
            for place in action.parts[0].split(" and "):  # what feeds one thing side by side is read one by one
                car.note(car.read(place))
        case "read-box":
            for place in action.parts:
                car.note(car.read(place))
        case "network-line":
            up = int(action.parts[0].removeprefix("N")) in truth.awake_networks()
            state: LineState = "awake" if up != (random.random() < 0.03) else "asleep"
            line = NetworkLine(network=action.parts[0], state=state, written=f"{action.parts[0]} {state}")
            car.evidence = car.evidence.and_also(Evidence(lines=(line,)))
        case "inputs":
            seen = []
            for module in truth.vehicle.modules:
                parts = module.inputs or ((module.name,) if module.networks else ())
                if car.spoilt == "chart alone":
                    parts = parts and (module.name,)
                for part in parts:
                    is_it = wrong.part == part or (car.spoilt == "chart alone" and wrong.module == part)
                    bad = wrong.kind == "wrong-input" and is_it and random.random() < 0.9
                    bad = bad or random.random() < INPUT_SLIP / 20.0
                    seen.append(InputSeen(part=part, right=not bad, written=f"{part} {'wrong' if bad else 'right'}"))
            car.evidence = car.evidence.and_also(Evidence(inputs=tuple(seen)))
        case "input-volts":
            owner, _, pin = action.parts[0].rpartition(".")
            says = pin_says(prepared_for(car.circuit, {}, Evidence()).parked, Terminal(owner, pin))
            assert says is not None
            hears = (wrong.kind == "wrong-input" and wrong.part in says.switches) != (random.random() < 0.05)
            volts_there = {True: 0.0, False: 12.4}[hears == (says.in_use == "ground")]
            at = PinVolts(pin=says.pin, volts=volts_there, written=f"{action.parts[0]} {volts_there}V")
            car.evidence = car.evidence.and_also(Evidence(volts=(at,)))
        case "relay-volts":
            relay_state: RelayState = truth.relay_is(action.parts[0])  # type: ignore[assignment]
            if random.random() < 0.05:
                relay_state = "open"
            volts = RelayVolts(relay=action.parts[0], state=relay_state, written=f"{action.parts[0]} {relay_state}")
            car.evidence = car.evidence.and_also(Evidence(relays=(volts,)))
        case _:
            assert action.doing in TAKES_OUT
            after = car.read("BAT", frozenset(action.parts))
            before = next(r for r in reversed(car.evidence.readings) if r.place == "BAT")
            attempt = Try(out=action.parts, before=before, after=after, waited=action.wait, written=after.written)
            car.evidence = car.evidence.and_also(Evidence(tries=(attempt,)))
    return False


def _falls(car: Car, out: frozenset[str]) -> bool:
    was, now = car.truth.flowing()["BAT"], car.truth.flowing(out)["BAT"]
    return was - now >= max(0.2 * was, 0.03)


def _pull_cost(car: Car, random: Random, first_in_box: bool) -> float:
    hands, wakes, *_ = WORK["pull-fuses"]
    settle = car.truth.vehicle.sleep[0]
    woken = random.uniform(*car.truth.vehicle.sleep) if random.random() < wakes else 0.0
    return hands + settle + woken + (2.0 if first_in_box else 0.0)


def _reach(car: Car, part: str) -> float:
    return next((m.reach for m in car.truth.vehicle.modules if m.name == part), 10.0)


def _unplug_cost(car: Car, random: Random, part: str) -> float:
    """Without a module others may have to fall asleep first; what goes with anything else goes at once, for everybody."""
    hands, wakes, *_ = WORK["unplug"]
    settle = car.truth.vehicle.sleep[0] if any(m.name == part for m in car.truth.vehicle.modules) else 0.0
    return (
        hands
        + _reach(car, part)
        + settle
        + (random.uniform(*car.truth.vehicle.sleep) if random.random() < wakes else 0.0)
    )


def _parts_on(car: Car, fuse: str) -> list[str]:
    """What hangs on a fuse, as the fuse chart tells it."""
    vehicle = car.truth.vehicle
    found = [m.name for m in vehicle.modules if fuse in m.feeds]
    found += [lamp.switch for lamp in vehicle.lamps if lamp.fuse == fuse]
    found += [relay.name for relay in vehicle.relays if fuse in (relay.feed, relay.coil)]
    return found


def _is_found(part: str, wrong: Wrong) -> bool:
    """Whoever has the relay in hand looks at its control wire, whoever has the module at its inputs."""
    return part in (wrong.part, wrong.module, wrong.fuse)


def minutes_pulling_in_order(car: Car, wrong: Wrong) -> float:
    """One fuse after the other out until the total falls; then what hangs on it, one part after the other."""
    random = car.random
    spent, box = READING_THE_TOTAL, -1
    for fuse in car.truth.vehicle.fuses:
        spent += _pull_cost(car, random, fuse.box != box)
        box = fuse.box
        if _falls(car, frozenset({fuse.name})):
            spent += _among(car, wrong, [fuse.name], random)
            return min(spent, MOST_MINUTES)
        if spent > MOST_MINUTES:
            return MOST_MINUTES
    return min(spent + _among(car, wrong, [], random), MOST_MINUTES)


def minutes_unplugging_by_reach(car: Car, wrong: Wrong) -> float:
    """All fuses have been read (not counted), with the same meter as by those who ask for advice; then what hangs on those
    that showed a current is unplugged, what is easiest to reach first, whatever it hangs on."""
    car.read_fuses(1.0)
    shows = {reading.place for reading in car.evidence.readings if reading.shows_current}
    drawing = [fuse.name for fuse in car.truth.vehicle.fuses if fuse.name in shows]
    return min(_among(car, wrong, drawing, car.random), MOST_MINUTES)


def _among(car: Car, wrong: Wrong, fuses: list[str], random: Random) -> float:
    """Unplug what hangs on these fuses, then everything else, until the part is in hand."""
    vehicle = car.truth.vehicle
    order = sorted((part for fuse in fuses for part in _parts_on(car, fuse)), key=lambda part: _reach(car, part))
    hanging = len(set(order))
    order += [m.name for m in vehicle.modules] + ["ALT", "STARTER"] + [r.name for r in vehicle.relays]
    order += [lamp.switch for lamp in vehicle.lamps]
    spent = 0.0
    is_wiring = wrong.kind in ("added", "chafed")
    for place, part in enumerate(dict.fromkeys(order)):
        if is_wiring and place == hanging:
            # None of the parts it was: the wires behind each of these fuses are followed.
            for fuse in fuses:
                spent += FOLLOWING_A_WIRE
                if fuse == wrong.fuse:
                    return spent
        spent += _unplug_cost(car, random, part)
        if _is_found(part, wrong):
            return spent + PROVING
        if spent > MOST_MINUTES:
            break
    return MOST_MINUTES
