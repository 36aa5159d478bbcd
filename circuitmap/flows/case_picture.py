"""The drawing of a case for the page: each part in it can be asked for."""

from circuitmap.drawings.files.svg import svg_of
from circuitmap.flows.page import pictures_of
from circuitmap.jobs.job import Job
from circuitmap.reports.bay.boxes import part_key


def case_picture(job: Job) -> bytes:
    """SVG, each part in a group with its key; empty while nothing was found to draw."""
    parts = job.platform.parts

    def key_of(owner: str) -> str:
        """Of a part by its name, or of the connector by the name of a cavity."""
        name = owner if owner in parts else owner.rpartition(".")[0]
        return part_key(name) if name in parts else ""

    return "".join(svg_of(picture, key_of) for picture in pictures_of(job, in_one=True)).encode()
