"""A draw that has gone without anything mended: how it is made to come back before anything is measured."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.leading import LEVEL, first_part, may_be_tried
from circuitmap.reports.suspects.lets_go import holding_fault
from circuitmap.reports.suspects.proving import care_at_proof
from circuitmap.reports.words.as_the_driver_says import how_it_happens
from circuitmap.reports.words.cautions import caution_lines, cautions_at
from circuitmap.reports.words.paragraphs import joined, wrapped
from circuitmap.wiring.parts import Load
from circuitmap.wiring.platform import Platform

_WENT = (
    "The draw went with something out and has not come back: nothing is mended by that. Either what hung was reset by "
    "the loss of its supply, or what held it (an input, a contact, a wire) has let go meanwhile."
)
_WENT_BY_ITSELF = (
    "The draw went with nothing mended: nothing is shown by that. What held it (an input, a contact, a wire) has let "
    "go, or what hung was woken and fell asleep since."
)


def come_back_lines(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Why it has to come back first, and how; then what is measured once it is back stands below."""
    by_itself = any(one.why == "gone-by-itself" for one in diagnosis.netted.set_aside)
    went = _WENT_BY_ITSELF if by_itself else _WENT
    how = how_it_happens(platform, diagnosis.happens_when)
    why = f" (it happens, the driver says: {how.when})" if how is not None else ""
    ways = "; ".join([*([how.words] if how is not None else ()), "".join(_as_used(platform, diagnosis))])
    first = f"Make it come back first{why}: {ways}, lock it, let it sleep, and read the total; or leave a log running."
    lines = wrapped(f"{went} {first}", " ", " ", width)
    care = how.cautions if how is not None else ()
    lines += caution_lines((*care, *(cautions_at(platform, "wiggle") if _may_move(diagnosis) else ())), width)
    lines += _one_of_them_out(platform, diagnosis, width)
    then = "Once it is back, measure before anything is pulled:"
    return [*lines, *wrapped(then, " ", " ", width)] if diagnosis.tests.choices else lines


def _as_used(platform: Platform, diagnosis: Diagnosis) -> Iterator[str]:
    leads = diagnosis.subjects[0] if diagnosis.subjects else None
    if leads is not None and (
        leads.about in platform.networks or first_part(leads).faults[0].wakes
    ):  # it was kept awake: by a door, a latch or a key that is not seen as it is
        yield "open and shut each door and lid, one after another, and turn the key on and off, as its owner does"
    else:
        held = holding_fault(diagnosis, first_part(leads).part) if leads is not None else None
        again = f", so that {joined(list(held.holds))} pulls in once" if held is not None else ""
        yield f"use what leads as its owner does{again}"
    if _may_move(diagnosis):
        yield ", move its wires and what they pass"


def out_before_use(platform: Platform, diagnosis: Diagnosis) -> tuple[str, ...]:
    """The modules of which nothing read so far tells which it is, if the draw has gone: one of them is taken out before
    the vehicle is used again. What hangs is set up by use, so that tells them apart and a quiet look does not."""
    if not diagnosis.tests.gone or not diagnosis.subjects:
        return ()
    leads = diagnosis.subjects[0]
    level = (its.part for its in leads.parts if its.probability >= LEVEL * first_part(leads).probability)
    modules = [name for name in dict.fromkeys(level) if _is_module(platform, name) and may_be_tried(diagnosis, name)]
    return tuple(modules) if len(modules) > 1 else ()


def _is_module(platform: Platform, name: str) -> bool:
    part = platform.parts.get(name)
    return isinstance(part, Load) and part.kind == "module"


def _one_of_them_out(platform: Platform, diagnosis: Diagnosis, width: int) -> list[str]:
    """Which is taken out for the use that is to bring it back, and what follows from it."""
    names = out_before_use(platform, diagnosis)
    if not names:
        return []
    says = (
        f"Nothing read so far tells {joined(names)} apart, so unplug one of them before that use and leave it out "
        f"until the total is read: out {names[0]}. Drawing all the same, it is not that one; quiet, put it in, use the "
        "car once more, and if it draws again it is that one or what it keeps awake."
    )
    return [*wrapped(says, " ", " ", width), *care_at_proof(platform, diagnosis, names[0], width)]


def _may_move(diagnosis: Diagnosis) -> bool:
    """Whether anybody may touch the wires of what leads."""
    part = first_part(diagnosis.subjects[0]).part if diagnosis.subjects else ""
    return not part or may_be_tried(diagnosis, part)
