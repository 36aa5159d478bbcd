"""Four whole jobs with a night's log, by a stranger who knew neither the program nor its notation: the vehicle as its
tables say it, and the night as a recorder with a shunt would have written it. Vehicles and makes are invented.

    python -m tests.recording.whole_jobs FOLDER     writes the platforms, the logs and a card for each
"""

import sys
from pathlib import Path
from typing import NamedTuple

import numpy as np

SEED = 1503


class WholeJob(NamedTuple):
    """A vehicle in notation, its night as (seconds from locking, A, length in s) over a floor that is told, and what its
    owner says."""

    name: str
    platform: str
    locked: str
    seconds: int
    pieces: tuple[tuple[float, float, float], ...]
    battery: str
    complaint: str
    flat_after: str


# 300 s after A6 fell asleep, up for 40 s and 5 s of network, then the 30 s until A5 sleeps: as its table says.
VAN = """\
platform "Halmric Posk 2" supply 12V return body sleep 2min..10min limit 50mA
battery G1 80Ah
box BOX "fuse box"
fuse BOX.F1 10A, BOX.F2 20A, BOX.F3 10A, BOX.F4 15A, BOX.F5 10A, BOX.F6 10A
bar BOX.RAIL feeds BOX.F1, BOX.F2, BOX.F3, BOX.F4, BOX.F5, BOX.F6
module A1 "body controller" supply 1, 2 ground 3 sense 8 asleep 4mA awake 220mA
splice SP1
module A2 "instrument" supply 1 ground 2 asleep 3mA awake 150mA
module A3 "gateway" supply 1 ground 2 asleep 1mA awake 110mA
module A4 "lighting module" supply 1 ground 2 asleep 2mA awake 120mA run-on 20s
module A5 "heater control" supply 1 ground 2 asleep 2mA awake 90mA run-on 30s
module A6 "rear door module" supply 1 ground 2 wake 5 by opening asleep 2mA awake 100mA wakes every 345s for 45s..75s
switch S1 "driver's door contact" positions shut, open closes 1 to 2 in open
switch S5 "rear latch contact" positions latched, open closes 1 to 2 in latched
connector X1 "door flex"
ground GND1, GND2, GND3
network N1 can members A1, A2, A3, A6 run-on 5s
network N2 can members A3, A4, A5
gateway A3 joins N1, N2 passes N1 to N2
G1.+ -> BOX.RAIL in RD 16
G1.- -> GND1 in BK 25
BOX.F1 -> A1.1 in RD 0.75
BOX.F2 -> A1.2 in RD 2.5
BOX.F3 -> SP1 in RD 0.75
SP1 -> A2.1 in RD 0.5
SP1 -> A3.1 in RD 0.5
BOX.F4 -> A4.1 in RD 1.5
BOX.F5 -> A5.1 in RD 0.75
BOX.F6 -> X1.1 -> A6.1 in RD 0.75
A6.2 -> X1.2 -> GND3 in BK 1.0
A6.5 -> S5.1 in WH 0.35
S5.2 -> X1.3 -> GND3 in BK 0.5
A1.8 -> S1.1 in WH 0.35
S1.2 -> GND2
A1.3 -> GND2 in BK 1.5
A2.2 -> GND2
A3.2 -> GND2 in BK 0.75
A4.2 -> GND2
A5.2 -> GND2 in BK 1.5
"""

COOLED = """\
platform "Sorvane Brill 35" supply 12V return body sleep 10min..15min limit 50mA
battery G1 100Ah
box BOX "fuse box"
fuse BOX.F1 10A, BOX.F2 20A, BOX.F3 15A, BOX.F4 10A, BOX.F5 20A, BOX.F6 10A, BOX.F7 15A
bar BOX.RAIL feeds BOX.F1, BOX.F2, BOX.F3, BOX.F4, BOX.F5, BOX.F6, BOX.F7
module A1 "body controller" supply 1, 3 ground 2 asleep 5mA awake 260mA run-on 3min
module A2 "cooling controller" supply 1 ground 2 asleep 6mA awake 180mA run-on 10min
module A3 "lock receiver" supply 1 ground 2 asleep 8mA awake 8mA
module A4 "engine control" supply 1 ground 2 asleep 2mA awake 600mA run-on 40s
splice SP2
heater E5 "door-frame heater" running 4.1A
motor M5 "box fan" running 4.2A
lamp E7 "load-space lamps" running 3.5A
switch S6 "load-space lamp switch" positions off, on closes 1 to 2 in on
switch S8 "frame thermostat" positions warm, cold closes 1 to 2 in cold
relay K4 "door-frame heater relay" make
relay K5 "box fan relay" make
alternator G3
connector X4 "rear frame"
ground GND1, GND2, GND4
network N1 can members A1, A2
output A2.9 feeds
G1.+ -> BOX.RAIL in RD 25
G1.+ -> G3.B+ in RD 25
G1.- -> GND1 in BK 25
BOX.F7 -> K4.30 in RD 1.5
K4.87 -> X4.1 -> S8.1 in RD 1.5
S8.2 -> E5.1 in RD 1.5
E5.2 -> GND4 in BK 1.5
G3.D+ -> SP2 in BU 0.75
SP2 -> K4.86 in BU 0.75
K4.85 -> GND2 in BK 0.75
BOX.F5 -> K5.30 in RD 2.5
K5.87 -> M5.1 in RD 2.5
M5.2 -> GND4 in BK 2.5
A2.9 -> K5.86 in WH 0.5
K5.85 -> GND2
BOX.F6 -> S6.1 in RD 1.0
S6.2 -> X4.2 -> E7.1 in RD 1.0
E7.2 -> GND4 in BK 1.0
BOX.F4 -> A2.1 in RD 0.75
A2.2 -> GND2
BOX.F1 -> A1.1
BOX.F1 -> A3.1 in RD 0.75
A1.2 -> GND2
A3.2 -> GND2
BOX.F3 -> A4.1 in RD 1.5
A4.2 -> GND2
BOX.F2 -> A1.3
"""

BUS = """\
platform "Quell Amso 9" supply 12V return body sleep 5min..13min limit 50mA
battery G1 90Ah
box BOX "fuse box"
fuse BOX.F1 10A, BOX.F2 10A, BOX.F5 15A, BOX.F6 5A, BOX.F7 30A
bar BOX.RAIL feeds BOX.F1, BOX.F2, BOX.F5, BOX.F6, BOX.F7
module A1 "body controller" supply 1 ground 2 asleep 6mA awake 240mA run-on 5min
module A2 "heater control" supply 1 ground 2 asleep 3mA awake 110mA
module A3 "lock receiver" supply 1 ground 2 asleep 10mA awake 10mA
motor M2 "fan of the water heater in the saloon" running 2.4A
motor M1 "dash fan" running 3A..18A
switch S7 "bimetal contact on the core" positions cold, hot closes 1 to 2 in hot
relay K3 "saloon fan relay" make
splice SP1
solenoid Y4 "water valve"
ground GND1, GND2
network N1 can members A1, A2
output A2.7 feeds
output A2.9 feeds
G1.+ -> BOX.RAIL in RD 25
G1.- -> GND1 in BK 25
BOX.F5 -> K3.30 in RD 2.5
K3.87 -> M2.1 in RD 2.5
M2.2 -> GND2 in BK 2.5
BOX.F6 -> S7.1 in RD 0.75
S7.2 -> SP1 in RD 0.75
SP1 -> K3.86 in RD 0.75
K3.85 -> GND2 in BK 0.75
A2.7 -> SP1 in WH 0.75
A2.9 -> Y4.1
Y4.2 -> GND2
BOX.F1 -> A1.1
BOX.F1 -> A3.1 in RD 0.75
BOX.F2 -> A2.1 in RD 0.75
A1.2 -> GND2
A2.2 -> GND2
A3.2 -> GND2
BOX.F7 -> M1.1 in RD 4
M1.2 -> ? "to the fan switch, key on only"
"""

WORKSHOP = """\
platform "Ninfra Toll 4" supply 12V return body sleep 120min..135min limit 35mA
battery G1 60Ah
box BOX "fuse box"
fuse BOX.F1 10A, BOX.F2 15A, BOX.F3 10A, BOX.F4 20A
bar BOX.RAIL feeds BOX.F1, BOX.F2, BOX.F3, BOX.F4
module A1 "body controller" supply 1 ground 2 asleep 5mA awake 230mA
module A2 "engine control" supply 1 ground 2 asleep 2mA awake 650mA run-on 30s
module A3 "cold-box monitor" supply 1 ground 2 asleep 4mA awake 85mA run-on 20min wakes every 3620s for 20s
module A4 "lock receiver" supply 1 ground 2 asleep 12mA awake 30mA run-on 2h
charger A5 "mains charger" supply 1 ground 2 asleep 3mA
ground GND1, GND2, GND3
network N1 can members A1, A3, A4
G1.+ -> BOX.RAIL in RD 16
G1.- -> GND1 in BK 25
BOX.F1 -> A1.1
BOX.F1 -> A4.1 in RD 0.75
BOX.F2 -> A2.1 in RD 1.5
BOX.F3 -> A3.1 in RD 0.75
BOX.F4 -> A5.1 in RD 2.5
A1.2 -> GND2
A4.2 -> GND2 in BK 1.0
A2.2 -> GND2
A3.2 -> GND3
A5.2 -> GND3 in BK 2.5
"""


def _waking_van() -> tuple[tuple[float, float, float], ...]:
    pieces = [(0.0, 0.790, 95.0), (95.0, 0.220, 20.0), (115.0, 0.102, 10.0), (125.0, 0.014, 270.0)]
    for number in range(104):
        at = 395.0 + 345.0 * number
        pieces += [(at, 0.790, 45.0), (at + 45, 0.220, 20.0), (at + 65, 0.102, 10.0), (at + 75, 0.014, 270.0)]
    return tuple(pieces)


def _sound_van() -> tuple[tuple[float, float, float], ...]:
    pieces = [(0.0, 0.998, 30.0), (30.0, 0.350, 1175.0), (1205.0, 0.044, 5995.0), (7200.0, 0.026, 28_800.0)]
    clock = (4805, 8425, 12_045, 15_665, 19_285, 22_905, 29_715, 33_335)
    pieces += [(float(at), (0.044 if at < 7200 else 0.026) + 0.081, 20.0) for at in clock]
    return (*pieces, (26_070.0, 0.026 + 0.332, 45.0))


JOBS = (
    WholeJob(
        "waking", VAN, "2031-03-04 20:00:00", 36_000, _waking_van(), "80Ah", "flat after eight to nine days", "8..9 days"
    ),
    WholeJob(
        "late", COOLED, "2031-01-14 21:10:00", 33_600,
        ((0.0, 1.048, 40.0), (40.0, 0.450, 565.0), (605.0, 0.021, 3720.0), (4325.0, 4.07, 29_275.0)),
        "100Ah", "does not start after cold nights", "1 night",
    ),
    WholeJob(
        "fan", BUS, "2031-02-02 19:30:00", 39_600,
        ((0.0, 2.91, 305.0), (305.0, 2.57, 12_775.0), (13_080.0, 0.019, 26_520.0)),
        "90Ah", "slow cranking in the morning after long trips", "",
    ),
    WholeJob("sound", WORKSHOP, "2031-01-20 19:00:00", 36_000, _sound_van(), "60Ah", "flat after five weeks", "5 weeks"),
)  # fmt: skip


def amps_of(job: WholeJob) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    """One mean a second: the pieces, later ones over earlier ones, with a shunt's noise, to the milliampere. The cooled
    van's heater falls with the battery's volts, and so does the bus's fan."""
    random = np.random.RandomState(SEED)
    row = np.zeros(job.seconds)
    for at, amps, lasts in job.pieces:
        row[int(at) : int(at + lasts)] = amps
    if job.name == "late":
        row[4325:] = np.linspace(4.07, 3.94, job.seconds - 4325)
    if job.name == "fan":
        row[305:13_080] = np.linspace(2.57, 2.54, 12_775)
    return np.round(row * (1 + random.normal(0, 0.0005, job.seconds)) + random.normal(0, 0.001, job.seconds), 3)


def csv_of(job: WholeJob) -> str:
    start = np.datetime64(job.locked.replace(" ", "T"))
    stamps = (start + np.arange(job.seconds)).astype(str)
    rows = "\n".join(f"{stamp.replace('T', ' ')},{amps:.3f}" for stamp, amps in zip(stamps, amps_of(job), strict=True))
    return f"zero before: 0.000 A\nzero after: 0.000 A\ntime,total (A)\n{rows}\n"


def write_job(job: WholeJob, folder: Path) -> Path:
    """The platform, the log beside where its card will be; the folder of the platform."""
    platform = folder / job.name
    platform.mkdir(parents=True, exist_ok=True)
    (platform / "platform.circuit").write_text(job.platform)
    (folder / f"{job.name}.csv").write_text(csv_of(job))
    return platform


if __name__ == "__main__":
    for one in JOBS:
        print(write_job(one, Path(sys.argv[1])))
