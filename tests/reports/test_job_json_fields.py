"""The fields of the answers about jobs, the shelf and changes: all of them are described, and all that are described
are printed."""

import contextlib
import io
import json
from typing import Any

import pytest

from circuitmap.cli.ending import end_of
from circuitmap.cli.main import program
from tests.diagnosis.test_two_batteries_joined import SKIFF
from tests.jobs.test_clock_after_mending import CLOCKED, MENDED, night
from tests.jobs.test_events_without_it import CAME
from tests.reports.test_json_fields import SAMPLES, documented, fits, leaves, not_described

VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F22 20A mini
module LIFT "lift" supply 1 ground 2 awake 60mA..120mA wakes every 2h for 60s number "L-1"
lamp SECOND, THIRD
CAB.F22 feeds SECOND, THIRD
switch SW positions off, on closes 1 to 2 in on
"""
JOB = """\
job: "7"
platform: van
flat-after: 2 days
entries:
  - {at: 10:00, state: locked, meter: low-current clamp}
  - {at: 10:05, total: 3.1A, nonsense: x}
  - {at: 10:50, read: {F22: 0.46A}, total: 0.470A, codes: [U0140 stored LIFT]}
  - {at: 11:00, out: [LIFT]}
  - {at: 11:05, total: 0.47A}
  - {at: 11:30, read: {F22: 0.00A}, total: 0.040A}
  - {at: 11:31, back: [LIFT]}
  - {at: 12:00, total: 0.465A}
  - {at: 12:10, tested: {LIFT ground: 0.6V}, volts: {LIFT.1: 12.4V}}
  - {at: 12:15, in-slot: {F22: 20A mini}}
  - {at: 12:20, cause: LIFT}
  - {at: 12:25, claim: "another workshop: F22 draws 9 A, renew LIFT"}
  - {at: 12:30, mended: new controller}
  - {at: 12:31, total: 9A, struck: wrong van}
  - {at: 23:50, log: {floor: 0.03A, peak: 0.1A, mean: 0.04A, for: 9h}}
  - {at: 23:55, claim: "LIFT takes 90 A by F22"}
"""
SHARES = """\
job: "15"
platform: van
entries:
  - {at: 10:00, state: locked, meter: low-current clamp}
  - {at: 10:50, total: 0.47A}
  - {at: 11:00, out: [LIFT]}
  - {at: 11:40, total: 0.20A}
  - {at: 11:45, out: [SECOND]}
  - {at: 12:20, total: 0.03A}
  - {at: 12:25, back: [LIFT]}
  - {at: 13:00, total: 0.30A}
"""
QUIET = f"""\
job: "21"
platform: {SAMPLES}/van
entries:
  - {{at: 08:00, state: locked}}
  - {{at: 09:00, read: {{F90: 0.0mV, F91: 0.0mV, F92: 0.0mV, F93: 0.0mV}}}}
"""
WORN = """\
job: "19"
platform: van
entries:
  - {at: "2026-11-24 10:00", state: charger on}
  - {at: "2026-11-24 20:00", state: charger off}
  - {at: "2026-11-24 23:00", battery: {rest: 12.1V}}
  - {at: "2026-11-25 09:00", battery: {rest: 12.0V}}
"""
AGAIN_TOO_EARLY = """\
job: "17"
platform: van
entries:
  - {at: 10:00, state: locked, meter: low-current clamp}
  - {at: 10:50, total: 0.47A}
  - {at: 11:00, out: [LIFT]}
  - {at: 11:40, total: 0.03A}
  - {at: 11:45, back: [LIFT], change: again}
"""
COARSE = """\
job: "16"
platform: van
entries:
  - {at: 10:00, state: locked, meter: clamp, resolution: 100mA}
  - {at: 10:50, total: 2.5A}
  - {at: 11:00, mended: new controller}
  - {at: 11:05, state: locked}
  - {at: 12:00, total: 0.0A}
"""
STILL_DEAD = """\
job: "9"
platform: van
entries:
  - {at: 10:00, dead: [LIFT@SW=on, SECOND@SW=on], works: [THIRD]}
  - {at: 10:30, mended: new plug}
  - {at: 10:35, dead: [LIFT]}
"""
BLOWS = """\
job: "14"
platform: van
entries:
  - {at: 10:00, dead: [F22@SW=on], works: [F22@SW=off]}
"""
HALF_MENDED = """\
job: "18"
platform: van
flat-after: 2 days
battery: 72Ah
entries:
  - {at: 10:00, state: locked, meter: low-current clamp}
  - {at: 10:05, total: 3.1A}
  - {at: 10:06, out: [F22]}
  - {at: 10:07, total: 3.1A}
  - {at: 10:08, back: [F22], works: [THIRD]}
  - {at: 11:30, total: 3.0A, read: {F22: 0.0mV}}
  - {at: 11:40, out: [LIFT]}
  - {at: 12:30, total: 1.0A}
  - {at: 12:40, back: [LIFT]}
  - {at: 13:30, total: 3.0A}
  - {at: 13:40, cause: LIFT, mended: new controller, works: [THIRD]}
  - {at: 13:42, dead: [SECOND]}
  - {at: 13:45, state: locked}
  - {at: 14:50, total: 1.0A, steady: yes}
"""
CONTACT = """\
job: "10"
platform: van
entries:
  - {at: 10:00, state: locked, meter: low-current clamp}
  - {at: 10:50, total: 0.47A, found: {SECOND: warm}}
  - {at: 11:00, out: [F22]}
  - {at: 11:40, total: 0.04A}
  - {at: 12:00, back: [F22], cause: SECOND, mended: new lamp}
  - {at: 12:01, state: locked}
  - {at: 13:20, total: 0.03A}
"""
NEW_BATTERY = """\
job: "11"
platform: van
entries:
  - {at: 10:00, state: locked}
  - {at: 10:50, total: 0.04A, battery: {test: bad}}
  - {at: 12:00, mended: new battery}
"""
CHARGING = """\
job: "16"
platform: van
entries:
  - {at: 10:00, state: locked}
  - {at: 10:50, total: 0.04A, battery: {charging: 12.2V}}
  - {at: 12:00, cause: "worn brushes; kind charging", mended: new brushes}
"""
RENEWED = """\
job: "12"
platform: van
entries:
  - {at: 10:00, state: locked}
  - {at: 11:00, added: {COOLER: F22}, out: [LIFT, COOLER]}
  - {at: 12:00, mended: "new LIFT, COOLER taken away for good"}
  - {at: 22:20, log: {floor: 0.03A, peak: 0.12A, mean: 0.03A, period: 2h, for: 9h}}
"""
SWITCHED_ON = """\
job: "13"
platform: skiff
entries:
  - {at: 10:00, stands: {ICE: "on"}}
  - {at: 10:01, state: locked}
  - {at: 11:00, read: {SB: 0.01A, HB: 4.05A}}
"""
STAYS = """\
job: "12"
platform: van
entries:
  - {at: 10:00, state: locked, added: {COOLER: F22 600mA}}
  - {at: 10:50, total: 0.60A, steady: yes}
"""
EARLY = """\
job: "8"
platform: van
entries:
  - {at: 10:00, state: locked}
  - {at: 10:50, total: 0.47A, steady: yes}
  - {at: 10:55, total: 0.20A, steady: yes, found: {F22: chafed}, remark: somebody turned something off}
  - {at: 11:00, out: [LIFT]}
  - {at: 11:05, total: 0.47A}
  - {at: 11:40, back: [LIFT], found: {LIFT: warm}, battery: {rest: 12.4V, charging: 14.1V, test: bad}}
  - {at: 12:30, added: {COOLER: F22}, own-battery: [COOLER]}
  - {at: 12:40, out: [F22], change: gone}
  - {at: 12:45, back: [F22]}
  - {at: 13:40, turned: {SW: "off"}, total: 0.04A}
  - {at: 13:45, out: [LIFT]}
"""


ITS_PEAKS = "job: 15\nplatform: reefer\nentries:\n" + "".join(f"  - {{{its}}}\n" for its in (*CAME, *MENDED, night()))
ITS_CLOCK = f"""\
job: "14"
platform: {SAMPLES / "van"}
fitted: [TOW]
entries:
  - {{at: "2026-11-03 18:00", state: locked, meter: low current clamp, resolution: 1mA, zeroed: yes}}
  - {{at: "2026-11-04 07:00", log: {{floor: 33mA, mean: 34mA, peak: 121mA, period: 2h, lasts: 75s, for: 12h}}}}
  - {{at: "2026-11-04 07:10", out: [REAR.F71]}}
  - {{at: "2026-11-04 13:40", log: {{floor: 31mA, mean: 31mA, peak: 32mA, for: 6.2h}}}}
  - {{at: "2026-11-04 13:45", back: [REAR.F71]}}
  - {{at: "2026-11-04 20:45", log: {{floor: 33mA, mean: 34mA, peak: 121mA, period: 2h, lasts: 75s, for: 6.5h}}}}
"""
TWO_BATTERIES = f"""\
job: "13"
platform: {SAMPLES / "motorhome"}
entries:
  - {{at: 10:00, state: locked}}
  - {{at: 11:00, read: {{BAT: 0.40A, LEIS: 0.30A}}}}
"""


def asked(*words: object) -> Any:
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed), contextlib.redirect_stderr(io.StringIO()):
        code = end_of(program, [*map(str, words), "--json"])
    assert code in (0, 1), printed.getvalue()
    return json.loads(printed.getvalue())


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[Any]]:
    shop = tmp_path_factory.mktemp("shop")
    for folder in ("van", "other"):
        (shop / folder).mkdir()
        (shop / folder / "v.circuit").write_text(VAN, "utf-8")
    (shop / "other" / "v.circuit").write_text(VAN.replace("20A", "25A") + "module NEW\n", "utf-8")
    (shop / "van" / "v (conflicted).circuit").write_text("x", "utf-8")
    (shop / "reefer").mkdir()
    (shop / "reefer" / "r.circuit").write_text(CLOCKED, "utf-8")
    (shop / "peaks.yaml").write_text(ITS_PEAKS, "utf-8")
    (shop / "skiff").mkdir()
    (shop / "skiff" / "s.circuit").write_text(SKIFF, "utf-8")
    (shop / "blows.yaml").write_text(BLOWS, "utf-8")
    (shop / "charging.yaml").write_text(CHARGING, "utf-8")
    (shop / "shares.yaml").write_text(SHARES, "utf-8")
    (shop / "quiet.yaml").write_text(QUIET, "utf-8")
    (shop / "coarse.yaml").write_text(COARSE, "utf-8")
    (shop / "again.yaml").write_text(AGAIN_TOO_EARLY, "utf-8")
    (shop / "on.yaml").write_text(SWITCHED_ON, "utf-8")
    (shop / "job.yaml").write_text(JOB, "utf-8")
    (shop / "early.yaml").write_text(EARLY, "utf-8")
    (shop / "leaks.yaml").write_text(WORN, "utf-8")
    (shop / "worn.yaml").write_text(WORN.replace("rest: 12.1V", "test: bad"), "utf-8")
    (shop / "stays.yaml").write_text(STAYS, "utf-8")
    (shop / "dead.yaml").write_text(STILL_DEAD, "utf-8")
    (shop / "half.yaml").write_text(HALF_MENDED, "utf-8")
    (shop / "contact.yaml").write_text(CONTACT, "utf-8")
    (shop / "renewed.yaml").write_text(RENEWED, "utf-8")
    (shop / "two.yaml").write_text(TWO_BATTERIES, "utf-8")
    (shop / "clock.yaml").write_text(ITS_CLOCK, "utf-8")
    (shop / "battery.yaml").write_text(NEW_BATTERY, "utf-8")
    (shop / "read.yaml").write_text(JOB.replace(", nonsense: x", ""), "utf-8")
    (shop / "whose.yaml").write_text("job: 9\nplatform: van\ncustomer: Ada Quill\ncomplaint: Ada rang\n", "utf-8")
    (shop / "broken.yaml").write_text("job: [", "utf-8")
    (shop / "lines").write_text("f22 lift.1 rd 1\nf22 lift.1 bu 1\n", "utf-8")
    (shop / "chart").write_text("Fuse;A\nF1;10\nF2;5\n", "utf-8")
    (shop / "wires").write_text("From;To\nBAT.+;F1\nBAT.+;F1\n", "utf-8")
    (shop / "unclear").write_text("f22 lift.c1 rd 1\n", "utf-8")
    for name, look in (("base", ""), ("ours", " : RD"), ("theirs", " : BU")):
        (shop / name).write_text(f"A -> B{look}\n", "utf-8")
    return {
        "card": [
            asked("card", "new", shop / "van", shop / "new.yaml"),
            asked("card", "show", shop / "job.yaml"),
            asked("card", "show", shop / "read.yaml"),
            asked("card", "show", shop / "early.yaml"),
            asked("card", "show", shop / "stays.yaml"),
            asked("card", "show", shop / "quiet.yaml"),
            asked("card", "show", shop / "dead.yaml"),
            asked("card", "show", shop / "half.yaml"),
            asked("card", "show", shop / "contact.yaml"),
            asked("card", "show", shop / "battery.yaml"),
            asked("card", "show", shop / "leaks.yaml"),
            asked("card", "show", shop / "worn.yaml"),
            asked("card", "show", shop / "two.yaml"),
            asked("card", "show", shop / "clock.yaml"),
            asked("card", "show", shop / "peaks.yaml"),
            asked("card", "show", shop / "renewed.yaml"),
            asked("card", "show", shop / "on.yaml"),
            asked("card", "show", shop / "blows.yaml"),
            asked("card", "show", shop / "shares.yaml"),
            asked("card", "show", shop / "charging.yaml"),
            asked("card", "show", shop / "coarse.yaml"),
            asked("card", "show", shop / "again.yaml"),
            *(
                asked("card", "show", SAMPLES / "van" / "jobs" / f"{number}.yaml")
                for number in ("0431", "0432", "0434")
            ),
        ],
        "report": [asked("report", shop / "early.yaml", "-o", shop / "r.md")],
        "share": [
            asked("share", shop / "van", "-o", shop / "s.html"),
            asked("share", shop / "whose.yaml", "-o", shop / "w.html"),
        ],
        "library": [asked("library", shop, "--find", "lift"), asked("library", shop)],
        "diff": [asked("diff", shop / "van", shop / "other"), asked("diff", SAMPLES / "van", shop / "van")],
        "transcribe": [
            asked("transcribe", "lines", shop / "other", shop / "lines", "--sheet", "1", "--title", "One"),
            asked("transcribe", "template"),
            asked("transcribe", "template", "relay", "K4"),
            asked("transcribe", "sister", shop / "other", shop / "sister", "--name", "Third"),
            asked("transcribe", "checked", shop / "sister"),
            asked("transcribe", "lines", shop / "other", shop / "lines", "--sheet", "3", "--title", "Three"),
            asked("transcribe", "checked", shop / "sister", "--sister", shop / "other"),
            asked("transcribe", "table", shop / "other", shop / "chart", "--sheet", "1"),
            asked("transcribe", "table", shop / "other", shop / "wires", "--sheet", "1", "--columns", "from,to"),
            asked("transcribe", "lines", shop / "other", shop / "unclear", "--sheet", "2", "--title", "Two"),
        ],
        "merge": [asked("merge", shop / "base", shop / "ours", shop / "theirs")],
    }


COMMANDS = ("card", "report", "share", "library", "diff", "merge", "transcribe")


@pytest.mark.parametrize("command", COMMANDS)
def test_every_field_is_described(command: str, answers: dict[str, list[Any]]) -> None:
    assert not not_described(command, answers[command])


@pytest.mark.parametrize("command", COMMANDS)
def test_every_description_is_of_a_field(command: str, answers: dict[str, list[Any]]) -> None:
    printed = {path for answer in answers[command] for path, _ in leaves(answer)}
    missing = {field for field in documented()[command] if not any(fits(path, field) for path in printed)}
    missing -= {("found", "[]", "trouble"), ("unreadable", "[]")}  # as root, no folder is unreadable
    assert not missing
