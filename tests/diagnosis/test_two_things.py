"""Two things at once: both are named, and the steps go to both."""

from circuitmap.reports.suspects.proving import to_mend
from circuitmap.reports.suspects.suspects_text import suspects_text
from tests.diagnosis.test_answers import asked, circuit_from, section_of

BOX_VAN = """\
platform "Sallow Finch 20 box van" supply 12V return body sleep 5min limit 40mA
battery BAT 80Ah
key IGN positions off, run closes 30 to 15 in run
box BX "fuse box" at "behind the seat" reach 3min
fuse BX.F1 10A mini, BX.F2 10A mini, BX.F3 10A mini, BX.F4 10A mini
bar BX.B1 feeds BX.F1..F4
module DOORM "door control" supply 1 ground 2 wake 3 by ground wake 4 by ground asleep 1mA awake 150mA reach 8min
module HTRC "heater control" supply 1 ground 2 asleep 1mA awake 90mA at "under the bench" reach 12min
module CLIM "climate panel" supply 1 ground 2 asleep 1mA awake 70mA at "dash" reach 12min
switch SLIDE "side door contact" positions shut, open closes 1 to case in open at "side door" reach 3min
switch REAR "rear door contact" positions shut, open closes 1 to case in open at "rear door" reach 4min
switch SHELF "shelf lamp switch" positions off, on closes 1 to 2 in on at "load room" reach 2min
lamp E7 "shelf lamp" running 420mA led at "load room" reach 2min
network LINK can members DOORM (5, 6), HTRC (5, 6), CLIM (5, 6)
sheet "1"
BAT.+ -> BX.B1
BX.F1 -> DOORM.1
BX.F2 -> HTRC.1
BX.F4 -> CLIM.1
BX.F3 -> SHELF.1
SHELF.2 -> E7 -> case
DOORM.2, HTRC.2, CLIM.2 -> case
SLIDE.1 -> DOORM.3
REAR.1 -> DOORM.4
BAT.- -> case
"""
READ = ("BAT=0.73A", "BX.F1=0.15A", "BX.F2=0.09A", "BX.F3=0.42A", "BX.F4=0.07A")


def test_the_first_line_names_both_and_the_network_is_told_with_what_can_hold_it() -> None:
    its = circuit_from(BOX_VAN)
    text = suspects_text(its.platform, asked(its, *READ, networks=("LINK=2.5V",), meter="low-current-clamp"))
    assert section_of(text, "LOOK AT").startswith("LOOK AT two things at once: SHELF and the network LINK.")
    assert "the network LINK: one of its 3 members" in section_of(text, "MAY BE")
    assert section_of(text, "HELD BY").startswith("HELD BY REAR and SLIDE (or the wire of one)")
    assert "CLIM" in section_of(text, "OR ELSE")  # no member leads, so none is named as the second thing


def test_live_data_that_name_the_second_thing_are_a_step_beside_the_first() -> None:
    """Whatever they show, the lamp's switch stays the first thing: they tell the other one."""
    its = circuit_from(BOX_VAN)
    found = asked(its, *READ, networks=("LINK=2.5V",), meter="low-current-clamp")
    steps = {test.action.doing: test for test in found.tests.choices}
    assert {"unplug", "inputs"} <= set(steps)
    text = suspects_text(its.platform, found)
    assert "a wrong input (5 in 10) then that input, by its switch or its wire" in " ".join(text.split())


LOCKERS = """\
platform "Sallow Finch 22 carrier" supply 12V return body sleep 5min limit 40mA
battery BAT 100Ah
box BX "fuse box" at "behind the seat" reach 3min
fuse BX.F1 10A mini, BX.F2 5A mini, BX.F3 10A mini
bar BX.B1 feeds BX.F1..F3
relay K5 "locker lamps" make running 160mA
switch SH1 "shutter 1" positions shut, open closes 1 to 2 in open reach 10min
switch SH2 "shutter 2" positions shut, open closes 1 to 2 in open reach 10min
switch SH3 "shutter 3" positions shut, open closes 1 to 2 in open reach 10min
lamp E1 "locker lamps" running 1.3A led
switch SHELF "shelf lamp switch" positions off, on closes 1 to 2 in on reach 2min
lamp E7 "shelf lamp" running 420mA led
splice SP1
sheet "1"
BAT.+ -> BX.B1
BX.F1 -> K5.30
K5.87 -> E1 -> case
BX.F2 -> K5.86
K5.85 -> SP1
SP1 -> SH1.1
SP1 -> SH2.1
SP1 -> SH3.1
SH1.2, SH2.2, SH3.2 -> case
BX.F3 -> SHELF.1
SHELF.2 -> E7 -> case
BAT.- -> case
"""


def test_what_is_level_with_one_of_two_is_told_as_level() -> None:
    """Three shutters may hold the relay: no line names one of them as the second thing."""
    its = circuit_from(LOCKERS)
    read = ("BAT=1.88A", "BX.F1=1.30A", "BX.F2=0.16A", "BX.F3=0.42A")
    text = suspects_text(its.platform, asked(its, *read, meter="low-current-clamp"))
    head = section_of(text, "LOOK AT")
    assert head.startswith("LOOK AT two things at once:") and "what holds K5" in head and "SH1" not in head
    told = section_of(text, "MAY BE")
    assert told.count("one of these 4, can't be told apart yet: SH1, SH2, SH3 and control wire of K5") == 1
    assert all(text.partition("WHY")[0].count(name) == 1 for name in ("SH1", "SH2", "SH3"))


CAB = "".join(
    f'fuse BY.F{n} 10A mini\nload RAD{n} "radio {n}" supply 1 ground 2 asleep 4mA running 300mA\n' for n in range(4, 10)
)
FEEDERS = LOCKERS.replace(
    'sheet "1"\nBAT.+ -> BX.B1',
    f'box PRE "carrier"\nfuse PRE.F1 60A bolted, PRE.F2 60A bolted\nbox BY "cab box"\n{CAB}bar BY.B1 feeds BY.F4..F9\n'
    'sheet "1"\nBAT.+ -> PRE.F1 -> BX.B1\nBAT.+ -> PRE.F2 -> BY.B1',
) + "".join(f"BY.F{n} -> RAD{n}.1\nRAD{n}.2 -> case\n" for n in range(4, 10))


def test_of_two_at_once_only_its_share_goes_with_one() -> None:
    its = circuit_from(LOCKERS)
    two = asked(its, "BAT=1.88A", "BX.F1=1.30A", "BX.F2=0.16A", "BX.F3=0.42A", meter="low-current-clamp")
    one = asked(its, "BAT=1.46A", "BX.F1=1.30A", "BX.F2=0.16A", "BX.F3=0A", meter="low-current-clamp")
    assert "with it out its share of the draw is gone" in to_mend(its.platform, two, "K5")
    assert "with it out the draw is gone" in to_mend(its.platform, one, "K5")


def test_where_one_thing_leads_the_rest_is_said_to_be_more_than_it_accounts_for() -> None:
    """Nobody reads that the same thing should take more at places not read, where nothing is left to be found."""
    its = circuit_from(FEEDERS)
    read = ("BAT=1.76A", "PRE.F1=1.46A", "PRE.F2=0.30A", "BX.F1=1.30A", "BX.F2=0.16A", "BX.F3=0A")
    text = " ".join(suspects_text(its.platform, asked(its, *read, meter="low-current-clamp")).split())
    assert (
        "BAT shows nothing beyond PRE.F1 and PRE.F2; all of it was found there, and of that this takes only a part"
        in text
    )
    assert "yet it should take more" not in text
