"""`list` counts wires as a sheet's table does, and says what else it shows."""

from circuitmap.reports.circuit.inventory import inventory_of
from circuitmap.reports.circuit.list_text import list_text
from tests.wiring.written import platform_from

TEXT = """naming X* connector, G* ground
battery BAT
box CAB
fuse CAB.F1 5A, CAB.F2 5A
lamp L1
lamp L2
sheet "1" "Lamps"
bar CAB.B1 feeds CAB.F1, CAB.F2
BAT.+ -> CAB.B1 in RD 6
CAB.F1 -> X1.1 -> X2.1 -> L1 in RD 1
CAB.F2 -> L2 in RD 1
L1, L2 -> G1 in BN 1
"""


def _listed(text: str, sheet: str = "1") -> str:
    return list_text(inventory_of(platform_from(text), sheet))


def test_a_sheet_has_the_wires_that_its_paper_has() -> None:
    said = " ".join(_listed(TEXT).split())
    assert said.startswith(
        "Sheet 1, Lamps: 5 wires in 7 pieces between plugs, 2 feeds in copper bars, typed in only in part"
    )
    assert "WIRES 5 in 7 pieces between plugs, 2 feeds in copper bars CAB.B1" in said


def test_without_plugs_and_bars_only_the_wires_are_counted() -> None:
    said = _listed('lamp L1\nground G1\nsheet "1"\nL1 -> G1\n')
    assert said.startswith("Sheet 1: 1 wire, typed in only in part") and "WIRES  1\n" in said


def test_lines_of_a_chart_are_no_wires() -> None:
    assert _listed('lamp L1\nfuse F1\nsheet "1"\nF1 feeds L1\n').startswith("Sheet 1: no wire, 1 line of a fuse chart,")
