"""One wire is one wire on the shared page."""

from circuitmap.reports.pages.share import SharedItem
from circuitmap.reports.pages.share_html import _wires


def test_one_wire_is_not_wires() -> None:
    row = ("F1 - LAMP", "RD", "", "1")
    assert "<summary>1 wire</summary>" in _wires(SharedItem("sheet-1", "1", "", (), rows=(row,)))
    assert "<summary>2 wires</summary>" in _wires(SharedItem("sheet-1", "1", "", (), rows=(row, row)))
