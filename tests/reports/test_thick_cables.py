"""That a cable has no fuse is said of one that has none, by the sheets; the ground lead goes off before either is
touched."""

import pytest

from circuitmap.reports.words.cautions import cautions_at
from tests.wiring.written import platform_from

HEAD = (
    "battery BAT\nalternator ALT supply B+ ground 31\nfuse F1 150A mega\nlink L1\nsplice SP1\nground G\nALT.31 -> G\n"
)


@pytest.mark.parametrize(
    ("wires", "has_fuse"),
    [
        ("BAT.+ -> F1 -> ALT.B+", True),
        ("BAT.+ -> F1 -> SP1\nSP1 -> ALT.B+", True),
        ("BAT.+ -> ALT.B+", False),
        ("BAT.+ -> L1 -> ALT.B+", False),  # a link is no fuse that anybody pulls
        ("BAT.+ -> ALT.B+\nALT.B+ -> F1", False),  # its cable goes to the battery all the same
        ("", False),  # not typed in: as most have none
    ],
)
def test_a_cable_with_a_fuse_is_not_told_as_one_without(wires: str, has_fuse: bool) -> None:
    platform = platform_from(f"{HEAD}{wires}\n")
    codes = {one.code for one in cautions_at(platform, "unplug", ("ALT",))}
    assert ("thick-cable" in codes, "unfused" in codes) == (has_fuse, not has_fuse)
    said = " ".join(one.text for one in cautions_at(platform, "prove-unfused", ("ALT",)))
    assert "ground lead off before it is touched" in said
    assert ("unfused-clamp" in {one.code for one in cautions_at(platform, "clamp", ("ALT",))}) != has_fuse
