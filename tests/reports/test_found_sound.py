"""What was tried and is sound is told to the customer; what was found, or is still in question, is not."""

import pytest

from circuitmap.jobs.job import Job
from circuitmap.reports.pages.found_sound import sound_parts
from circuitmap.reports.pages.report import report_of
from circuitmap.wiring.platform import Platform
from tests.diagnosis.test_answers import circuit_from
from tests.jobs.test_out_over_a_use import job

TUG: Platform = circuit_from("""\
platform "Hollin tug" supply 12V return body sleep 10min..15min limit 30mA
battery BAT 60Ah
fuse F1 10A mini "work lamp", F2 10A mini "controls"
module LIFT "lift control" supply 1 ground 2 asleep 2mA awake 360mA
module LOCKS "locking controller" supply 1 ground 2 asleep 2mA awake 70mA
lamp WORK "work lamp" running 20W
BAT.- -> case
BAT.+ -> F1 -> WORK -> case
BAT.+ -> F2 -> LIFT.1
F2 -> LOCKS.1
LIFT.2, LOCKS.2 -> case
""").platform
CAME = (
    'at: "08:00", state: locked, meter: clamp, resolution: 10mA, zeroed: yes',
    'at: "08:40", total: 0.36A, steady: yes',
)
F1_OUT = ('at: "08:50", out: [F1]', 'at: "09:10", total: 0.36A, steady: yes', 'at: "09:12", back: [F1]')
LOCKS_OUT = ('at: "09:20", out: [LOCKS]', 'at: "09:40", total: 0.36A, steady: yes', 'at: "09:42", back: [LOCKS]')
LIFT_OUT = ('at: "09:50", out: [LIFT]', 'at: "10:10", total: 0.00A, steady: yes')
MENDED = ('at: "10:20", cause: "LIFT, does not sleep", mended: LIFT renewed', 'at: "10:30", state: locked')
OTHER = 'at: "10:20", cause: "LOCKS, does not sleep", mended: LOCKS renewed'


@pytest.mark.parametrize(
    ("entries", "sound"),
    [
        ((*F1_OUT, *LOCKS_OUT, *LIFT_OUT, *MENDED), ("F1", "LOCKS")),
        ((*LOCKS_OUT, *LIFT_OUT), ("LOCKS",)),
        ((*LOCKS_OUT, *LIFT_OUT, OTHER), ()),  # that is the cause by the card
        (LIFT_OUT, ()),
        (('at: "08:50", out: [LOCKS]', 'at: "08:52", total: 0.36A'), ()),  # read too early
    ],
)  # fmt: skip
def test_what_was_tried_and_goes_on_drawing_without_it(entries: tuple[str, ...], sound: tuple[str, ...]) -> None:
    found: Job = job(TUG, *CAME, *entries)
    assert sound_parts(found) == sound
    told = [said for section in report_of(found).customer for said in section.sentences]
    its = [said for said in told if said.startswith("We also tried")]
    assert bool(its) == bool(sound)
    if "F1" in sound:
        assert its == [
            "We also tried what hangs on the fuse F1 (work lamp) and the locking controller (LOCKS): "
            "the fault is not there."
        ]
