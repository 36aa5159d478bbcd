"""Random vehicles as notation, for comparing evaluators: every kind of part, joined more or less sensibly."""

from dataclasses import dataclass, field
from random import Random

from circuitmap.circuit.links import Circuit, circuit_of
from circuitmap.notation.reading import read_text
from circuitmap.power.state import VehicleState
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.parts import Fuse, Relay, Switch, Terminal
from circuitmap.wiring.platform import Platform

CAN_BE_UNPLUGGED = (
    "module", "lamp", "motor", "sensor", "alternator", "charger", "connector", "ground", "battery", "splice",
)  # fmt: skip
"""Also what holds a switch inside it, and what joins two of its pins."""


def platform_from(text: str) -> Platform:
    """The platform that a text describes."""
    source = SourceFile("random.circuit", text)
    notation, problems = read_text(source)
    assert not problems, problems
    return platform_of([notation], [source])


@dataclass
class Drawing:
    """A vehicle while it is being made up: its text, and the points from which wires may come."""

    random: Random
    lines: list[str] = field(default_factory=list)
    feeds: list[str] = field(default_factory=list)
    grounds: list[str] = field(default_factory=list)

    def say(self, line: str) -> None:
        if self.random.random() < 0.1 and line.split()[0] not in ("platform", "option", "naming", "network", "battery"):
            line += self.random.choice((" if TOW", " if not TOW", " if COLD"))
        self.lines.append(line)

    def feed(self, pin: str, often: float = 0.93) -> None:
        """A wire to a pin that wants supply, from somewhere."""
        if self.random.random() < often:
            start = self.random.choice(self.feeds)
            middle = self.random.choice(("", "", f" -> X1.{self.random.randint(1, 9)}", f" -> SP{self._splice()}"))
            self.say(f"{start}{middle} -> {pin}")
            if middle.startswith(" -> SP"):
                self.feeds.append(middle[4:])

    def ground(self, pin: str, often: float = 0.93) -> None:
        """A wire from a pin that wants ground."""
        if self.random.random() < often:
            self.say(f"{pin} -> {self.random.choice(self.grounds)}")

    def _splice(self) -> int:
        return self.random.randint(1, 6)


def random_text(seed: int) -> str:
    """A vehicle of 10 to 40 parts."""
    random = Random(seed)
    drawing = Drawing(random)
    say, feeds, grounds = drawing.say, drawing.feeds, drawing.grounds
    size = random.choice((1, 1, 2, 2, 3))
    body = random.random() < 0.8
    say(f'platform "Made up {seed}" supply 12V return {"body" if body else "wired"} sleep 20min..40min')
    say("option TOW")
    say("option COLD")
    say("naming SP* splice, X* connector, G* ground")
    grounds += ["G1", "G1", "G2", "case"]
    say("battery BAT 70Ah")
    say("BAT.- -> G1")
    if not body:
        say("G2 -> G1")
    feeds += ["BAT.+"]
    if random.random() < 0.4:
        kind = random.random()
        if kind < 0.3:
            say("battery AUX 95Ah series")
            feeds += ["AUX.mid"]
        else:
            say("battery AUX 95Ah" + (" if COLD" if kind < 0.6 else ""))
        say("AUX.- -> G2")
        feeds += ["AUX.+"]
    for n in range(1, 3 + 2 * size):
        say(f"fuse F{n} {random.choice((5, 10, 15, 20))}A")
    for n in range(1, 3 + 2 * size):
        drawing.feed(f"F{n}")
        feeds.append(f"F{n}")
    say("key IGN positions off, acc, run closes 30 to 15 in run closes 30 to 75 in acc, run")
    drawing.feed("IGN.30")
    feeds += ["IGN.15", "IGN.75"]
    for n in range(1, 2 + size):
        rest = random.choice(("in on", "in on", "in off"))
        other = random.choice(("2", "2", "case")) if body else "2"
        second = " closes 1 to 3 in off" if random.random() < 0.3 and rest == "in on" else ""
        say(f"switch S{n} positions off, on closes 1 to {other} {rest}{second}")
        if other == "2" and random.random() < 0.6:
            drawing.feed(f"S{n}.1")
            feeds += [f"S{n}.2"]
        else:
            grounds += [f"S{n}.1"]
            if other == "2":
                drawing.ground(f"S{n}.2")
    for n in range(1, 2 + size):
        holds = random.choice(("", "", "", " holds 5min..15min"))
        say(f"relay K{n} {random.choice(('make', 'make', 'break', 'changeover'))}{holds}")
        feeds += [f"K{n}.87", f"K{n}.87a"] if "changeover" in drawing.lines[-1] else []
        if "make" in drawing.lines[-1].split()[2]:
            feeds.append(f"K{n}.87")
        elif "break" in drawing.lines[-1].split()[2]:
            feeds.append(f"K{n}.87a")
    for n in range(1, 1 + size):
        wake = " wake 4" + random.choice(("", "", "", " by plus", " by ground", " by opening"))
        say(f"module M{n} supply 1, 2 ground 3" + random.choice(("", wake, wake, " run-on 5min")))
        feeds.append(f"M{n}.7")
        grounds.append(f"M{n}.8")
        when = random.choice(("while awake", "in run", "", "always", "in acc, run", "while 6"))
        say(f"output M{n}.7 feeds {random.choice(('', 'from 1 '))}{when}".rstrip())
        say(f"output M{n}.8 grounds {random.choice(('while awake', 'in run', '', 'always', 'while 6'))}".rstrip())
    if random.random() < 0.3:
        say("diode D1")
        drawing.feed("D1")
        feeds.append("D1")
    if random.random() < 0.3:
        say('? "from another sheet" -> SP1')
    if random.random() < 0.2:
        say("SP2 -> ?")
    if random.random() < 0.2:
        say("stated F1 " + random.choice(("always", "in run")))
    _seldom_drawn(drawing)
    for n in range(1, 2 + size):
        fed, grounded = _coil_ends(drawing, n)
        drawing.feed(f"K{n}.{fed}")
        drawing.ground(f"K{n}.{grounded}")
        drawing.feed(f"K{n}.30")
    for n in range(1, 1 + size):
        drawing.feed(f"M{n}.1")
        drawing.feed(f"M{n}.2", 0.5)
        drawing.ground(f"M{n}.3")
        if any(line.startswith(f"module M{n} ") and "wake 4" in line for line in drawing.lines):
            _wire_to(drawing, f"M{n}.4")
        if any(line.startswith(f"output M{n}.") and "while 6" in line for line in drawing.lines):
            drawing.feed(f"M{n}.6")
    for n in range(1, 4 + 2 * size):
        say(f"{random.choice(('lamp', 'motor', 'heater', 'load'))} L{n}")
        drawing.feed(f"L{n}.1")
        drawing.ground(f"L{n}.2")
    if random.random() < 0.1:  # a buzzer: it takes its own coil's supply away
        say("relay KB break")
        drawing.feed("KB.30")
        say("KB.87a -> KB.86")
        drawing.ground("KB.85")
    if random.random() < 0.1:  # an interlock: each keeps the other out
        start = random.choice(feeds)
        for mine, other in (("KI1", "KI2"), ("KI2", "KI1")):
            say(f"relay {mine} changeover")
            say(f"{start} -> {mine}.30")
            say(f"{mine}.87a -> {other}.86")
            say(f"{mine}.85 -> G1")
            feeds.append(f"{mine}.87")
    if random.random() < 0.1:  # a relay that holds itself
        say("relay KH make")
        drawing.feed("KH.30")
        say("KH.87 -> KH.86")
        drawing.ground("KH.85")
        feeds.append("KH.87")
    _networks(drawing, size)
    if random.random() < 0.3:
        say(f"{random.choice(feeds)} -> {random.choice(feeds)}")
    if random.random() < 0.3:  # a fan that a third wire switches on, by plus or by ground
        say("load LC supply 1 ground 2 control 3")
        drawing.feed("LC.1")
        drawing.ground("LC.2")
        if random.random() < 0.6:
            drawing.feed("LC.3")
        elif random.random() < 0.6:
            drawing.ground("LC.3")
    return "\n".join(line for line in dict.fromkeys(drawing.lines) if not _turns_back(line)) + "\n"


def _turns_back(line: str) -> bool:
    """A wire that comes to the same point twice."""
    ends = line.partition(" if ")[0].split(" -> ")
    return len(set(ends)) < len(ends)


def _coil_ends(drawing: "Drawing", number: int) -> tuple[str, str]:
    """The end that is fed and the one that is grounded: either way round, as on real sheets."""
    return ("86", "85") if (len(drawing.lines) + number) % 3 else ("85", "86")


def _wire_to(drawing: Drawing, pin: str) -> None:
    """Wires to a pin that plus or ground may wake: now and then also one from a sheet that nobody typed."""
    if drawing.random.random() < 0.1:
        drawing.say(drawing.random.choice((f"? -> {pin}", f"{pin} -> ?")))
    if drawing.random.random() < 0.5:
        drawing.feed(pin)
    elif drawing.random.random() < 0.5:
        drawing.ground(pin)
    else:
        drawing.say(f"{drawing.random.choice(drawing.grounds)} -> {pin}")


def _seldom_drawn(drawing: Drawing) -> None:
    """What a diagram shows now and then, each in a fourth of the vehicles."""
    for draw in (_latching, _flasher, _bridge, _lamp_with_a_switch, _stalk, _wiper, _sensor_in_the_minus, _feeding):
        if drawing.random.random() < 0.25:
            draw(drawing)


def _latching(drawing: Drawing) -> None:
    rest = drawing.random.choice(("", " rest 88"))
    if drawing.random.random() < 0.3:  # one coil: which way it is fed sets or resets it
        drawing.say(f"relay KL latching coil 1 to 2 contact 30 to 87{rest}")
        drawing.say("output M1.11, M1.12 feeds")
        drawing.say("output M1.11, M1.12 grounds")
        drawing.say("M1.11 -> KL.1")
        drawing.say("M1.12 -> KL.2")
        drawing.feed("KL.30")
        drawing.feeds += ["KL.87", *(["KL.88"] if rest else [])]
        return
    drawing.say(f"relay KL latching coil 1 to 2 reset 3 to {drawing.random.choice('24')} contact 30 to 87{rest}")
    drawing.feed("KL.1")
    drawing.feed("KL.3")
    drawing.ground("KL.2")
    if "reset 3 to 4" in drawing.lines[-4] or drawing.random.random() < 0.2:
        drawing.ground("KL.4")
    drawing.feed("KL.30")
    drawing.feeds += ["KL.87", *(["KL.88"] if rest else [])]


def _flasher(drawing: Drawing) -> None:
    drawing.say("relay KF flasher")
    drawing.feed("KF.49")
    drawing.ground("KF.31", 0.7)
    drawing.feeds.append("KF.49a")


def _bridge(drawing: Drawing) -> None:
    """Two pins of a module that drive a motor both ways; now and then only one of them does."""
    ways = drawing.random.choice((("", ""), ("", ""), (" in run", ""), ("", " while awake")))
    for pin, way in zip(("9", "10"), ways, strict=True):
        drawing.say(f"output M1.{pin} feeds{drawing.random.choice(('', ' from 1'))}{way}")
        drawing.say(f"output M1.{pin} grounds")
    drawing.say("motor MB")
    drawing.say("M1.9 -> MB.1")
    drawing.say("M1.10 -> MB.2")
    if drawing.random.random() < 0.3:
        drawing.feeds.append("M1.9")
    if drawing.random.random() < 0.3:
        drawing.grounds.append("M1.10")


def _lamp_with_a_switch(drawing: Drawing) -> None:
    drawing.say("lamp LI supply 3 ground 2")
    drawing.say("switch LIS inside LI positions off, on closes 1 to 3 in on")
    drawing.feed("LI.1")
    drawing.ground("LI.2")


def _stalk(drawing: Drawing) -> None:
    drawing.say("switch ST")
    drawing.say("switch ST.A inside ST positions off, left, right closes 49 to L in left closes 49 to R in right")
    drawing.say("switch ST.B inside ST positions off, pulled closes 49 to W in pulled closes 31 to H in pulled")
    drawing.feed("ST.49")
    drawing.ground("ST.31")
    drawing.feeds += ["ST.L", "ST.R", "ST.W"]
    drawing.grounds.append("ST.H")


def _wiper(drawing: Drawing) -> None:
    """A motor with its park contact: which brakes it to ground while it is parked."""
    drawing.say("motor MW supply 53 ground 31")
    drawing.say("switch MWP inside MW positions parked, wiping closes 53a to 31b in wiping closes 31 to 31b in parked")
    drawing.feed("MW.53a")
    drawing.ground("MW.31")
    drawing.say("relay KW changeover")
    drawing.feed("KW.86")
    drawing.ground("KW.85")
    drawing.feed("KW.87")
    drawing.say("MW.31b -> KW.87a")
    drawing.say("KW.30 -> MW.53")


def _sensor_in_the_minus(drawing: Drawing) -> None:
    drawing.say("sensor SJ supply 3 joins 1 to 2")
    drawing.feed("SJ.3")
    drawing.ground("SJ.2")
    drawing.grounds += ["SJ.1", "SJ.1"]
    drawing.say("load LJ supply 1 ground 2, 3 joins 2 to 3")
    drawing.feed("LJ.1")
    drawing.ground("LJ.2")
    drawing.grounds.append("LJ.3")


def _feeding(drawing: Drawing) -> None:
    for kind, name in drawing.random.choice(
        ((("alternator", "ALT"),), (("charger", "CH"),), (("alternator", "ALT"), ("charger", "CH")))
    ):
        drawing.say(f"{kind} {name} supply B+ ground 31")
        drawing.say(f"{name}.B+ -> {drawing.random.choice(drawing.feeds)}")
        drawing.ground(f"{name}.31")


def _networks(drawing: Drawing, size: int) -> None:
    random, say = drawing.random, drawing.say
    modules = [f"M{n}" for n in range(1, 1 + size)]
    waking = ("", "", "", " listens", " drives")
    for network, kind in (("BODY", "can"), ("DRIVE", "can"), ("WAKE", "wake")):
        members = [name + random.choice(waking) for name in modules if random.random() < 0.6]
        if members:
            say(f"network {network} {kind} members " + ", ".join(members))
    named = {line.split()[1] for line in drawing.lines if line.startswith("network")}
    if {"BODY", "DRIVE"} <= named and random.random() < 0.7:
        passes = random.choice(("", " passes BODY to DRIVE", " passes DRIVE to BODY", " passes nothing"))
        say(f"gateway {random.choice(modules)} joins BODY, DRIVE{passes}")


def random_circuit(seed: int) -> Circuit:
    return circuit_of(platform_from(random_text(seed)))


def random_state(circuit: Circuit, seed: int) -> VehicleState:
    """A random state, often an ordinary one, sometimes one with faults."""
    random = Random(seed)
    platform = circuit.platform
    parts = list(platform.parts.values())
    switches = {
        part.name: random.choice(part.positions)
        for part in parts
        if isinstance(part, Switch) and part.positions and not part.is_key and random.random() < 0.5
    }

    def some(names: list[str], often: float) -> frozenset[str]:
        return frozenset(name for name in names if random.random() < often)

    terminals = [t for t in circuit.nodes if t.pin != "?ground"]
    bridged: frozenset[tuple[Terminal, Terminal]] = frozenset()
    if random.random() < 0.25:
        bridged = frozenset({(random.choice(terminals), random.choice(terminals))})
    return VehicleState(
        key=random.choice(("", "", "acc", "run")),
        switches=switches,
        awake=some([*platform.networks, *(p.name for p in parts if p.kind == "module")], 0.25),
        stuck=some(list(circuit.contacts), 0.05),
        driven=some([p.name for p in parts if isinstance(p, Relay)], 0.05),
        unplugged=some([p.name for p in parts if p.kind in CAN_BE_UNPLUGGED and p.name != "case"], 0.06),
        pulled=some([p.name for p in parts if isinstance(p, Fuse | Relay) or p.kind == "latching relay"], 0.06),
        feeding=some([p.name for p in parts if p.kind in ("alternator", "charger")], 0.5),
        bridged=bridged,
        fitting={name: random.random() < 0.5 for name in platform.options if random.random() < 0.5},
        minutes=random.choice((0.0, 10.0, 30.0, float("inf"), float("inf"), float("inf"))),
        released=some([p.name for p in parts if isinstance(p, Relay)], 0.05),
    )
