"""Small platforms in which something that nobody may touch hides in one place, for every kind of such thing."""

from typing import NamedTuple

KINDS = ("restraint", "high-voltage", "gas", "sealed", "maker")

HEAD = """platform "Sorrel Wren 1.6" supply 12V return body sleep 15min..30min limit 50mA
option EXTRA
battery BAT 60Ah
box CAB "cab fuse box"
bar CAB.B1 feeds CAB.F1, CAB.F2, CAB.K1.30
bar CAB.B2 feeds CAB.F3, CAB.F4
key IGN positions off, run closes 30 to 15 in run
relay CAB.K1 "run relay" make
module BCM supply A.1 ground A.2 asleep 2mA awake 200mA
module HEATER supply 1 ground 2 asleep 2mA awake 300mA
module LOCKS supply 1 ground 2 asleep 2mA awake 150mA
network BODY can members BCM, HEATER, LOCKS
fuse CAB.F1 10A mini, CAB.F2 15A mini, CAB.F3 10A mini, CAB.F4 10A mini
fuse CAB.F5 5A mini, CAB.F6 5A mini, CAB.F7 5A mini
"""
WIRES = """sheet "1"
BAT.+ -> CAB.B1 in RD 16mm2
BAT.- -> case
CAB.F1 -> IGN.30
IGN.15 -> CAB.K1.86
CAB.K1.85 -> case
CAB.K1.87 -> CAB.B2
CAB.F2 -> HEATER.1
HEATER.2, LOCKS.2, BCM.A.2 -> case
"""


class Hidden(NamedTuple):
    """`declared` and `wired` are added to the platform, {kind} is why it is hands-off. `never` may not be touched,
    `free` may."""

    place: str
    declared: str
    wired: str
    never: tuple[str, ...]
    free: tuple[str, ...] = ("CAB.F2", "HEATER")


PLACES: tuple[Hidden, ...] = (
    Hidden("the fuse itself", "fuse CAB.F8 5A mini hands-off {kind}\nbar CAB.B1 feeds CAB.F8", "", ("CAB.F8",)),
    Hidden(
        "the load of a fuse", "module M supply 1 ground 2 hands-off {kind}\nbar CAB.B1 feeds CAB.F5",
        "CAB.F5 -> M.1\nM.2 -> case", ("CAB.F5", "M"),
    ),
    Hidden(
        "a feed that is live in run only", "module M supply 1 ground 2 hands-off {kind}",
        "CAB.F3 -> X1.3 -> M.1\nM.2 -> case\nCAB.F4 -> X2.1 -> LOCKS.1\nconnector X1, X2",
        ("CAB.F3", "CAB.K1", "X1", "X1.3", "M"), ("CAB.F2", "CAB.F4", "X2", "LOCKS"),
    ),
    Hidden(
        "a load beside others on a splice", "module M supply 1 ground 2 hands-off {kind}\nsplice SP1\nbar CAB.B1 feeds CAB.F5",
        "CAB.F5 -> SP1 -> M.1, LOCKS.1\nM.2 -> case", ("CAB.F5", "SP1", "M"), ("LOCKS", "HEATER"),
    ),
    Hidden(
        "one cavity of a connector", "module M supply 1 ground 2 hands-off {kind}\nconnector X1\nbar CAB.B1 feeds CAB.F5, CAB.F6",
        "CAB.F5 -> X1.1 -> LOCKS.1\nCAB.F6 -> X1.2 -> M.1\nM.2 -> case", ("X1", "X1.1", "X1.2", "CAB.F6", "M"),
        ("CAB.F5", "LOCKS"),
    ),
    Hidden(
        "the ground of it through a connector", "module M supply 1 ground 2 hands-off {kind}\nconnector X1\nground G1",
        "M.2 -> X1.4 -> G1\nHEATER.2 -> G1", ("X1", "X1.4", "M"), ("HEATER", "CAB.F2"),
    ),
    Hidden(
        "a wire", "connector X1\nbar CAB.B1 feeds CAB.F5", "CAB.F5 -> X1.1 in YE hands-off {kind}\nX1.1 -> LOCKS.1",
        ("CAB.F5", "X1", "X1.1"), ("HEATER", "CAB.F2"),
    ),
    Hidden(
        "a signal wire to another module",
        "module M supply 1 ground 2 hands-off {kind}\nconnector X1", "M.7 -> X1.1 -> BCM.B.3\nM.2 -> case",
        ("X1", "X1.1", "BCM", "BCM.B", "M"), ("BCM.A", "HEATER", "CAB.F2"),
    ),
    Hidden(
        "a relay whose coil it drives",
        "module M supply 1 ground 2 hands-off {kind}\nrelay CAB.K2 make\nmotor PUMP\nbar CAB.B1 feeds CAB.F5, CAB.F6",
        "CAB.F5 -> CAB.K2.86\nCAB.K2.85 -> M.7\nCAB.F6 -> CAB.K2.30\nCAB.K2.87 -> PUMP -> case\nM.2 -> case",
        ("CAB.K2", "CAB.F5", "M"), ("PUMP", "CAB.F6", "CAB.F2"),
    ),
    Hidden(
        "a relay that feeds it",
        "module M supply 1 ground 2 hands-off {kind}\nrelay CAB.K2 make\nbar CAB.B1 feeds CAB.F5, CAB.F6",
        "CAB.F5 -> CAB.K2.86\nCAB.K2.85 -> BCM.B.1\nCAB.F6 -> CAB.K2.30\nCAB.K2.87 -> M.1\nM.2 -> case",
        ("CAB.K2", "CAB.F6", "M"), ("CAB.F2", "HEATER"),
    ),
    Hidden(
        "an output of a module that feeds it",
        "module M supply 1 ground 2 hands-off {kind}\nbar CAB.B1 feeds CAB.F5\noutput BCM.B.5 feeds from A.1",
        "CAB.F5 -> BCM.A.1\nBCM.B.5 -> M.1\nM.2 -> case", ("CAB.F5", "BCM", "BCM.B", "M"), ("HEATER", "CAB.F2"),
    ),
    Hidden(
        "behind equipment that it may have",
        "module M supply 1 ground 2 hands-off {kind} if EXTRA\nbar CAB.B1 feeds CAB.F5",
        "CAB.F5 -> M.1 if EXTRA\nM.2 -> case if EXTRA", ("CAB.F5", "M"),
    ),
    Hidden(
        "behind an open end that names its sheet",
        'bar CAB.B1 feeds CAB.F5', 'CAB.F5 -> ? "goes on to sheet 50-02"\nsheet "50-02" "Occupants" hands-off {kind}',
        ("CAB.F5",),
    ),
    Hidden(
        "between two open ends",
        "module M supply 1 ground 2 hands-off {kind}\nbar CAB.B1 feeds CAB.F5",
        'CAB.F5 -> ?\nsheet "9"\n? -> M.1\nM.2 -> case', ("CAB.F5", "M"),
    ),
    Hidden(
        "a network", "module GW supply 1 ground 2\nnetwork SAFE can members GW, LOCKS hands-off {kind}\nstar X60 on SAFE leg GW leg LOCKS",
        "", ("SAFE", "GW", "LOCKS", "X60", "X60.1"), ("HEATER",),
    ),
    Hidden(
        "a leg of a star", "module M hands-off {kind}\nnetwork DRIVE can members M, HEATER, BCM\nstar X60 on DRIVE leg M leg HEATER, BCM",
        "", ("M", "X60", "X60.1"), ("X60.2", "HEATER"),
    ),
    Hidden(
        "a row of a fuse chart", "module M hands-off {kind}\nbar CAB.B1 feeds CAB.F5\nCAB.F5 feeds M, LOCKS", "",
        ("CAB.F5", "M"),
    ),
    Hidden(
        "an empty slot", "fuse CAB.F8 empty\nbar CAB.B1 feeds CAB.F8\nmodule M supply 1 ground 2 hands-off {kind}",
        "CAB.F8 -> M.1\nM.2 -> case", ("CAB.F8", "M"),
    ),
    Hidden(
        "behind a diode", "module M supply 1 ground 2 hands-off {kind}\ndiode D1\nbar CAB.B1 feeds CAB.F5",
        "CAB.F5 -> D1 -> M.1\nM.2 -> case\nCAB.F5 -> LOCKS.1", ("CAB.F5", "D1", "M"), ("LOCKS",),
    ),
    Hidden(
        "two feeds at once", "module M supply 1 ground 2 hands-off {kind}\nbar CAB.B1 feeds CAB.F5, CAB.F6\nsplice SP1",
        "CAB.F5 -> SP1\nCAB.F6 -> SP1 -> M.1\nM.2 -> case", ("CAB.F5", "CAB.F6", "M"),
    ),
    Hidden(
        "a box", "box SAFE hands-off {kind}\nfuse SAFE.F9 10A mini\nbar CAB.B1 feeds SAFE.F9", "SAFE.F9 -> LOCKS.1",
        ("SAFE.F9",), ("HEATER", "CAB.F2"),
    ),
)  # fmt: skip


def text_of(hidden: Hidden, kind: str) -> str:
    """The platform with something of this kind in that place."""
    return HEAD + hidden.declared.format(kind=kind) + "\n" + WIRES + hidden.wired.format(kind=kind) + "\n"
