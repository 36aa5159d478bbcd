"""The report as Markdown: the same sections; nothing that a person typed can act as markup."""

import re

from circuitmap.reports.pages.page import shown
from circuitmap.reports.pages.report import Report, ReportSection

_SPECIAL = re.compile(r"([\\`*_\[\]<>|~&])")
_AT_START = re.compile(r"(?=[-+=#])|^(\d+)(?=[.)])")
"""What is markup only at the beginning of a line: a list, a heading, a rule."""


def report_md(report: Report) -> str:
    lines = [f"# {plain(report.vehicle)}", ""]
    if report.job:
        lines += [f"Job {plain(report.job)}", ""]
    lines += [f"**{plain(report.verdict)}**", ""]
    for sentence in report.not_complete:
        lines += [f"**Not complete.** {plain(sentence)}", ""]
    for one in report.figures:
        head, colon = (f"{plain(one.battery)}: before", "") if one.battery else ("Before", ":")
        after = f"; after{colon} **{plain(one.after)}**" if one.after else ""
        lines += [f"{head}{colon} **{plain(one.before)}**{after}", ""]
    for section in report.customer:
        lines += _section(section)
    lines += ["---", "", "# Record for the technician", ""]
    known = [bar for bar in report.bars if bar.before is not None and bar.after is not None]
    if known:
        lines += ["| place | with it in | with it out |", "|---|---|---|"]
        lines += [f"| {plain(b.place)} | {b.words[0]} | {b.words[1]} |" for b in known]
        lines.append("")
    for section in report.record:
        lines += _section(section)
    lines += ["## All entries", "", "| no. | time | entry |", "|---|---|---|"]
    for row in report.rows:
        struck = f" (struck: {plain(row.struck)})" if row.struck else ""
        lines.append(f"| {row.number} | {plain(row.at)} | {plain(row.says)}{struck} |")
    return "\n".join(lines) + "\n"


def plain(text: str) -> str:
    """A text on one line with every character that could be markup escaped."""
    escaped = _SPECIAL.sub(r"\\\1", " ".join(shown(text).split()))
    return _AT_START.sub(lambda match: f"{match[1] or ''}\\", escaped, count=1) if _begins_markup(escaped) else escaped


def _begins_markup(text: str) -> bool:
    match = _AT_START.match(text)
    return match is not None and match.start() == 0


def _section(section: ReportSection) -> list[str]:
    return [f"## {plain(section.heading)}", "", *(f"- {plain(sentence)}" for sentence in section.sentences), ""]
