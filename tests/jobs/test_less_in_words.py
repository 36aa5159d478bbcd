"""Less with something out, said without a figure: a part of the draw, or what was out takes itself; and of a switch that
took all of it with it, what a test of itself proves."""

import pytest

from circuitmap.jobs.job import Job, job_of, times_of
from circuitmap.notation.reading import read_text
from circuitmap.reports.job.clock import Clock
from circuitmap.reports.job.standing_text import standing_text
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of

HEARSE = """\
platform "Dunlin Barouche" sleep 15min..30min limit 50mA
battery BAT 80Ah
fuse F7 10A mini, F8 15A mini, F9 10A mini
module TAILG "tailgate module" supply 1 ground 2 awake 90mA sense 3
module BODYC "body controller" supply 1 ground 2
heater BIER running 2A
switch LATCHT "tailgate latch switch" positions shut, open closes 1 to 2 in open
network COACH can members TAILG, BODYC
ground G
BAT.+ -> F7 -> TAILG.1
BAT.+ -> F8 -> BODYC.1
BAT.+ -> F9 -> BIER -> G
TAILG.3 -> LATCHT.1
LATCHT.2 -> G
TAILG.2 -> G
BODYC.2 -> G
BAT.- -> G
"""


def job(*entries: str) -> Job:
    notation, found = read_text(SourceFile("hearse.circuit", HEARSE))
    assert not found
    lines = ["job: 5", "platform: hearse", "entries:", '  - {at: "08:00", state: locked}', *entries]
    return job_of(platform_of([notation]), SourceFile("job.yaml", "\n".join(lines) + "\n"))


def text_of(its: Job) -> str:
    return " ".join("\n".join(standing_text(its.platform, its.standing, Clock(times_of(its.card)))).split())


DREW = '  - {at: "08:40", total: 0.55A}'


@pytest.mark.parametrize(
    ("read", "out", "verdict"),
    [
        ("F7: 0.09A", "F7", "own-share"),  # what was read there is a small share of it
        ("F7: 0.41A", "F7", "part"),  # most of it
        ("F8: 0.10A", "F7", "part"),  # not read there, and no figure typed of a fuse
        ("F8: 0.10A", "TAILG", "own-share"),  # by its sheet
        ("F8: 0.10A", "BODYC", "part"),
    ],
)
@pytest.mark.parametrize("again", [True, False])
def test_it_is_a_part_or_its_own_share_by_what_was_read_there(read: str, out: str, verdict: str, again: bool) -> None:
    after = [f'  - {{at: "08:50", out: [{out}]}}', '  - {at: "09:10", change: less}']
    back = [f'  - {{at: "09:15", back: [{out}]}}', '  - {at: "09:40", change: again}'] if again else []
    its = job(DREW, f'  - {{at: "08:42", read: {{{read}}}}}', *after, *back)
    assert not its.problems and [one.verdict for one in its.standing.tries] == [verdict]
    assert its.standing.stage == "draws" and "NOT YET GUILTY" not in text_of(its)
    assert ("no figure" in text_of(its) or "how much was not written down" in text_of(its)) == (verdict == "part")


def test_read_at_once_and_put_in_again_nobody_is_told_to_wait() -> None:
    its = job(DREW, '  - {at: "08:42", read: {F7: 0.09A}}', '  - {at: "08:50", out: [F7], change: less}',
              '  - {at: "08:51", back: [F7], change: again}')  # fmt: skip
    one = its.standing.tries[0]
    assert (one.verdict, one.wait) == ("own-share", None)
    still = job(DREW, '  - {at: "08:50", out: [F7], change: less}').standing.tries[0]
    assert (still.verdict, still.wait) == ("too-early", 15.0)


def test_gone_is_still_involved() -> None:
    its = job(DREW, '  - {at: "08:42", read: {F7: 0.09A}}', '  - {at: "08:50", out: [F7], change: gone}')
    assert its.standing.tries[0].verdict == "involved"


WENT = ('  - {at: "08:50", out: [LATCHT]}', '  - {at: "09:10", total: 0.03A}')
CAME = ('  - {at: "09:15", back: [LATCHT]}', '  - {at: "09:40", total: 0.54A}')
BAD = '  - {at: "09:50", tested: {LATCHT: 1 to 2 closed with the door shut}}'
FINE = '  - {at: "09:50", tested: {LATCHT: 1 to 2 open with the door shut}}'


@pytest.mark.parametrize(
    ("entries", "verdict", "needs"),
    [
        ((*WENT, *CAME, BAD), "proven", ()),
        ((*WENT, *CAME, FINE), "involved", ("out-again", "inputs")),
        ((*WENT, *CAME), "involved", ("out-again", "itself")),
        ((*WENT, BAD), "proven", ()),  # found bad apart, and the draw went with it: back it would say nothing more
    ],
)
def test_a_switch_that_is_bad_by_itself_need_not_go_once_more(
    entries: tuple[str, ...], verdict: str, needs: tuple[str, ...]
) -> None:
    its = job(DREW, *entries)
    assert not its.problems
    one = its.standing.tries[0]
    assert (one.verdict, one.needs) == (verdict, needs)


def test_a_module_that_is_bad_by_itself_goes_once_more() -> None:
    went = ('  - {at: "08:50", out: [TAILG]}', '  - {at: "09:10", total: 0.03A}')
    came = ('  - {at: "09:15", back: [TAILG]}', '  - {at: "09:40", total: 0.54A}')
    its = job(DREW, *went, *came, '  - {at: "09:50", tested: {TAILG: bad}}')
    assert "out-again" in its.standing.tries[0].needs
