"""The flow from a platform or a job to a page that somebody else can open: report and share."""

from pathlib import Path
from typing import TYPE_CHECKING, Literal, NamedTuple

from circuitmap.effort import Effort
from circuitmap.failures import LimitReached, WrongUse
from circuitmap.flows.drawing import with_notes
from circuitmap.flows.job import diagnosis_of
from circuitmap.flows.questions import Bench, fed_words, hanging_on
from circuitmap.jobs.job import Job, job_on
from circuitmap.reports.job.dead_told_text import is_about_dead_loads
from circuitmap.reports.pages.report import Report, ReportNight, ReportPhoto, report_of
from circuitmap.reports.pages.report_found import cause_parts
from circuitmap.reports.pages.share import SharedPicture, SharedPictures

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from circuitmap.circuit.feeding import Feeding
    from circuitmap.drawings.inking.ink import Picture
    from circuitmap.drawings.scene.scene import Scene
    from circuitmap.jobs.without_customer import Hidden

MOST_DRAWN = 5_000
"""How many parts and wires are drawn on one page, counting `A_DRAWING` more for each drawing (judgement: four seconds;
the truck of the samples has fewer)."""
A_DRAWING = 40
MOST_ARRANGED_ON_A_PAGE = 16_000
"""How many boxes and links of all drawings of a page are laid out, each time that it is done: a drawing with many rows
has many for each of its parts (judgement: three seconds; the largest vehicle of the samples takes 12,500)."""
_MOST_NAMED = 6
_LEGEND_WIDTH = 262.0
"""In points: what a phone of 390 pixels has room for."""

Form = Literal["html", "pdf", "md"]
FORMS: tuple[Form, ...] = ("html", "pdf", "md")


def form_of(path: Path) -> Form:
    """The form that a file's ending asks for."""
    for form in FORMS:
        if path.suffix.lower() == f".{form}":
            return form
    endings = ", ".join(f".{form}" for form in FORMS)
    raise WrongUse(f"{path.name} does not say what kind of file it is.", f"Give it one of these endings: {endings}.")


def job_report(
    job: Job, form: Form, photos: "Sequence[ReportPhoto]" = (), nights: "Sequence[ReportNight]" = ()
) -> bytes:
    """The report of a job, with the photos and the nights' logs of its entries."""
    if form == "md":
        from circuitmap.reports.pages.report_md import report_md

        return report_md(report_on(job)).encode("utf-8")
    if form == "pdf":
        from circuitmap.drawings.files.png import png_of
        from circuitmap.reports.pages.report_pdf import report_pdf

        return report_pdf(
            report_on(job, photos=photos, nights=nights), [png_of(page) for page in pictures_of(job, in_one=False)]
        )
    from circuitmap.drawings.files.svg import svg_of
    from circuitmap.reports.pages.report_html import report_html

    drawing = "".join(svg_of(picture) for picture in pictures_of(job, in_one=True))
    return report_html(report_on(job, drawing, photos, nights)).encode("utf-8")


class SharedJob(NamedTuple):
    """A job's page without the customer, and where something was hidden in it."""

    page: bytes
    hidden: "tuple[Hidden, ...]"


def shared_job(job: Job, hide: "Sequence[str]" = (), keep: "Sequence[str]" = ()) -> SharedJob:
    """The report of a job without the customer, who is taken out of the card before a page is made of it. `hide` and
    `keep` answer for words that may be the customer's.

    Raises NotShared for a card with problems (what could not be read may be the customer), WrongUse while a place is
    doubtful.
    """
    from circuitmap.jobs.without_customer import NotShared, without_customer
    from circuitmap.reports.job.sharing_text import doubts_text

    if job.problems:
        first = job.problems[0]
        many = f"{len(job.problems)} places" if len(job.problems) > 1 else "one place"
        raise NotShared(
            f"Not shared: {job.card.source.path} cannot be read in {many}, and the customer may stand there: "
            f"{first.span.place()}: {first.headline}",
            "Mend the card first: circuitmap card show CARD tells what is wrong. Nothing was written.",
        )
    shared = without_customer(job.platform, job.card, hide, keep)
    if shared.doubtful:
        raise WrongUse(*doubts_text(shared.doubtful))
    return SharedJob(job_report(job_on(job.platform, shared.card, (), job.circuit), "html"), shared.hidden)


def names_customer(job: Job, text: str) -> bool:
    """Whether a text surely names the customer: the name of a file goes with the file."""
    from circuitmap.jobs.without_customer import names_for_sure

    return names_for_sure(job.platform, job.card, text)


def report_on(
    job: Job, drawing: str = "", photos: "Sequence[ReportPhoto]" = (), nights: "Sequence[ReportNight]" = ()
) -> Report:
    """The report's values."""
    words = "The part in question with its feed and ground; fuses that drew are marked."
    if is_about_dead_loads(job):
        words = "What does not work, from the battery to ground; volts that it should have, and those that were read."
    balance: tuple[str, ...] = ()
    not_known: tuple[str, ...] = ()
    going: dict[str, str] = {}
    if job.evidence.readings:
        from circuitmap.reports.pages.report_balance import balance_sentences, set_going
        from circuitmap.reports.suspects.not_known import no_longer_counting, not_known_sentences

        diagnosis = diagnosis_of(job)
        balance = tuple(balance_sentences(job.platform, diagnosis))
        going = set_going(diagnosis, cause_parts(job))
        not_known = (*no_longer_counting(diagnosis), *not_known_sentences(job.platform, diagnosis, in_use=False))
    return report_of(
        job, balance=balance, not_known=not_known, going=going, drawing=drawing, drawing_words=words, photos=photos,
        nights=nights,
    )  # fmt: skip


def pictures_of(job: Job, in_one: bool) -> "Sequence[Picture]":
    """The wiring round the part in question, with the fuses as they were read: one picture, or one for each A4 page it
    takes; of loads that do not work the way of their
    current, with its volts. None if nothing was out or read, or if it cannot be laid out within the limits."""
    from circuitmap.circuit.feeding import feeding_of
    from circuitmap.drawings.draw import scene_of
    from circuitmap.drawings.scene.wanted import Wanted

    if job.dead.stage and is_about_dead_loads(job):
        from circuitmap.flows.volts_there import scene_of_dead

        return laid_out(lambda: scene_of_dead(job), in_one)
    platform, leading = job.platform, job.standing.leading
    fuses = {fuse.name for fuse in platform.fuses}
    read = {r.place: r for r in job.evidence.readings if r.place in fuses and not r.without and r.speaks == "parked"}
    drawing = tuple(name for name, reading in read.items() if reading.shows_current)
    if leading is not None:
        gone = {c.place for c in leading.changes if c.before is not None and c.after is not None and c.after < c.before}
        drawing = tuple(name for name in drawing if name in gone)
    suspect = tuple(name for name in leading.out if name in platform.parts) if leading is not None else ()
    if not drawing and not suspect:
        return ()
    proven = leading is not None and leading.verdict == "proven"
    wanted = Wanted(named=suspect, suspect=suspect, drawing=drawing, proven=proven)
    return laid_out(lambda: with_notes(scene_of(feeding_of(job.circuit, job.evidence.options), wanted)), in_one)


def laid_out(make_scene: "Callable[[], Scene | None]", in_one: bool) -> "Sequence[Picture]":
    """The pictures of a scene; none where there is none, or where it cannot be laid out within the limits."""
    from circuitmap.drawings.files.sheets import pages_of
    from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess

    try:
        with GraphvizProcess() as process:
            scene = make_scene()
            return () if scene is None else pages_of(scene, process, in_one)
    except LimitReached:
        return ()


def shared_page(bench: Bench) -> bytes:
    """A platform as one page."""
    from circuitmap.reports.pages.share import shared_platform
    from circuitmap.reports.pages.share_html import share_html

    drawings, cut_off = drawings_of(bench)
    if any(taking.paths.cut_off for taking in bench.feeding.takings):
        cut_off = ("There are more ways from fuses to loads than were looked for: more may hang on a fuse.", *cut_off)
    hands_off = bench.circuit.hands_off
    shared = shared_platform(bench.platform, hanging_on(bench), fed_words(bench), drawings, hands_off, cut_off)
    return share_html(shared).encode("utf-8")


def drawings_of(bench: Bench) -> "tuple[SharedPictures, tuple[str, ...]]":
    """Fuse -> the drawing of what hangs on it, and what is to be said about those that are missing. Left out: main
    fuses that feed only other fuses (their drawing would be that of half the vehicle) and fuses with no wire typed in;
    and, which is said, what cannot be laid out within the limits, and those beyond what one page may draw."""
    from circuitmap.drawings.files.shared_svg import SharedDrawings
    from circuitmap.drawings.inking.paint import bare_picture_of, legend_picture
    from circuitmap.drawings.placing.graphviz_layout import GraphvizProcess
    from circuitmap.drawings.placing.layout import layout_of
    from circuitmap.drawings.scene.scene import all_of
    from circuitmap.drawings.scene.subset import subset_scene
    from circuitmap.drawings.scene.wanted import MOST_BESIDE_ON_A_PAGE, Wanted

    feeding = bench.feeding
    with_wires = _with_wires(feeding)
    worth_it = [fuse.name for fuse in bench.platform.fuses if fuse.name in with_wires]
    effort = Effort(MOST_DRAWN)
    written = SharedDrawings()
    found: dict[str, SharedPicture] = {}
    scenes = []
    too_large: list[str] = []
    cut_off: tuple[str, ...] = ()
    with GraphvizProcess() as process:
        for number, name in enumerate(worth_it):
            if effort.used_up or process.arranged > MOST_ARRANGED_ON_A_PAGE:
                left = len(worth_it) - number
                cut_off = (f"Drawings: those of the fuses up to {worth_it[number - 1]}; {left} more are not drawn.",)
                break
            scene = with_notes(subset_scene(feeding, Wanted(named=(name,), most_beside=MOST_BESIDE_ON_A_PAGE)))
            effort.spend(A_DRAWING + len(scene.parts) + len(scene.wires))
            try:
                layout = layout_of(scene, process)
            except LimitReached:
                too_large.append(name)
                continue
            sheets = tuple(f"Sheet {s.name} {s.title}".strip() for s in scene.sheets if len(scene.sheets) == 1)
            found[name] = SharedPicture(written.svg_of(bare_picture_of(scene, layout)), (*sheets, *scene.notes))
            scenes.append(scene)
    if too_large:
        more = f" and {len(too_large) - _MOST_NAMED} more" if len(too_large) > _MOST_NAMED else ""
        names = ", ".join(too_large[:_MOST_NAMED])
        cut_off = (f"Drawings: what hangs on {names}{more} could not be laid out within the limits.", *cut_off)
    legend = written.svg_of(legend_picture(all_of(scenes), _LEGEND_WIDTH)) if scenes else ""
    return SharedPictures(found, legend, written.shapes, written.style), cut_off


def _with_wires(feeding: "Feeding") -> frozenset[str]:
    """Fuses on which a load hangs directly by a wire that was typed in."""
    wires = feeding.circuit.platform.wires_at
    last = {fuse for taking in feeding.takings if taking.kind != "end" for fuse in taking.last_fuses}
    return frozenset(fuse for fuse in last if any(wire.kind == "wire" for wire in wires.get(fuse, ())))
