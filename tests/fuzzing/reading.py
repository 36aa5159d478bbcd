"""Any bytes as a platform, a card or readings at a command: each is answered or refused, and nothing else."""

from functools import cache

from circuitmap.evidence.job_card import read_card
from circuitmap.evidence.meters import meter_named
from circuitmap.evidence.timeline import evidence_on
from circuitmap.evidence.written_readings import written_reading
from circuitmap.failures import Failure
from circuitmap.flows.questions import Bench
from circuitmap.notation.reading import read_text
from circuitmap.power.checks import problems_of
from circuitmap.source import SourceFile
from circuitmap.wiring.declare import platform_of
from circuitmap.wiring.platform import Platform
from tests.fuzzing.notation_from_bytes import Choices, lines_from, written

MOST_LINES = 14
VAN = """\
platform "Marlow Linnet" sleep 20min..40min limit 50mA
battery BAT 72Ah
box CAB "Cab fuse box"
fuse CAB.F14 15A mini, CAB.F22 20A mini, CAB.F40 60A bolted
module HEATER "cab heater" supply 1 ground 2
BAT.+ -> CAB.F22 -> HEATER.1
HEATER.2 -> case
"""


@cache
def van() -> Platform:
    source = SourceFile("van.circuit", VAN)
    notation, problems = read_text(source)
    assert not problems
    return platform_of([notation], [source])


def fuzz_notation(data: bytes) -> None:
    """Every problem has its place in the text, and the platform becomes a circuit that the checks can look at."""
    choices = Choices(data)
    if choices.number(4) == 3:
        text = choices.rest().decode("utf-8", "replace")
    else:
        text = written(choices, lines_from(choices, MOST_LINES))
    source = SourceFile("a.circuit", text)
    notation, problems = read_text(source)
    platform = platform_of([notation], [source], problems)
    for problem in (*platform.problems, *problems_of(Bench(platform, {}).circuit)):
        assert problem.span.source == source and 0 <= problem.span.start <= problem.span.end <= len(source.text)


def fuzz_card(data: bytes) -> None:
    """A card is read with its problems, each in its place; what it says of the van is worked out."""
    source = SourceFile("job.yaml", data.decode("utf-8", "replace"))
    try:
        card, problems = read_card(source)
    except Failure:
        return
    _, more = evidence_on(van(), card)
    for problem in (*problems, *more):
        assert problem.span.source == source and 0 <= problem.span.start <= problem.span.end <= len(source.text)


def fuzz_reading(data: bytes) -> None:
    """A reading at a command is read or refused."""
    kinds = ("clamp", "low-current-clamp", "series")
    text = data[1:].decode("utf-8", "replace")
    try:
        reading = written_reading(van(), text, meter_named(kinds[data[0] % 3 if data else 0]))
    except Failure:
        return
    assert reading.place in van().parts or reading.place.rpartition(".")[0] in van().parts
