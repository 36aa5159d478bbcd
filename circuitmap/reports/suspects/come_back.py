"""A draw that has gone without anything mended: how it is made to come back before anything is measured."""

from collections.abc import Iterator

from circuitmap.diagnosis.diagnosis import Diagnosis
from circuitmap.reports.suspects.leading import first_part, may_be_tried
from circuitmap.reports.words.as_the_driver_says import how_it_happens
from circuitmap.reports.words.cautions import caution_lines, cautions_at
from circuitmap.reports.words.paragraphs import wrapped
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
    then = "Once it is back, measure before anything is pulled:"
    return [*lines, *wrapped(then, " ", " ", width)] if diagnosis.tests.choices else lines


def _as_used(platform: Platform, diagnosis: Diagnosis) -> Iterator[str]:
    leads = diagnosis.subjects[0] if diagnosis.subjects else None
    if leads is not None and (
        leads.about in platform.networks or first_part(leads).faults[0].wakes
    ):  # it was kept awake: by a door, a latch or a key that is not seen as it is
        yield "open and shut each door and lid, one after another, and turn the key on and off, as its owner does"
    else:
        yield "use what leads as its owner does"
    if _may_move(diagnosis):
        yield ", move its wires and what they pass"


def _may_move(diagnosis: Diagnosis) -> bool:
    """Whether anybody may touch the wires of what leads."""
    part = first_part(diagnosis.subjects[0]).part if diagnosis.subjects else ""
    return not part or may_be_tried(diagnosis, part)
