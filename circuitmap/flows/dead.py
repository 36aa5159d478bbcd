"""The flow from loads that do not work, as they are typed, to what it may be and the next step.

Each function imports the stages it needs when it is called, so that a command pays only for what it uses.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from circuitmap.failures import WrongUse
from circuitmap.flows.questions import Bench
from circuitmap.flows.volts import readings_typed

if TYPE_CHECKING:
    from circuitmap.dead.blown import BlownFuse
    from circuitmap.dead.dead_loads import Complaint, DeadLoads
    from circuitmap.dead.known import KnownInterruptions
    from circuitmap.dead.probing import Probing
    from circuitmap.dead.watched import ToldOf
    from circuitmap.jobs.job import Job
    from circuitmap.power.state import VehicleState
    from circuitmap.wiring.parts import Terminal


def told_of(bench: Bench, written: Sequence[str], works: bool) -> "tuple[ToldOf, ...]":
    """What is said to work or not, each in its own position where that was said: `M12@S14=4`, several with commas."""
    from circuitmap.dead.written_told import written_told

    pieces = (piece for words in written for piece in words.split(",") if piece)
    return tuple(dict.fromkeys(written_told(bench.circuit, text, works) for text in pieces))


def dead_or_blown(
    bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], saw: Sequence[str]
) -> "DeadLoads | BlownFuse":
    """Where a fuse was named, where the short is that it blew for; else what is interrupted."""
    from circuitmap.dead.blown import blown_fuse
    from circuitmap.dead.written_told import written_fuse

    pieces = [(text, its is works) for its in (loads, works) for words in its for text in words.split(",") if text]
    fuses = [written_fuse(bench.circuit, *piece) for piece in pieces]
    told = [its for its in fuses if its is not None]
    if not any(not its.works for its in told):
        return dead(bench, said, loads, works, saw)
    if len(told) < len(pieces) or len({its.name for its in told}) > 1 or saw:
        raise WrongUse(
            "A fuse that blew is asked about by itself.",
            "Name that fuse alone, and with --works the same fuse in the positions in which it holds: F50@WORKSW=off.",
        )
    if not bench.circuit.hands_off.may_touch(told[0].name):
        raise WrongUse(f"{told[0].name} is hands-off: nothing is tested there.", _LICENSED)
    return blown_fuse(bench.circuit, said, told)


_LICENSED = "The maker's procedure, by somebody licensed."


def dead(
    bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], saw: Sequence[str]
) -> "DeadLoads":
    """What may be interrupted where these loads do not work and those do."""
    from circuitmap.dead.dead_loads import dead_loads

    return dead_loads(bench.circuit, said, complaint_of(bench, loads, works, saw))


def complaint_of(bench: Bench, loads: Sequence[str], works: Sequence[str], saw: Sequence[str]) -> "Complaint":
    """What was said and probed, as it was typed. Raises WrongUse for what cannot be, and for what is hands-off."""
    from circuitmap.dead.dead_loads import Complaint

    told = (*told_of(bench, loads, False), *told_of(bench, works, True))
    twice = {(its.name, its.said, its.network) for its in told}
    if len(twice) < len(told):
        raise WrongUse("The same thing cannot be dead and work at once.")
    for its in told:
        untouchable = bench.circuit.hands_off.why_not(its.name)
        if not its.works and untouchable is not None and untouchable.how == "itself":
            raise WrongUse(f"{its.name} is hands-off: nothing is tested there.", _LICENSED)
    readings = readings_typed(bench.platform, saw)
    if readings.amps or readings.posts:
        raise WrongUse("Only volts at points count here.", "For example --saw F72=0.02V.")
    for point in readings.volts:
        if not bench.circuit.hands_off.may_probe(str(point)):
            raise WrongUse(f"{point} is hands-off: not probed.", "Write down who measured it, and by which procedure.")
    return Complaint(told, readings.volts)


def probing_sheet(bench: Bench, said: "VehicleState", loads: Sequence[str], works: Sequence[str], form: str) -> bytes:
    """The sheet to carry to the car where these do not work, as the content of a `pdf`, `html` or `txt` file."""
    from circuitmap.dead.probing import probing
    from circuitmap.reports.pages import probing_sheet as pages

    its = probing(bench.circuit, said, complaint_of(bench, loads, works, ()))
    sheet = pages.probing_sheet(bench.platform, its, _sound_volts(bench, its))
    if form == "pdf":
        from circuitmap.reports.pages.probing_pdf import probing_pdf

        return probing_pdf(sheet)
    if form == "html":
        from circuitmap.reports.pages.probing_html import probing_html

        return probing_html(sheet).encode()
    from circuitmap.reports.pages.probing_text import probing_text

    return probing_text(sheet).encode()


def _sound_volts(bench: Bench, its: "Probing") -> "dict[Terminal, str]":
    """The volts to expect at each point of a sheet with everything whole, in words; none where no current flows."""
    from circuitmap.reports.volts.volts_text import band_words
    from circuitmap.volts.expected_volts import AskedVolts, expected_volts
    from circuitmap.volts.net import NoBattery

    first = its.first
    on = first.watched.switched_on
    found: dict[Terminal, str] = {}
    for row in its.rows:
        if row.point in found:
            continue
        expected = expected_volts(first.watched.main, AskedVolts(row.point, on, {}, {}, {}, {}))
        if not isinstance(expected, NoBattery) and expected.flows:
            for at in expected.way:
                found[at.terminal] = f"{band_words(at.bounds.ninety)} ({band_words(at.bounds.most)})"
    return found


def dead_on(job: "Job", known: "KnownInterruptions | None" = None) -> "DeadLoads | None":
    """The same for what a card says; None where nothing is dead, or it is found already. `known` keeps what does not
    depend on the probe for whoever asks again."""
    if job.dead.stage != "open":
        return None
    from circuitmap.dead.dead_loads import dead_loads

    return dead_loads(job.circuit, said_on(job), job.dead.complaint, known)


def said_on(job: "Job") -> "VehicleState":
    """What a card says of the state that a load should work in: how switches stand; the equipment of the car."""
    from circuitmap.power.state import VehicleState

    return VehicleState(fitting=job.evidence.options, switches=job.evidence.positions)
