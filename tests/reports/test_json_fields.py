"""Every field that a query prints is described in `json_fields.md`, and every field described there is printed."""

import json
import re
import shlex
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, get_args

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from circuitmap.cli.printing import FORMAT_VERSION
from circuitmap.reports.problems.problem_page import problem_codes
from circuitmap.unknown import NotRead, NotTyped
from tests.dead.test_hands_off_probes import GROUNDED
from tests.diagnosis.test_left_for_one import FLOAT
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.diagnosis.test_wait_with_something_out import TIPCART
from tests.jobs.test_out_over_a_use import DREW, GRITTER, RESET
from tests.jobs.test_two_proven_one_by_one import ALT_IN, ALT_OUT, MOWER, SEAT_IN, SEAT_OUT
from tests.jobs.test_two_proven_one_by_one import DREW as TAKEN_ONE_BY_ONE

ROOT = Path(__file__).parent.parent.parent
SAMPLES = ROOT / "sample_vehicles"
PAGE = ROOT / "circuitmap" / "reports" / "json_fields.md"
Field = tuple[str, ...]

QUESTIONS: dict[str, tuple[str, ...]] = {
    "check": ("check van", "check ODD"),
    "tidy": ("tidy van --check", "tidy ODD --check"),
    "explain": ("explain missing-comma",),
    "list": (
        "list van",
        "list truck",
        "list motorhome --sheet ANY",
        "list ODD --option TOW",
        "list van --without TOW",
        "list TWO --without TX",
    ),
    "trace": (
        "trace truck LIFT",
        "trace truck CHASSIS",
        "trace truck INTERIOR",
        "trace ODD SISTER",
        "trace motorhome LIVBUS",
        "trace sweeper BODY",
        "trace van BODY",
        "trace van G5",
        "trace van F27",
        "trace van CAB.F20",
        "trace motorhome F61",
        "trace van X14",
        "trace van WIPER",
        "trace motorhome BAT",
        "trace motorhome KSPLIT --without BOOST",
        "trace ODD HEATER",
        "trace ODD ROW1",
        "trace ODD F50 --without TOW",
        "trace ODD CAB.F64",
        "trace ODD LATE",
        "trace TWO L12",
        "trace TWO LCONV",
        "trace TWO L10",
        "trace TWO L4",
        "trace TWO F8",
        "trace TWO NW",
        "trace TWO NR",
        "trace TWO F23",
        "trace MINUS ISO",
    ),
    "common": (
        "common truck F6 F11 F19 F24 F33 --quiet F12 --quiet F20 --quiet F31",
        "common van F72 F73 F27 --quiet F22",
        "common ODD F22 F31",
        "common truck F6 F11 F12 --quiet F19",
        "common ODD F22 F50 --option TOW",
        "common ODD F22 F52",
        "common van F70 F72",
        "common motorhome LIV.F3 FS1 --quiet CBL --without BOOST",
        "common motorhome FM1 CBL",
        "common ODD CAB.F61 CAB.F62",
        "common TWO F2 F3",
        "common ODD CAB.F71 CAB.F72",
        "common motorhome CAB.F30 CAB.F31",
        "common TWO F5 F6",
        "common TWO F10 F11 F12",
        "common TWO F10 F11",
    ),
    "live": (
        "live van",
        "live truck --key run --set HAZ=on --awake CHASSIS --pull F33 --unplug LIFT --stuck CAB.K2.87",
        "live ODD --option TOW",
        "live motorhome --without BOOST --stuck KSPLIT.87 --set LIVSW=on",
        "live van --key run --feeding ALT",
        "live van --key run",
        "live ODD --pull BUZZ",
        "live sweeper --unplug SP40 --awake BODY",
        "live TWO --set SB=on",
        "live MINUS --set ISO=on",
        "live MINUS --feeding ALT",
        "live TWO --pull F13",
        "live TWO --touch L2.1=case",
        "live LATCH --pull Q1 --set S=on",
        "live AT --set S=on --set KNOB=on --feeding CH --at L.2 --at D.1 --at K.86",
    ),
    "volts": (
        "volts van SCRL.1 --running SCRL,SCRR --key run --set SCRSW=pressed --awake BODY --without TOW "
        "--saw SCRL.1=9.7V --saw F72.1=12.25V --if SP31=0.25ohm --if ENG.F13=open",
        "volts van F72 --running SCRL,SCRR --key run --saw F72.1=12.1V --saw F72=12.05V",
        "volts van SCRL.2 --key run --saw SCRL.2=12.3V",
        "volts van ACCLUTCH",
        "volts van F46",
        "volts motorhome BATHL.1 --running BATHL",
        "volts truck LIFT.B10",
    ),
    "dead": (
        "dead van SCRL SCRR --works MIRL --key run --set SCRSW=pressed --awake BODY --without TOW --saw F72=0.02V",
        "dead van ACCLUTCH",
        "dead motorhome BATHL",
        "dead truck LIFT",
        "dead sweeper DISP@scan CTRL@scan BRUSH@scan --works DISP --key run",
        "dead HANDED SCREEN --works MIRROR --saw SCREEN.1=12.1V --saw SCREEN.2=12V",
        "dead motorhome CEIL1 --set LIVSW=on --set PANSW=off",
        "dead truck FRM.F50@WORKSW=on --works FRM.F50@WORKSW=off --key run --awake CHASSIS",
    ),
    "suspects": (
        "suspects truck BAT=0.47A F6=0.6mV F11=0.3mV F19=0.7mV F24=0.5mV F33=0.7mV F40=0.0mV --network CHASSIS=2.5V",
        "suspects van --total 1A F24=0.9A F92=0.2A --unplugged F24=0.1A --unplugged F23=0.98A",
        "suspects van --option TOW --card CARD/van/jobs/0388.yaml",
        "suspects van --card CARD/van/jobs/0405.yaml",
        "suspects van --card CARD/van/jobs/0433.yaml",
        "suspects van --unplugged F24=0.1A",
        "suspects van --total 0.83A F24=5.9mV --found DOME=burning --unplugged DOORD=0.03A --option TOW --without AUXHEAT "
        "--without COLDBOX",
        "suspects van F92=3A F24=0.1A F21=0A",
        "suspects van BAT=0.41A F90=0.06A F91=0.06A F92=0.09A F93=0.06A",
        "suspects truck BAT=0.85A MAIN.F3=0.8A FRM.F40=0A FRM.F41=0A FRM.F43=0A FRM.F50=0.79A --unplugged FRM.F50=0.85A",
        "suspects van --total 0.03A",
        "suspects van --total 0.4A --fitted 'cool box from F24'",
        "suspects van F90=0mV F91=0mV F92=0mV F93=0mV F1=0mV F2=0mV F3=0mV F4=0mV F5=0mV F6=0mV",
        "suspects van --total 0.60A F24=5.9mV",
        "suspects sweeper BAT=0.598A CAB.F5=4.4mV --network BODY=2.5V --found E12=burning --meter low-current-clamp "
        "--option FUELH",
        "suspects motorhome BAT=3.1A LEIS=-2.9A FS1=3.0A",
        "suspects truck BAT=0.05A F6=8mV F11=8mV F33=9mV F24=12mV F19=9mV --network CHASSIS=asleep "
        "--network DRIVE=asleep --network INTERIOR=asleep",
        "suspects LAMPS F6=3.40A",
        "suspects LAMPS B=3.41A F6=3.40A",
        "suspects SKIFF SB=0.01A HB=4.05A --set ICE=on",
        "suspects LAMPS F7=2.00A",
        "suspects SKIFF SB=0.01A HB=5.25A --set ICE=on",
        "suspects SKIFF --card LEFT",
        "suspects SKIFF --card ONE_OF_TWO",
        "suspects SKIFF --card STILL_WAITS",
        "suspects SKIFF --card TWO_DRAWS",
        "suspects van --card IN_TURN --option TOW",
        "suspects LAMPS --card FITS_NOTHING",
        "suspects TIPCART --card MAY_SLEEP",
        "suspects FLOAT BAT=0.41A M1=0.41A M2=0A CAB.F1=0.18A CAB.F2=0.12A",
        "suspects GRITTER --card WAS_RESET",
        "suspects MOWER --card ONE_BY_ONE",
    ),
    "worksheet": ("worksheet van -o OUT.txt --option TOW",),
    "diagram": (
        "diagram van HEATER -o OUT.svg --option TOW",
        "diagram truck F6=0.6mV F11=0.3mV F24=0.5mV F40=0mV -o OUT.svg",
    ),
}
"""For each command, questions that between them show all of its fields."""

NOT_ABOUT_ONE_CAR = (
    "check", "tidy", "explain", "card", "report", "share", "library", "logged", "diff", "merge", "transcribe",
)  # fmt: skip
"""Commands whose answers do not begin with the platform and its equipment."""

READ_AGAIN = ("read_again", "[]")
NEVER_FILLED = {
    ("downstream", "signals", "[]"),
    ("second_feed", "[]"),
    ("ground", "[]", "fuses", "[]"),
    ("card_problems", "[]"),
    ("card_stage",),
    ("awake_unexplained", "[]"),
    ("unsettled", "[]"),
    READ_AGAIN,
}
NEVER_FILLED |= {(*READ_AGAIN, "place"), *((*READ_AGAIN, "readings", "[]", its) for its in ("by", "reading"))}
"""A way to ground is a way, so it has the list, but nobody puts a fuse there; the cards of the samples have no
problems, were written by one person, and nothing was mended on them; every
network that these answers say is awake is explained by what leads; a platform that does not come to rest in a thousand
looks is not a small one (`tests/limits` has some); no load of the samples has two feeds and one thing before both."""

LEFT_SO = """\
job: 1
entries:
  - {at: "14:00", stands: {ICE: "on"}}
  - {at: "14:01", state: locked}
  - {at: "15:10", read: {SB: 0.01A, HB: 6.25A}}
  - {at: "15:15", turned: {ICE: "off"}, out: [FW]}
  - {at: "15:40", read: {HB: 1.20A, FL: 1.20A}}
"""
ONE_OF_TWO = """\
job: 1
done-before: WS renewed, no help
entries:
  - {at: "14:01", state: locked}
  - {at: "15:10", read: {HB: 3.21A, FL: 1.20A, FW: 1.10A}}
  - {at: "15:15", out: [WS]}
  - {at: "15:40", read: {HB: 1.21A}}
  - {at: "15:45", back: [WS]}
  - {at: "16:00", cause: "WS, its contact does not open", mended: "new switch WS"}
  - {at: "16:05", state: locked}
  - {at: "16:40", read: {HB: 1.21A}}
"""
STILL_WAITS = """\
job: 1
entries:
  - {at: "2026-03-01 16:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes}
  - {at: "2026-03-02 06:00", log: {place: HB, floor: 0.04A, peak: 2.10A, mean: 0.50A, for: 12h, every: 40min}}
  - {at: "2026-03-02 07:00", out: [WS]}
  - {at: "2026-03-02 07:20", read: {HB: 0.04A}, steady: yes}
"""
IN_TURN = """\
job: 1
entries:
  - {at: "2026-03-01 16:00", state: locked, meter: low current clamp}
  - {at: "2026-03-02 06:00", log: {place: BAT, floor: 0.03A, peak: 1.10A, mean: 0.50A, for: 12h, every: 20min}}
"""
MAY_SLEEP = """\
job: 1
entries:
  - {at: "10:00", state: locked}
  - {at: "10:50", total: 0.50A, network: {CART: awake}}
  - {at: "10:55", inputs: {LATCH: wrong}}
  - {at: "11:05", out: [LATCH]}
  - {at: "11:08", state: locked}
  - {at: "11:20", total: 0.50A}
"""
WAS_RESET = "job: 1\nentries:\n" + "".join(f"  - {{{entry}}}\n" for entry in (*DREW, *RESET))
ONE_BY_ONE = "job: 1\nentries:\n" + "".join(
    f"  - {{{entry}}}\n" for entry in (*TAKEN_ONE_BY_ONE, *SEAT_OUT, *ALT_OUT, *SEAT_IN, *ALT_IN)
)
TWO_DRAWS = """\
job: 1
entries:
  - {at: "2026-03-01 16:00", state: locked, meter: low current clamp, resolution: 10mA, zeroed: yes}
  - {at: "2026-03-02 06:00", log: {place: HB, floor: 1.20A, peak: 3.20A, mean: 1.40A, for: 12h}}
  - {at: "2026-03-02 07:00", read: {HB: 1.20A, FL: 0A}, during: floor}
  - {at: "2026-03-02 07:20", read: {HB: 3.20A, FL: 2.00A}, during: event}
"""
FITS_NOTHING = """\
job: 1
entries:
  - {at: "14:01", state: locked}
  - {at: "15:10", read: {B: 0.62A, F6: 0A, F7: 0.60A}, steady: yes}
  - {at: "15:15", out: [M23]}
  - {at: "15:40", read: {B: 0.01A}, steady: yes}
  - {at: "15:45", back: [M23]}
  - {at: "16:10", read: {B: 0.62A}, steady: yes}
"""
LAMPS = """\
platform "Stop lamps"
battery B
fuse F6 10A, F7 10A
switch S8 positions off, on closes 1 to 2 in on
lamp E5 supply 1 ground 2 running 21W
lamp E6 supply 1 ground 2 running 21W
lamp E8 supply 1 ground 2 running 16W
socket X30 supply 1 ground 2
splice SP
B.+ -> F6 -> S8.1
S8.2 -> SP
SP -> E5.1
SP -> E6.1
SP -> E8.1
B.+ -> F7 -> X30.1
switch S21 positions off, on closes 1 to 2 in on
switch S22 positions off, on closes 1 to 2 in on
motor M23 supply 1 ground 2 running 12A
F7 -> S21.1
S21.2 -> S22.1
S22.2 -> M23.1
M23.2 -> case
B.-, E5.2, E6.2, E8.2, X30.2 -> case
sheet "1" "fuse chart" whole
fuse F9 10A
module TELL "tracker" asleep 8mA
B.+ -> F9
F9 feeds TELL
"""
SWITCH_IN_THE_MINUS = """\
platform "Switch in the minus"
battery B
switch ISO positions off, on closes 1 to 2 in on
lamp WARN
lamp L
fuse F1 10A
B.- -> ISO.1
ISO.2 -> case
ISO.2 -> WARN.1
WARN.2 -> ISO.1
resistor R 5ohm
lamp L5 running 1A
B.+ -> F1 -> L -> case
F1 -> R -> L5 -> case
alternator ALT supply B+ ground 31
ALT.B+ -> B.+
ALT.31 -> case
module C supply IN ground 31 sense EN
output C.OUT feeds 12V from IN while EN
fuse F2 5A
relay K make
B.+ -> F2 -> C.IN
C.31 -> case
C.OUT -> C.EN
C.OUT -> K.86
K.85 -> case
"""
TWO_BATTERIES = """\
platform "Two batteries"
battery A
battery B
terminal TB
terminal TC
fuse F1 50A, F2 10A, F3 10A
lamp L2
lamp L3
switch SB positions off, on closes 1 to 2 in on
switch SX positions open, closed closes 1 to 2 in closed
A.-, B.-, L2.2, L3.2 -> case
B.+ -> F1 -> TB
TB -> SB.1
SB.2 -> TC
A.+ -> SX.1
SX.2 -> TC
TB -> F2 -> L2.1
TC -> F3 -> L3.1
relay K1 make
switch SK positions off, on closes 1 to 2 in on
lamp L4
F2 -> K1.30, K1.86
K1.85 -> SK.1
SK.2 -> case
K1.87 -> L4 -> case
fuse F5 10A, F6 10A
relay K2 make
module M supply 1 ground 2 wake 3
output M.4 grounds while awake
network NET can members M
lamp L5
lamp L6
TB -> K2.30, M.1, M.3
TC -> K2.86
K2.85 -> M.4
K2.87 -> F5, F6
F5 -> L5.1
F6 -> L6.1
fuse F7 10A, F8 10A
splice SP7
switch S8 positions off, on closes 1 to 2 in on
lamp L7
lamp L8
B.+ -> F7 -> SP7
A.+ -> F8 -> S8.1
S8.2 -> SP7
SP7 -> L7.1
F8 -> L8.1
L7.2, L8.2 -> case
L5.2, L6.2, M.2 -> case
lamp L9
lamp L10
switch S9 positions off, on closes 1 to 2 in off
switch SY positions off, on closes 1 to 2 in on
SB.2 -> S9.1
TB -> SY.1
S9.2 -> L9.1
S9.2 -> S11.1
switch S11 positions off, on closes 1 to 2 in on
S11.2, SY.2 -> L10.1
module Z supply 1, 2 ground 3 needs 1 wake 4 for 10min
fuse F13 5A, F14 5A
TB -> F13 -> Z.1
TB -> F14 -> Z.2
TC -> Z.4
Z.3 -> case
module CONV supply 1 ground 2
output CONV.3 feeds 5V from 1 always
TB -> CONV.1
lamp LCONV
CONV.3 -> LCONV -> CONV.2
CONV.2 -> case
L9.2, L10.2, L12.2 -> case
lamp L12
switch S12 positions off, on closes 1 to 2 in off
SB.2 -> S12.1
S12.2 -> L12.1
fuse F10 10A, F11 10A, F12 10A
switch ST positions left, right closes 1 to 3 in left closes 2 to 3 in right
lamp L20
lamp L11
A.+ -> F10, F11
B.+ -> F12 -> L20 -> case
F10 -> ST.1
F11 -> ST.2
ST.3 -> L11 -> case
module MW supply 1 ground 2 wake 3 by ground
switch SD positions shut, open closes 1 to case in open
MW.3 -> SD.1
network NW can members MW
fuse F23 10A, F24 10A
module MO supply 1, 2 ground 3
output MO.4 feeds
lamp L13
TB -> F23 -> MO.1
option TX
MO.1 -> MW.5 if TX
MO.1 -> XT.1
XT.1 -> MW.6 if TX
connector XT
module MN1 supply 1 ground 2
module MN2 supply 1 ground 2
splice SPN1, SPN2
network NR can members MN1 (7, 8), MN2 (7, 8)
MN1.7 -> SPN1 -> MN2.7
MN1.8 -> SPN2 -> MN2.8
resistor RN 120ohm
SPN1 -> RN -> SPN2
TB -> F24 -> MO.2
MO.4 -> L13 -> case
"""

AT = """\
platform "At"
battery B
fuse F1 10A, F2 10A, F3 10A
switch S positions off, on closes 1 to 2 in on
switch KNOB positions off, on closes 1 to 2 in on
switch D positions off, on closes 1 to 2 in on
module HEAT supply 1 ground 2 wake 3 by plus run-on 3min
lamp L running 1A
relay K make
charger CH supply 1 ground 2
resistor RS
terminal NEG
network N can members HEAT
B.- -> RS -> NEG
B.+ -> S.1
S.2 -> F1 -> HEAT.1
F1 -> KNOB.1
KNOB.2 -> HEAT.3
HEAT.2, CH.2, K.85 -> NEG
B.+ -> F2 -> L -> D.1
D.2 -> NEG
B.+ -> F3 -> CH.1
F3 -> E.1
E.2 -> K.86
switch E positions off, on closes 1 to 2 in on
"""

LATCHING = """\
platform "Latching"
battery B
fuse F1 5A, F2 10A, F3 10A
breaker Q1 40A
charger SOLAR supply 1 ground 2
relay K5 latching coil 3 to 5 reset 4 to 5 contact 1 to 2
relay K6 latching coil 3 to 5 reset 4 to 5 contact 1 to 2 rest 6
switch S positions off, on closes 1 to 2 in on
lamp L
B.+ -> F1 -> S.1, K6.1
S.2 -> K5.3
F1 -> K5.1
K5.2 -> L.1
K6.6 -> K6.3
K6.2 -> K6.4
B.+ -> Q1 -> F3 -> SOLAR.1
K5.5, K6.5, L.2, SOLAR.2, B.- -> case
"""

ODD_PLATFORM = """\
platform "Odd one" years 2001 supply 12V return body limit 50mA
option TOW "towing socket"
box CAB "box"
battery BAT 70Ah
fuse CAB.F22 20A mini, CAB.F31 10A mini, CAB.F50 15A
fuse CAB.F51 5A mini empty
bar CAB.B1 feeds CAB.F22, CAB.F31, CAB.F50, HOLD.30, KEEP.30, RACE1.86, RACE2.86
key IGN positions off, run
    closes 30 to 15 in run
relay BUZZ break
relay RACE1 break
relay RACE2 break
naming SP* splice
relay HOLD make
relay KEEP make
module HEATER "heater" supply A1 ground A12 wake A3 asleep 2mA copied "Older one"
module FAR "far" supply 1 ground 2 if TOW
network BODY can members HEATER
network OTHER can members FAR
gateway HEATER joins BODY, OTHER
lamp L1 running 2A
lamp L2 running 2A
sheet "1" "One"
BAT.+ -> CAB.B1 in RD 16mm2 named main code "30.1"
BAT.- -> G1
ground G1
CAB.F22 -> HEATER.A1 in RD 1mm2 copied "Older one"
HEATER.A12 -> G1
CAB.F31 -> FAR.1 in RD if TOW
CAB.F22, CAB.F31 -> SP1 -> L3
fuse CAB.F52 5A
CAB.F52 -> FAR.3
module WOKEN supply 1 ground 2 wake 3
CAB.F50 -> WOKEN.1
WOKEN.2 -> G1
IGN.15 -> WOKEN.3
lamp L3
L3 -> G1
lamp ROW1
lamp ROW2
CAB.F50 -> ROW1 -> ROW2 -> G1
network SISTER lin members HEATER, FAR copied "Older one"
CAB.B1 -> BUZZ.86
BUZZ.85 -> BUZZ.87a
BUZZ.30 -> G1
RACE1.85 -> RACE2.87a
RACE2.85 -> RACE1.87a
RACE1.30, RACE2.30 -> G1
CAB.B1 -> HOLD.86
HOLD.87 -> L1
HOLD.85 -> G1
CAB.B1 -> IGN.30
IGN.15 -> KEEP.86
KEEP.85 -> G1
KEEP.87 -> KEEP.86
KEEP.87 -> L2
HEATER.B1 -> ? "goes on"
IGN.15 -> HEATER.A3
CAB.F50 -> UNHEARD.1
output HEATER.C1 grounds
HEATRE.A2 -> G1
fuse CAB.F22 10A
battery SPARE 20Ah
SPARE.- -> G1
fuse CAB.F60 30A, CAB.F61 5A, CAB.F62 5A, CAB.F63 20A
bar CAB.B9 feeds CAB.F61, CAB.F62, CAB.F63
CAB.B1 -> CAB.F60 -> CAB.B9
relay JOIN make
CAB.F63 -> JOIN.30
JOIN.87 -> SPARE.+
IGN.15 -> JOIN.86
JOIN.85 -> G1
fuse CAB.F64 5A
module FROMFAR supply 1 ground 2
network LATE can members FROMFAR
? "from sheet 9" -> CAB.F64 -> FROMFAR.1
FROMFAR.2 -> G1
relay K9 make
switch HELPER positions off, on closes 1 to 2 in on
fuse CAB.F71 5A, CAB.F72 5A
lamp L71
lamp L72
CAB.B1 -> K9.30
K9.87 -> CAB.F71 -> L71.1
K9.87 -> CAB.F72 -> L72.1
L71.2, L72.2 -> G1
IGN.15 -> K9.86
K9.85 -> HELPER.1
HELPER.2 -> G1
nonsense here
"""


def documented() -> dict[str, set[Field]]:
    """Command -> fields; what stands for several fields (`<way>`, `<fed>`, ...) written out."""
    text = PAGE.read_text("utf-8")
    sections = re.split(r"^## ", text, flags=re.M)[1:]
    tables = {part.partition("\n")[0].strip(): re.findall(r"^\| `([^`]+)` \|", part, re.M) for part in sections}
    del tables["What changed"]
    shared = tables.pop("In every answer")
    groups: dict[str, list[str]] = {}
    begins = []
    for field in shared:
        name = re.match(r"<(way|fed|gap|net|read)>\.(.*)", field)
        if name:
            groups.setdefault(name[1], []).append(name[2])
        elif not field.startswith("error."):
            begins.append(field)
    found = {}
    for command, fields in tables.items():
        written = ["format_version"]
        if command not in NOT_ABOUT_ONE_CAR:
            written += [field for field in begins if field != "format_version"]
        for field in fields:
            written += written_out(field, groups)
        found[command] = {split(field) for field in written}
    return found


def written_out(field: str, groups: dict[str, list[str]]) -> list[str]:
    """The fields that one entry stands for: `a.<fed>` for all of a feed, and the gaps that it rests on."""
    name = re.fullmatch(r"(.*)\.?<(way|fed|gap|net|read)>", field)
    return [whole for inner in groups[name[2]] for whole in written_out(name[1] + inner, groups)] if name else [field]


def test_every_kind_of_what_is_not_known_is_on_the_page() -> None:
    text = PAGE.read_text("utf-8").partition("## What changed")[0]
    rows = re.findall(r"^\| `(?:<gap>|incomplete\[\])\.kind` \| (.*) \|$", text, re.M)
    told = set(re.findall(r"`([a-z ]+)`", " ".join(rows)))
    assert told == {*get_args(NotTyped), *get_args(NotRead)} - {"sheet not whole", "no wires here", "left out"}, (
        "two are of drawings only"
    )


def split(field: str) -> Field:
    """`a.b[].c` as (a, b, [], c)."""
    return tuple(re.findall(r"\[\]|[^.\[\]]+", field))


def leaves(value: Any, at: Field = ()) -> Iterator[tuple[Field, bool]]:
    """Every path to a value that is not a list or object; an empty value, or none, counts as unfilled."""
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            yield from leaves(inner, (*at, key))
    elif isinstance(value, list) and value:
        for inner in value:
            yield from leaves(inner, (*at, "[]"))
    else:
        yield at, value is not None and not isinstance(value, list | dict)


def fits(printed: Field, described: Field) -> bool:
    """Whether a printed path matches a described one, in which `<name>` is any name."""
    return len(printed) == len(described) and all(
        b == "<name>" or a == b for a, b in zip(printed, described, strict=True)
    )


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Any]]:
    """Command -> its answers to all questions."""
    import contextlib
    import io

    room = tmp_path_factory.mktemp("answers")
    (room / "odd").mkdir()
    (room / "odd" / "odd.circuit").write_text(ODD_PLATFORM, "utf-8")
    (room / "two").mkdir()
    (room / "two" / "two.circuit").write_text(TWO_BATTERIES, "utf-8")
    (room / "minus").mkdir()
    (room / "minus" / "minus.circuit").write_text(SWITCH_IN_THE_MINUS, "utf-8")
    (room / "lamps").mkdir()
    (room / "lamps" / "lamps.circuit").write_text(LAMPS, "utf-8")
    (room / "skiff").mkdir()
    (room / "skiff" / "skiff.circuit").write_text(SKIFF, "utf-8")
    (room / "left.yaml").write_text(LEFT_SO, "utf-8")
    (room / "turn.yaml").write_text(IN_TURN, "utf-8")
    (room / "one.yaml").write_text(ONE_OF_TWO, "utf-8")
    (room / "nothing.yaml").write_text(FITS_NOTHING, "utf-8")
    (room / "waits.yaml").write_text(STILL_WAITS, "utf-8")
    (room / "two.yaml").write_text(TWO_DRAWS, "utf-8")
    (room / "tipcart").mkdir()
    (room / "tipcart" / "t.circuit").write_text(TIPCART, "utf-8")
    (room / "float").mkdir()
    (room / "float" / "f.circuit").write_text(FLOAT, "utf-8")
    (room / "sleep.yaml").write_text(MAY_SLEEP, "utf-8")
    (room / "gritter").mkdir()
    (room / "gritter" / "g.circuit").write_text(GRITTER, "utf-8")
    (room / "reset.yaml").write_text(WAS_RESET, "utf-8")
    (room / "mower").mkdir()
    (room / "mower" / "m.circuit").write_text(MOWER, "utf-8")
    (room / "one_by_one.yaml").write_text(ONE_BY_ONE, "utf-8")
    (room / "latch").mkdir()
    (room / "latch" / "latch.circuit").write_text(LATCHING, "utf-8")
    (room / "handed").mkdir()
    (room / "handed" / "handed.circuit").write_text(GROUNDED, "utf-8")
    (room / "at").mkdir()
    (room / "at" / "at.circuit").write_text(AT, "utf-8")

    @cache
    def first_sheet(platform: str) -> str:
        from circuitmap.flows.questions import open_platform

        return next(iter(open_platform(SAMPLES / platform).sheets))

    def filled(words: list[str]) -> list[str]:
        platform = words[1]
        places = {
            "ODD": str(room / "odd"),
            "TWO": str(room / "two"),
            "LATCH": str(room / "latch"),
            "MINUS": str(room / "minus"),
            "LAMPS": str(room / "lamps"),
            "SKIFF": str(room / "skiff"),
            "LEFT": str(room / "left.yaml"),
            "IN_TURN": str(room / "turn.yaml"),
            "ONE_OF_TWO": str(room / "one.yaml"),
            "FITS_NOTHING": str(room / "nothing.yaml"),
            "STILL_WAITS": str(room / "waits.yaml"),
            "TWO_DRAWS": str(room / "two.yaml"),
            "TIPCART": str(room / "tipcart"),
            "FLOAT": str(room / "float"),
            "MAY_SLEEP": str(room / "sleep.yaml"),
            "GRITTER": str(room / "gritter"),
            "WAS_RESET": str(room / "reset.yaml"),
            "MOWER": str(room / "mower"),
            "ONE_BY_ONE": str(room / "one_by_one.yaml"),
            "HANDED": str(room / "handed"),
            "AT": str(room / "at"),
            "ANY": "",
            "OUT": "",
        }
        result = []
        for word in words:
            if word == "ANY":
                result.append(first_sheet(platform))
            elif word.startswith("CARD/"):
                result.append(word.replace("CARD", str(SAMPLES)))
            elif word.startswith("OUT"):
                result.append(str(room / word))
            elif (SAMPLES / word).is_dir() and word == platform:
                result.append(str(SAMPLES / word))
            else:
                result.append(places.get(word, word))
        return result

    found: dict[str, list[Any]] = {}
    for command, questions in QUESTIONS.items():
        for question in questions:
            printed = io.StringIO()
            with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(io.StringIO()):
                code = end_of(program, [*filled(shlex.split(question)), "--json"])
            assert code in (0, 1), (question, printed.getvalue())
            found.setdefault(command, []).append(json.loads(printed.getvalue()))
    return found


def not_described(command: str, answers: list[Any]) -> set[tuple[str, ...]]:
    """The fields of these answers that no row of the command's tables describes."""
    described = documented()[command]
    return {
        path
        for answer in answers
        for path, filled in leaves(answer)
        if not any(fits(path, field) or (not filled and fits(path, field[: len(path)])) for field in described)
    }


@pytest.mark.parametrize("command", QUESTIONS)
def test_every_field_is_described(command: str, answers: dict[str, list[Any]]) -> None:
    assert not not_described(command, answers[command])


@pytest.mark.parametrize("command", QUESTIONS)
def test_every_description_is_of_a_field(command: str, answers: dict[str, list[Any]]) -> None:
    printed = {path for answer in answers[command] for path, filled in leaves(answer) if filled}
    printed |= {("wake_lines", *path[1:]) for path in printed if path[0] == "networks"}  # one shape, two lists
    missing = {field for field in documented()[command] if not any(fits(path, field) for path in printed)}
    assert not missing - NEVER_FILLED


@pytest.mark.parametrize("command", QUESTIONS)
def test_the_version_comes_first(command: str, answers: dict[str, list[Any]]) -> None:
    for answer in answers[command]:
        assert next(iter(answer.items())) == ("format_version", FORMAT_VERSION)


def test_every_problem_has_a_page_that_explains() -> None:
    assert "missing-comma" in problem_codes()
