"""Minutes until the part is found: following the tool's advice, or one of two habits of the trade.

Everybody pays the same for the same work, and the same bad luck: a part that is unplugged may wake the car. Who takes
the wrong part for the right one loses the time of proving it.
"""

from dataclasses import replace
from random import Random

from circuitmap.diagnosis.diagnose import diagnose
from circuitmap.diagnosis.faults.looking import INPUT_SLIP
from circuitmap.diagnosis.next_test.doing import TAKES_OUT, WORK
from circuitmap.diagnosis.next_test.handling import EACH_MORE_FUSE, Action
from circuitmap.evidence.checks_at_parts import InputSeen, RelayState, RelayVolts
from circuitmap.evidence.evidence import Evidence
from circuitmap.evidence.network_lines import LineState, NetworkLine
from circuitmap.evidence.tries import Try
from tests.benchmarks.diagnosis.asking import Car
from tests.benchmarks.diagnosis.simulator import Wrong

MOST_MINUTES = 600.0
PROVING = 15.0
SEEN_BY_LOOKING = {"lamp": 0.75, "added": 0.3, "contact": 0.2, "output": 0.15, "coil": 0.15, "chafed": 0.15}
"""How often a look finds a fault of this kind; others one time in twenty."""


def minutes_with_advice(car: Car, wrong: Wrong, most_steps: int = 25) -> tuple[float, bool]:
    """Minutes until the tool says "mend this" and is right, and whether it ever was wrong in that."""
    random = car.random
    car.note(car.read("BAT"))
    spent, was_wrong = 3.0, False
    done: set[tuple[str, tuple[str, ...]]] = set()
    for _ in range(most_steps):
        diagnosis = diagnose(car.circuit, car.evidence)
        if diagnosis.tests.mend:
            spent += PROVING
            if diagnosis.tests.mend == wrong.part:
                return min(spent, MOST_MINUTES), was_wrong
            was_wrong = True
            return MOST_MINUTES, was_wrong
        choices = [t.action for t in diagnosis.tests.choices if (t.action.doing, t.action.parts) not in done]
        if not choices:
            break
        action = choices[0]
        done.add((action.doing, action.parts))
        spent += action.hands_and_reach + action.wait
        if random.random() < WORK[action.doing].wakes:
            spent += random.uniform(*car.truth.vehicle.sleep)
        if do(car, action, wrong):
            return min(spent, MOST_MINUTES), was_wrong
        if spent > MOST_MINUTES:
            break
    # Nothing more is advised: the likeliest parts are tried one after the other.
    diagnosis = diagnose(car.circuit, car.evidence)
    for part in diagnosis.parts:
        spent += PROVING
        if part.part == wrong.part:
            return min(spent, MOST_MINUTES), was_wrong
    return MOST_MINUTES, was_wrong


def do(car: Car, action: Action, wrong: Wrong) -> bool:
    """Do what was advised and note what is seen; true when it finds the part itself."""
    random, truth = car.random, car.truth
    match action.doing:
        case "look":
            if random.random() < SEEN_BY_LOOKING.get(wrong.kind, 0.05):
                return True
            car.evidence = replace(car.evidence, looked=True)
        case "read-fuse" | "read-again" | "clamp":
            place = action.parts[0]
            if place.startswith("B") and "." not in place and place != "BAT":
                place = f"MAIN{place.removeprefix('B')}"
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
                for part in parts:
                    bad = wrong.kind == "wrong-input" and wrong.part == part and random.random() < 0.9
                    bad = bad or random.random() < INPUT_SLIP / 20.0
                    seen.append(InputSeen(part=part, right=not bad, written=f"{part} {'wrong' if bad else 'right'}"))
            car.evidence = car.evidence.and_also(Evidence(inputs=tuple(seen)))
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


def _unplug_cost(car: Car, random: Random, part: str) -> float:
    reach = next((m.reach for m in car.truth.vehicle.modules if m.name == part), 10.0)
    hands, wakes, *_ = WORK["unplug"]
    settle = car.truth.vehicle.sleep[0]
    return hands + reach + settle + (random.uniform(*car.truth.vehicle.sleep) if random.random() < wakes else 0.0)


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
    spent, box = 3.0, -1
    for fuse in car.truth.vehicle.fuses:
        spent += _pull_cost(car, random, fuse.box != box)
        box = fuse.box
        if _falls(car, frozenset({fuse.name})):
            spent += _among(car, wrong, [fuse.name], random)
            return min(spent, MOST_MINUTES)
        if spent > MOST_MINUTES:
            return MOST_MINUTES
    return min(spent + _among(car, wrong, [], random), MOST_MINUTES)


def minutes_reading_all(car: Car, wrong: Wrong) -> float:
    """All fuses read in millivolts; then what hangs on those that draw, the largest current first."""
    random = car.random
    spent = 3.0 + 2.0 * car.truth.vehicle.boxes + (1.0 + EACH_MORE_FUSE / 2) * len(car.truth.vehicle.fuses)
    flowing = car.truth.flowing()
    drawing = sorted((f.name for f in car.truth.vehicle.fuses if flowing[f.name] > 0.03), key=lambda f: -flowing[f])
    return min(spent + _among(car, wrong, drawing, random), MOST_MINUTES)


def _among(car: Car, wrong: Wrong, fuses: list[str], random: Random) -> float:
    """Unplug what hangs on these fuses, then everything else, until the part is in hand."""
    vehicle = car.truth.vehicle
    order = [part for fuse in fuses for part in _parts_on(car, fuse)]
    order += [m.name for m in vehicle.modules] + ["ALT", "STARTER"] + [r.name for r in vehicle.relays]
    order += [lamp.switch for lamp in vehicle.lamps]
    spent = 0.0
    if wrong.fuse in fuses and wrong.kind in ("added", "chafed"):
        return sum(_unplug_cost(car, random, part) for part in _parts_on(car, wrong.fuse)) + 20.0
    for part in dict.fromkeys(order):
        spent += _unplug_cost(car, random, part)
        if _is_found(part, wrong):
            return spent + PROVING
        if spent > MOST_MINUTES:
            break
    return MOST_MINUTES
