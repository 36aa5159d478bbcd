"""The flow from a platform or a job to a page that somebody else can open: report and share."""

from pathlib import Path
from typing import Literal

from circuitmap.failures import WrongUse
from circuitmap.job_bench import open_job
from circuitmap.jobs.job import Job
from circuitmap.reports.report import Report, report_of
from circuitmap.workbench import Bench, fed_words, hanging_on, open_bench

Form = Literal["html", "pdf", "md"]
FORMS: tuple[Form, ...] = ("html", "pdf", "md")


def form_of(path: Path) -> Form:
    """The form that a file's ending asks for."""
    for form in FORMS:
        if path.suffix.lower() == f".{form}":
            return form
    endings = ", ".join(f".{form}" for form in FORMS)
    raise WrongUse(f"{path.name} does not say what kind of file it is.", f"Give it one of these endings: {endings}.")


def job_report(card: Path, form: Form, private: bool = True) -> bytes:
    """The report of a job. Without `private` everything of the customer is left out."""
    report = report_on(open_job(card), private)
    if form == "md":
        from circuitmap.reports.report_md import report_md

        return report_md(report).encode("utf-8")
    if form == "pdf":
        from circuitmap.reports.report_pdf import report_pdf

        return report_pdf(report)
    from circuitmap.reports.report_html import report_html

    return report_html(report).encode("utf-8")


def report_on(job: Job, private: bool = True) -> Report:
    """The report's values."""
    return report_of(job, private=private)


def shared_page(folder: Path) -> bytes:
    """The platform in a folder as one page."""
    from circuitmap.reports.share import shared_platform
    from circuitmap.reports.share_html import share_html

    bench = open_bench(folder)
    shared = shared_platform(bench.platform, hanging_on(bench), fed_words(bench), drawings_of(bench))
    return share_html(shared).encode("utf-8")


def drawings_of(bench: Bench) -> dict[str, str]:
    """Fuse -> the drawing of its circuit, where wires were typed in."""
    return {}
