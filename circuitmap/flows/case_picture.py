"""The drawing of a case for the page: each part in it can be asked for."""

from collections.abc import Sequence

from circuitmap.drawings.files.svg import svg_of
from circuitmap.drawings.inking.ink import Picture
from circuitmap.flows.page import laid_out, pictures_of
from circuitmap.flows.volts import nothing_flows
from circuitmap.flows.volts_drawn import scene_with_volts
from circuitmap.flows.volts_there import bench_of, volts_on
from circuitmap.jobs.job import Job
from circuitmap.reports.bay.boxes import part_key


def case_picture(job: Job) -> bytes:
    """SVG, each part in a group with its key; empty while nothing was found to draw."""
    return _to_be_tapped(job, pictures_of(job, in_one=True))


def volts_picture(job: Job, point: str, key: str) -> bytes:
    """The way of the current past a point with its volts, likewise. Raises WrongUse where none flows."""
    pictures = laid_out(lambda: scene_with_volts(bench_of(job), volts_on(job, point, key)), in_one=True)
    if not pictures:
        raise nothing_flows()
    return _to_be_tapped(job, pictures)


def _to_be_tapped(job: Job, pictures: Sequence[Picture]) -> bytes:
    parts = job.platform.parts

    def key_of(owner: str) -> str:
        """Of a part by its name, or of the connector by the name of a cavity."""
        name = owner if owner in parts else owner.rpartition(".")[0]
        return part_key(name) if name in parts else ""

    return "".join(svg_of(picture, key_of) for picture in pictures).encode()
