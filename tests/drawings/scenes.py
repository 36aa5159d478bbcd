"""Hand-written scenes: invented vehicles, drawn by every check of the drawings."""

from circuitmap.drawings.scene.scene import (
    DrawnCoil,
    DrawnContact,
    DrawnEnd,
    DrawnFeed,
    DrawnNetwork,
    DrawnPart,
    DrawnSheet,
    DrawnWire,
    Kind,
    Mark,
    Nature,
    Rail,
    Scene,
    Tap,
)


class Sketch:
    """A scene in the making. Ends are written `PART:pin`; looks `OG/BK 0.75`, `copper`, `chart` or nothing."""

    def __init__(self, title: str, subtitle: str = "") -> None:
        self.title, self.subtitle = title, subtitle
        self.parts: list[DrawnPart] = []
        self.wires: list[DrawnWire] = []
        self.rails: list[Rail] = []
        self.networks: list[DrawnNetwork] = []
        self.sheets: list[DrawnSheet] = []
        self.notes: list[str] = []
        self.sheet = ""

    def part(self, kind: Kind, key: str, *pins: str, **more: object) -> "Sketch":
        more.setdefault("name", key)
        self.parts.append(DrawnPart(key=key, kind=kind, pins=pins, **more))  # type: ignore[arg-type]
        return self

    def fuse(self, key: str, rating: str, mark: Mark = Mark.NONE, **more: object) -> "Sketch":
        return self.part(Kind.FUSE, key, "1", "2", rating=rating, mark=mark, **more)

    def relay(self, key: str, description: str = "", changeover: bool = False, **more: object) -> "Sketch":
        contacts = (DrawnContact("30", "87"), *((DrawnContact("30", "87a", True),) if changeover else ()))
        pins = ("30", "85", "86", "87", *(("87a",) if changeover else ()))
        return self.part(
            Kind.RELAY, key, *pins, description=description, contacts=contacts, coils=(DrawnCoil("86", "85"),), **more
        )

    def ground(self, start: str, name: str, look: str = "", **more: object) -> "Sketch":
        """A use of a ground point of its own, at the end of a wire."""
        key = f"{name}#{len(self.parts)}"
        self.parts.append(DrawnPart(key, Kind.GROUND, name))
        return self.wire(start, key, look, **more)

    def wire(self, start: str, finish: str, look: str = "", **more: object) -> "Sketch":
        nature = {"copper": Nature.COPPER, "chart": Nature.CHART}.get(look, Nature.WIRE)
        colour, _, size = look.partition(" ") if nature is Nature.WIRE else ("", "", "")
        base, _, tracer = colour.partition("/")
        sheets = (self.sheet,) if self.sheet and nature is Nature.WIRE else ()
        ends = [DrawnEnd(*text.split(":")) for text in (start, finish)]
        key = f"w{len(self.wires)}"
        self.wires.append(DrawnWire(key, *ends, base, tracer, size, sheets=sheets, nature=nature, **more))  # type: ignore[arg-type]
        return self

    def on(self, name: str, title: str = "") -> "Sketch":
        """Whatever follows stands on this sheet."""
        self.sheet = name
        self.sheets.append(DrawnSheet(name, title))
        return self

    def scene(self) -> Scene:
        return Scene(
            self.title,
            tuple(self.parts),
            tuple(self.wires),
            self.subtitle,
            tuple(self.rails),
            tuple(self.networks),
            tuple(self.sheets),
            tuple(self.notes),
        )


def van() -> Scene:
    """Three drawing fuses of a delivery van that share a network."""
    s = Sketch("F14, F22 and F33 draw: what they hang on", "Marlow Linnet 2.2 van, parked and asleep")
    s.rails += [Rail("30", "30", "constant"), Rail("15", "15", "run, start", DrawnFeed.SWITCHED)]
    s.fuse("ENG.F1", "150 A").part(Kind.BAR, "CAB.B1")
    s.fuse("CAB.F22", "20 A", Mark.DRAWING).fuse("CAB.F14", "10 A", Mark.DRAWING)
    s.fuse("CAB.F33", "15 A", Mark.DRAWING).fuse("CAB.F31", "10 A", Mark.QUIET)
    s.relay("CAB.K4", "Run relay")
    s.part(Kind.CAVITY, "X14.14").part(Kind.SPLICE, "SP5")
    s.part(Kind.OPEN_END, "o1", name="", description="sheet 41-01")
    s.part(Kind.MODULE, "DOORLOCK", "7", "3", "4", description="Door locking")
    s.part(Kind.MODULE, "HEATER", "A1", "A12", "7", description="Auxiliary heater")
    s.part(Kind.MODULE, "SUSP", "5", "6", "14", description="Air suspension")
    s.part(Kind.MODULE, "BCM", "A1", "B4", "A8", "C3", "D1", description="Body computer")
    s.part(
        Kind.MODULE,
        "LIFT",
        "1",
        "2",
        "9",
        "12",
        description="Tail-lift control",
        mark=Mark.SUSPECT,
        place="right frame rail",
    )
    hot = {"mark": Mark.DRAWING}
    s.on("21-04", "Power distribution")
    s.wire("30", "ENG.F1:1", "RD 25").wire("ENG.F1:2", "CAB.B1", "RD 25")
    s.wire("CAB.B1", "CAB.F22:1", "copper", **hot).wire("CAB.B1", "CAB.F14:1", "copper", **hot)
    s.wire("CAB.B1", "CAB.F33:1", "copper", **hot).wire("CAB.B1", "CAB.K4:30", "copper")
    s.wire("15", "CAB.K4:86", "BK/YE 0.5").wire("CAB.K4:85", "BCM:C3", "GN 0.5")
    s.wire("CAB.K4:87", "CAB.F31:1", "copper")
    s.on("40-02", "Cab heating")
    s.wire("CAB.F22:2", "X14.14", "OG/BK 0.75", **hot).wire("X14.14", "SP5", "OG/BK 0.75", **hot)
    s.wire("SP5", "DOORLOCK:7", "OG/BK 0.75", **hot).wire("SP5", "HEATER:A1", "OG/BK 0.75", **hot)
    s.wire("SP5", "o1", "RD/WH 0.5")
    s.ground("DOORLOCK:3", "G3", "BK 1").ground("HEATER:A12", "G7", "BK 1")
    s.on("52-01", "Chassis")
    s.wire("CAB.F14:2", "SUSP:5", "YE/GN 1", **hot).wire("CAB.F14:2", "BCM:A1", "YE/GN 1", **hot)
    s.wire("CAB.F33:2", "LIFT:1", "WH/BU 1", **hot)
    s.wire("CAB.F31:2", "BCM:B4", "VT/WH 0.5").wire("CAB.F31:2", "LIFT:2", "VT/WH 0.5")
    s.ground("SUSP:6", "G2", "BK 1").ground("BCM:A8", "G5", "BN 1").ground("LIFT:9", "G1", "BK 2.5")
    s.networks.append(
        DrawnNetwork(
            "CHASSIS",
            "CHASSIS",
            "network (CAN)",
            (Tap("DOORLOCK", "4"), Tap("HEATER", "7"), Tap("SUSP", "14"), Tap("BCM", "D1"), Tap("LIFT", "12")),
        )
    )
    s.notes += ["SP5 goes on to sheet 41-01, which is not typed in."]
    return s.scene()


def truck() -> Scene:
    """Five unrelated drawing fuses in three boxes of a 24 V truck, all on the chassis network."""
    s = Sketch(
        "What F6, F11, F19, F24 and F33 share: the chassis network", "Tarn Hauler 26-tonner, 24 V, parked and asleep"
    )
    s.rails += [Rail("30", "30", "constant, after the master switch")]
    s.networks.append(
        DrawnNetwork(
            "CHASSIS",
            "CHASSIS",
            "network (CAN), awake",
            tuple(Tap(name, "C1") for name in ("SUSP", "LAMPS", "LIFT", "EBS", "TACHO", "FRIDGE", "GATE")),
            Mark.SUSPECT,
        )
    )
    s.networks.append(DrawnNetwork("CABIN", "CABIN", "network (CAN)", (Tap("GATE", "C3"), Tap("CLIM", "C1"))))
    s.fuse("MAIN.F1", "200 A").fuse("MAIN.F2", "125 A").part(Kind.BAR, "CAB.B1").part(Kind.BAR, "FRM.B1")
    hot = {"mark": Mark.DRAWING}
    s.on("10-01", "Power supply")
    s.wire("30", "MAIN.F1:1", "RD 50", **hot).wire("30", "MAIN.F2:1", "RD 35", **hot)
    s.wire("MAIN.F1:2", "CAB.B1", "RD 50", **hot).wire("MAIN.F2:2", "FRM.B1", "RD 35", **hot)
    loads = (
        ("CAB.F6", "10 A", "CAB.B1", "TACHO", "Recorder", "RD/WH 0.75", "G4"),
        ("CAB.F11", "15 A", "CAB.B1", "GATE", "Gateway", "RD/GN 1", "G4"),
        ("CAB.F19", "20 A", "CAB.B1", "LAMPS", "Lamp control", "RD/BU 2.5", "G2"),
        ("FRM.F24", "15 A", "FRM.B1", "SUSP", "Air suspension", "RD/YE 1.5", "G11"),
        ("FRM.F33", "10 A", "FRM.B1", "EBS", "Brake control", "RD/BK 1.5", "G11"),
    )
    for fuse, rating, bar, name, words, look, ground in loads:
        s.fuse(fuse, rating, Mark.DRAWING)
        s.part(Kind.MODULE, name, "1", "31", "C1", "C3", description=words)
        s.wire(bar, f"{fuse}:1", "copper", **hot)
        s.sheet = f"3{len(s.sheets)}-01"
        s.sheets.append(DrawnSheet(s.sheet, words))
        if name in ("SUSP", "EBS"):
            plug = f"X60.{len(s.parts)}"
            s.part(Kind.CAVITY, plug).wire(f"{fuse}:2", plug, look, **hot).wire(plug, f"{name}:1", look, **hot)
        else:
            s.wire(f"{fuse}:2", f"{name}:1", look, **hot)
        s.ground(f"{name}:31", ground, "BN 1.5")
    s.fuse("FRM.F40", "30 A", Mark.UNREAD).fuse("FRM.F41", "10 A", Mark.QUIET).fuse("CAB.F8", "15 A", Mark.QUIET)
    s.part(
        Kind.MODULE,
        "LIFT",
        "1",
        "2",
        "31",
        "C1",
        description="Tail-lift control",
        place="right frame rail",
        mark=Mark.SUSPECT,
    )
    s.part(Kind.MODULE, "FRIDGE", "1", "31", "C1", description="Refrigeration unit", note="only if FRIDGE is fitted")
    s.part(Kind.MODULE, "CLIM", "1", "31", "C1", description="Cab climate")
    s.on("71-02", "Tail lift")
    s.wire("FRM.B1", "FRM.F40:1", "copper").wire("FRM.B1", "FRM.F41:1", "copper")
    s.wire("FRM.F40:2", "LIFT:1", "RD 4").wire("FRM.F41:2", "LIFT:2", "RD/VT 1").ground("LIFT:31", "G12", "BN 4")
    s.part(Kind.OPEN_END, "o1", name="", description="supply of FRIDGE not drawn")
    s.wire("o1", "FRIDGE:1", "").ground("FRIDGE:31", "G12", "BN 6")
    s.wire("CAB.B1", "CAB.F8:1", "copper").wire("CAB.F8:2", "CLIM:1", "RD/GY 1").ground("CLIM:31", "G4", "BN 1")
    s.part(Kind.MORE, "m1", name="+7 more", description="fuses on CAB.B1").wire("CAB.B1", "m1", "copper")
    s.notes += [
        "Sheet 35-02 is not typed in: where FRIDGE is fed from is not known.",
        "FRM.F40 was not read; a 30 A fuse at 0.0 mV can hide up to 0.1 A.",
    ]
    return s.scene()


def batteries() -> Scene:
    """Two 12 V batteries in series, a 12 V tap, and a split-charge relay to a third battery."""
    s = Sketch("Batteries, tap and split charge", "Tarn Hauler 26-tonner, 24 V")
    s.rails += [Rail("24", "30", "24 V constant"), Rail("aux", "30a", "12 V sleeper battery")]
    s.part(Kind.BATTERY, "BAT2", "+", "-", description="12 V 180 Ah", place="battery tray, rear")
    s.part(Kind.BATTERY, "BAT1", "+", "-", description="12 V 180 Ah", place="battery tray, front")
    s.part(Kind.BATTERY, "AUX", "+", "-", description="12 V 95 Ah", place="under the bunk")
    s.part(Kind.TERMINAL, "MID", description="12 V tap")
    s.on("10-01", "Batteries")
    s.wire("24", "BAT2:+", "RD 70").wire("BAT2:-", "MID", "BK 70").wire("MID", "BAT1:+", "BK 70").ground(
        "BAT1:-", "G1", "BK 70"
    )
    s.wire("aux", "AUX:+", "RD 25").ground("AUX:-", "G2", "BK 25")
    s.fuse("TRAY.F1", "5 A", Mark.DRAWING).part(Kind.MODULE, "RADIO", "30", "15", "31", description="Radio", named=True)
    s.wire("MID", "TRAY.F1:1", "RD/YE 1", mark=Mark.DRAWING).wire("TRAY.F1:2", "RADIO:30", "RD/YE 1", mark=Mark.DRAWING)
    s.ground("RADIO:31", "G4", "BN 1")
    s.relay("TRAY.K9", "Split-charge relay", mark=Mark.SUSPECT, place="battery tray")
    s.fuse("TRAY.F7", "60 A").part(Kind.BREAKER, "CAB.F9", "1", "2", rating="40 A")
    s.part(Kind.ALTERNATOR, "ALT", "B+", "D+", "W", description="Alternator 28 V 120 A")
    s.part(Kind.STARTER, "START", "30", "50", "31", description="Starter")
    s.part(
        Kind.KEY,
        "IGN",
        "30",
        "15",
        "50",
        description="Ignition switch",
        contacts=(DrawnContact("30", "15", words="run, start"), DrawnContact("30", "50", words="start")),
    )
    s.wire("24", "TRAY.F7:1", "RD 16").wire("TRAY.F7:2", "TRAY.K9:30", "RD 16")
    s.wire("TRAY.K9:87", "CAB.F9:1", "RD 16").wire("CAB.F9:2", "aux", "RD 16")
    s.wire("ALT:D+", "TRAY.K9:86", "BU 1").ground("TRAY.K9:85", "G1", "BN 1")
    s.wire("24", "ALT:B+", "RD 50").wire("24", "START:30", "RD 95").ground("START:31", "G1", "BK 95")
    s.wire("24", "IGN:30", "RD 6").wire("IGN:50", "START:50", "BK/VT 2.5")
    s.part(Kind.DIODE, "D3", "1", "2", description="blocking diode").part(
        Kind.LAMP, "L4", "1", "2", rating="3 W", description="Charge lamp"
    )
    s.wire("IGN:15", "L4:1", "BK 1").wire("L4:2", "D3:1", "BU 0.75").wire("D3:2", "ALT:D+", "BU 1")
    return s.scene()


def sheet() -> Scene:
    """One sheet as it was transcribed: wipers, washers and horn of the van, ground-switched, with a diode."""
    s = Sketch("Sheet 52-03: wipers, washer, horn", "Marlow Linnet 2.2 van, as transcribed")
    s.rails += [Rail("30", "30", "constant"), Rail("15", "15", "run", DrawnFeed.SWITCHED)]
    s.on("52-03", "Wipers, washer, horn")
    s.fuse("CAB.F3", "20 A").fuse("CAB.F4", "15 A").fuse("CAB.F12", "15 A")
    s.wire("15", "CAB.F3:1", "copper").wire("15", "CAB.F4:1", "copper").wire("30", "CAB.F12:1", "copper")
    s.part(
        Kind.SWITCH,
        "STALK",
        "53a",
        "53",
        "53b",
        "31b",
        "T",
        description="Wiper stalk",
        contacts=(
            DrawnContact("53a", "53", words="slow"),
            DrawnContact("53a", "53b", words="fast"),
            DrawnContact("53a", "T", words="wash"),
        ),
    )
    s.part(Kind.MOTOR, "WIPER", "53", "53b", "53a", "31b", "31", description="Wiper motor with park contact")
    s.part(Kind.MOTOR, "WASHER", "1", "2", description="Washer pump")
    s.relay("CAB.K2", "Horn relay")
    s.part(Kind.HORN, "HORN", "1", "2", description="Horn").part(
        Kind.SWITCH, "PUSH", "1", "2", description="Horn push", contacts=(DrawnContact("1", "2"),)
    )
    s.part(Kind.SPLICE, "SP12").part(Kind.CAVITY, "X3.1").part(Kind.CAVITY, "X3.2").part(Kind.CAVITY, "X3.3").part(
        Kind.CAVITY, "X3.4"
    )
    s.wire("CAB.F3:2", "SP12", "GN/YE 1.5").wire("SP12", "STALK:53a", "GN/YE 1.5").wire(
        "SP12", "X3.4", "GN/YE 1.5"
    ).wire("X3.4", "WIPER:53a", "GN/YE 1.5")
    s.wire("STALK:53", "X3.1", "GN 1.5").wire("X3.1", "WIPER:53", "GN 1.5")
    s.wire("STALK:53b", "X3.2", "YE 1.5").wire("X3.2", "WIPER:53b", "YE 1.5")
    s.wire("WIPER:31b", "STALK:31b", "BK/GN 1", assumed=True)
    s.wire("STALK:T", "X3.3", "WH/PK 0.75").wire("X3.3", "WASHER:1", "WH 0.75").ground(
        "WASHER:2", "G6", "BN 0.75"
    ).ground("WIPER:31", "G6", "BN 1.5")
    s.wire("CAB.F12:2", "CAB.K2:30", "copper").wire("CAB.F12:2", "CAB.K2:86", "copper")
    s.wire("CAB.K2:85", "PUSH:1", "BN/BU 0.5").ground("PUSH:2", "case", "")
    s.wire("CAB.K2:87", "HORN:1", "BK/YE 1.5").ground("HORN:2", "G2", "BN 1.5")
    s.part(Kind.OPEN_END, "o1", name="", description="interval relay, sheet 52-04")
    s.wire("CAB.F4:2", "o1", "GN/RD 1", code="53e")
    s.notes += ["CAB.F4 goes on to sheet 52-04, which is not typed in."]
    return s.scene()


def worst() -> Scene:
    """Forty parts on ten fuses of one bar with splices, connectors, relays, two networks and ground switches."""
    s = Sketch("Everything on CAB.B1", "Ostrey Dunlin motorhome, 12 V")
    s.rails += [Rail("30", "30", "constant"), Rail("15", "15", "run", DrawnFeed.SWITCHED)]
    s.fuse("ENG.F1", "125 A").part(Kind.BAR, "CAB.B1")
    s.on("20-01", "Distribution").wire("30", "ENG.F1:1", "RD 25").wire("ENG.F1:2", "CAB.B1", "RD 25")
    colours = ("RD/WH", "OG", "YE/BK", "GN/BU", "BU/RD", "VT", "GY/RD", "WH/GN", "PK/BK", "BN/YE")
    marks = (Mark.DRAWING, Mark.QUIET, Mark.UNREAD, Mark.NONE, Mark.SUSPECT)
    s.on("30-01", "Habitation")
    taps: list[Tap] = []
    for n in range(10):
        f = f"CAB.F{n + 10}"
        s.fuse(f, f"{5 * (n % 5 + 1)} A", marks[n % 5]).wire("CAB.B1", f"{f}:1", "copper", mark=marks[n % 5])
        look = f"{colours[n]} {(0.5, 0.75, 1, 1.5, 2.5)[n % 5]:g}"
        if n % 3 == 0:
            s.part(Kind.SPLICE, f"SP{n}").part(
                Kind.MODULE, f"MOD{n}", "A1", "A2", "B7", "N1", description="Control unit, habitation door and step"
            )
            s.part(Kind.LAMP, f"LAMP{n}", "1", "2", description="Reading lamp", rating="5 W")
            s.part(Kind.SWITCH, f"SW{n}", "1", "2", description="Lamp switch", contacts=(DrawnContact("1", "2"),))
            s.wire(f"{f}:2", f"SP{n}", look).wire(f"SP{n}", f"MOD{n}:A1", look).wire(f"SP{n}", f"LAMP{n}:1", look)
            s.wire(f"LAMP{n}:2", f"SW{n}:1", "BN/WH 0.5").ground(f"SW{n}:2", "G9", "BN 0.5").ground(
                f"MOD{n}:B7", "G9", "BN 1"
            )
            taps.append(Tap(f"MOD{n}", "N1"))
        elif n % 3 == 1:
            s.relay(f"K{n}", "Pump relay", changeover=n > 4).part(
                Kind.MOTOR, f"PUMP{n}", "1", "2", description="Water pump"
            )
            s.wire(f"{f}:2", f"K{n}:30", look).wire("15", f"K{n}:86", "BK/GN 0.5").wire(f"K{n}:85", "MOD0:A2", "GY 0.5")
            s.wire(f"K{n}:87", f"PUMP{n}:1", look).ground(f"PUMP{n}:2", "G12", "BN 2.5")
        else:
            s.part(Kind.CAVITY, f"X{n}.4").part(Kind.MODULE, f"HEAT{n}", "1", "2", "3", "C1", "W", description="Heater")
            s.wire(f"{f}:2", f"X{n}.4", look).wire(f"X{n}.4", f"HEAT{n}:1", look).ground(f"HEAT{n}:2", "G12", "BN 2.5")
            s.wire(f"{f}:2", f"HEAT{n}:3", "chart")
            taps.append(Tap(f"HEAT{n}", "C1"))
    s.networks.append(DrawnNetwork("HAB", "HABITATION", "network (LIN)", tuple(taps)))
    s.part(Kind.MORE, "m", name="+9 more", description="loads on SP0").wire("SP0", "m", "RD/WH 0.5")
    return s.scene()


ALL = {"van": van, "truck": truck, "batteries": batteries, "sheet": sheet, "worst": worst}
