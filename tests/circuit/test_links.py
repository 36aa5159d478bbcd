"""Which paths each kind of part has inside, and what joins grounds, cases and batteries."""

from circuitmap.circuit.links import BODY, Circuit, circuit_of
from circuitmap.circuit.one_metal import is_one_metal
from circuitmap.wiring.parts import (
    Battery,
    Contact,
    Diode,
    Fuse,
    Ground,
    Joint,
    Load,
    Need,
    OpenEnd,
    Part,
    Relay,
    RelayContact,
    Switch,
    Terminal,
    Undeclared,
)
from circuitmap.wiring.platform import Output, Platform, Wire

T = Terminal


def platform(
    *parts: Part, wires: tuple[Wire, ...] = (), outputs: tuple[Output, ...] = (), body: bool = True
) -> Platform:
    return Platform(parts={p.name: p for p in parts}, wires=wires, outputs=outputs, body_return=body)


def joined(circuit: Circuit) -> set[str]:
    return {f"{link.a}{link.a.half} {link.kind} {link.b}{link.b.half}" for link in circuit.links}


def wire(a: Terminal, b: Terminal, kind: str = "wire") -> Wire:
    return Wire(a=a, b=b, kind=kind)  # type: ignore[arg-type]


def output(module: str, pin: str, action: str, source: str = "") -> Output:
    return Output(module=module, pin=pin, action=action, source=source, span=None)  # type: ignore[arg-type]


def test_every_battery_returns_through_the_body_unless_its_wires_say_otherwise() -> None:
    untyped = circuit_of(platform(Battery(name="BAT", kind="battery")))
    assert joined(untyped) == {"BAT.+ battery BAT.-", "BAT.- body case"}
    assert untyped.returns == (BODY, T("BAT", "-"))

    master = Switch(name="MS", kind="switch", positions=("on", "off"), contacts=(Contact("1", "2", ("on",)),))
    switched = circuit_of(
        platform(
            Battery(name="BAT", kind="battery"), master, Ground(name="G1", kind="ground"),
            wires=(wire(T("BAT", "-"), T("MS", "1")), wire(T("MS", "2"), T("G1"))),
        )
    )  # fmt: skip
    assert "BAT.- body case" not in joined(switched), "the master switch would be bridged"
    assert "G1 body case" in joined(switched)

    wired = circuit_of(platform(Battery(name="BAT", kind="battery"), Ground(name="G1", kind="ground"), body=False))
    assert joined(wired) == {"BAT.+ battery BAT.-"}
    assert wired.returns == (T("BAT", "-"),)


def test_the_minus_of_an_upper_battery_is_the_tap_and_no_return() -> None:
    circuit = circuit_of(
        platform(
            Battery(name="B1", kind="battery"), Battery(name="B2", kind="battery"),
            wires=(wire(T("B1", "+"), T("B2", "-")),),
        )
    )  # fmt: skip
    assert circuit.returns == (BODY, T("B1", "-"))
    series = circuit_of(platform(Battery(name="BAT", kind="battery", series=True)))
    assert series.supplies == (T("BAT", "+"), T("BAT", "mid"))
    assert {"BAT.+ battery BAT.mid", "BAT.mid battery BAT.-"} < joined(series)


def test_contacts_coils_and_cases() -> None:
    relay = Relay(name="K", kind="relay", contacts=(RelayContact("30", "87", True), RelayContact("30", "87a", False)))
    door = Switch(
        name="D", kind="switch", positions=("shut", "open"),
        contacts=(Contact("1", "case", ("open",)), Contact("2", "3", ("shut",)), Contact("3", "2", ("open",))),
    )  # fmt: skip
    circuit = circuit_of(platform(relay, door))
    assert {link.contact for link in circuit.links if link.contact} == {"K.87", "K.87a", "D.1", "D.3"}
    assert {"K.86 coil K.85", "D.1 contact D.case", "D.case body case"} < joined(circuit)
    assert [link.closed_in for link in circuit.links if link.contact == "D.3"] == [("shut", "open")]
    assert [link.energised for link in circuit.links if link.part == "K" and link.contact] == [True, False]


def test_contacts_that_lead_to_one_pin_are_named_by_both() -> None:
    lights = Switch(
        name="L", kind="switch", positions=("off", "on"),
        contacts=(Contact("30", "58", ("on",)), Contact("15", "58", ("off",)), Contact("15", "56", ("on",))),
    )  # fmt: skip
    assert {link.contact for link in circuit_of(platform(lights)).links} == {"L.30-58", "L.15-58", "L.56"}


def test_fuses_diodes_and_empty_slots() -> None:
    circuit = circuit_of(
        platform(
            Fuse(name="F1", kind="fuse"), Fuse(name="F2", kind="breaker"), Fuse(name="F3", kind="fuse", empty=True),
            Fuse(name="F4", kind="fuse"), Diode(name="V", kind="diode"),
            wires=(wire(T("F4", "2"), T("V", "1")), wire(T("F4", "3"), T("V", "2"))),
        )
    )  # fmt: skip
    assert {"F1.1 fuse F1.2", "F2.1 breaker F2.2", "F4.1 fuse F4.2", "F4.1 fuse F4.3"} < joined(circuit)
    assert not any(link.part == "F3" for link in circuit.links)
    assert [link.one_way for link in circuit.links if link.kind == "diode"] == [True]


def test_a_cavity_joins_its_halves_and_unplugging_opens_all() -> None:
    circuit = circuit_of(
        platform(
            Joint(name="X", kind="connector"), Joint(name="SP", kind="splice"),
            Load(name="L", kind="module", roles={"A.1": "supply", "B.2": "supply", "A.8": "ground"}),
            wires=(
                wire(T("SP"), T("X", "1", "a")), wire(T("X", "1", "l"), T("L", "A.1")),
                wire(T("SP"), T("X", "2", "a")), wire(T("X", "2", "l"), T("L", "B.2")), wire(T("SP"), T("X", "3", "a")),
            ),
        )
    )  # fmt: skip
    assert {"X.1a cavity X.1l", "X.2a cavity X.2l"} < joined(circuit)

    def kinds(name: str) -> list[str]:
        return sorted(f"{circuit.links[i].kind} {circuit.links[i].a}" for i in circuit.opened_by(name))

    assert kinds("X") == ["cavity X.1", "cavity X.2"]
    assert kinds("X.2") == ["cavity X.2"]
    assert kinds("L.B") == ["load L.B.2"]
    assert kinds("L.A") == ["load L.A.1", "load L.B.2"], "the only ground is in plug A"
    assert kinds("SP") == ["wire SP"] * 3
    assert kinds("nothing") == []


def test_loads_draw_between_supply_and_ground_pins() -> None:
    circuit = circuit_of(
        platform(
            Load(name="M", kind="module", roles={"A1": "supply", "A2": "supply", "A8": "ground", "B4": "sense"}),
            Load(name="H", kind="horn", roles={"1": "supply"}), Load(name="N", kind="module"),
            Load(name="S", kind="starter"),
            wires=(
                wire(T("?f"), T("M", "A1")), wire(T("F", "2"), T("N", "?"), "chart"), wire(T("BAT", "+"), T("S", "30")),
            ),
        )
    )  # fmt: skip
    assert {
        "M.A1 load M.A8",
        "M.A2 load M.A8",
        "H.1 load H.?ground",
        "N.? load N.?ground",
        "S.30 load S.case",
    } < joined(circuit)
    assert T("M", "A2") in circuit.unknown_supplies, "a supply pin without a wire may be live"
    assert T("M", "A1") not in circuit.unknown_supplies
    assert {T("M", "A8"), T("H", "?ground"), T("N", "?ground")} <= circuit.unknown_grounds
    assert {link.assumed for link in circuit.links if link.part == "S"} == {"case", ""}


def test_a_chart_does_not_join_two_fuses_of_one_load() -> None:
    circuit = circuit_of(
        platform(
            Fuse(name="F1", kind="fuse"), Fuse(name="F2", kind="fuse"),
            Load(name="M", kind="module", roles={"A1": "supply", "A2": "supply"}),
            wires=(wire(T("F1", "2"), T("M", "?F1"), "chart"), wire(T("F2", "2"), T("M", "?F2"), "chart")),
        )
    )  # fmt: skip
    chart = [link for link in circuit.links if link.kind == "chart"]
    assert len(chart) == 2 and all(link.one_way for link in chart)
    assert {f"M.?{row} joint M.{pin}" for row in ("F1", "F2") for pin in ("A1", "A2")} < joined(circuit)
    assert {s.pin for s in circuit.loads["M"].supplies} == {"?F1", "?F2"}, (
        "each row is a feed; which pin it is nobody said"
    )
    assert {s.pin for s in circuit.loads["M"].perhaps} == {"A1", "A2"}
    assert not any(is_one_metal(link) for link in circuit.links if link.kind == "joint")


def test_outputs_feed_from_a_supply_pin_or_ground_through_the_module() -> None:
    module = Load(name="B", kind="module", roles={"A1": "supply", "A2": "supply", "A8": "ground"})
    circuit = circuit_of(
        platform(
            module,
            outputs=(output("B", "C1", "feeds"), output("B", "C2", "feeds", "A2"), output("B", "C3", "grounds")),
            wires=(wire(T("F", "2"), T("B", "A1")),),
        )
    )
    assert {"B.A1 output B.C1", "B.A2 output B.C1", "B.A2 output B.C2", "B.C3 output B.A8"} < joined(circuit)
    assert {link.contact for link in circuit.links if link.output} == {"B.C1", "B.C2", "B.C3"}
    assert all(link.one_way for link in circuit.links if link.output)


def test_what_nobody_typed_stays_possible() -> None:
    relay = Relay(name="K", kind="relay", contacts=(RelayContact("30", "87", True),))
    lamp = Load(name="L", kind="lamp", roles={"1": "supply", "2": "ground"})
    circuit = circuit_of(
        platform(
            relay, lamp, Fuse(name="F", kind="fuse"), Undeclared(name="U", kind="undeclared"),
            OpenEnd(name="?L", kind="open end"), OpenEnd(name="?F", kind="open end", from_supply=True),
            OpenEnd(name="?S", kind="open end"), Joint(name="S", kind="splice"),
            wires=(
                wire(T("K", "87"), T("S")), wire(T("S"), T("L", "1")), wire(T("S"), T("?S")),
                wire(T("L", "2"), T("?L")), wire(T("?F"), T("K", "86")), wire(T("F", "2"), T("U", "1")),
                wire(T("U", "2"), T("K", "85")),
            ),
        )
    )  # fmt: skip
    assert circuit.unknown_supplies == {T("K", "30"), T("F", "1"), T("?F"), T("U", "2")}
    assert T("?L") in circuit.unknown_grounds, "the ground side goes on undrawn"
    assert T("?S") not in circuit.unknown_grounds, "an open end on a supply is a load unknown"


def test_conditions_of_a_part_hold_for_its_wires_and_insides() -> None:
    tow = (Need("TOW", True),)
    circuit = circuit_of(
        platform(
            Fuse(name="F", kind="fuse", condition=tow), Joint(name="S", kind="splice"),
            wires=(wire(T("S"), T("F", "1")),),
        )
    )  # fmt: skip
    assert [link.condition for link in circuit.links] == [tow, tow]


def test_numbers_agree_with_names() -> None:
    relay = Relay(name="K", kind="relay", contacts=(RelayContact("30", "87", True),))
    circuit = circuit_of(
        platform(relay, Battery(name="BAT", kind="battery"), wires=(wire(T("BAT", "+"), T("K", "30")),))
    )
    for i, (link, (a, b)) in enumerate(zip(circuit.links, circuit.ends, strict=True)):
        assert circuit.nodes[a] == link.a and circuit.nodes[b] == link.b
        assert i in circuit.at[a] and i in circuit.at[b]
    assert circuit.links_at(T("K", "30")) == tuple(link for link in circuit.links if T("K", "30") in (link.a, link.b))
