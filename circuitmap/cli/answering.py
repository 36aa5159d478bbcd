"""How every query gives its answer: text or JSON, then a word about problems in the text it rests on."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from circuitmap.cli.printing import complain, print_json, say
from circuitmap.flows.questions import Bench
from circuitmap.problems import Problem, Severity
from circuitmap.wiring.platform import Platform

PROBLEMS_IN_THE_TEXT = 1


def answer_text(bench: Bench, folder: Path, text: str) -> int:
    """Print an answer for people; the exit code is 1 if the text of the platform has errors, else 0."""
    say(text)
    return problems_code(bench.platform, folder, as_json=False)


def answer_json(bench: Bench, folder: Path, fields: Mapping[str, Any]) -> int:
    """Print an answer for programs: the fields that every answer begins with, then its own."""
    print_json({**about(bench), **fields})
    return problems_code(bench.platform, folder, as_json=True)


def about(bench: Bench) -> dict[str, Any]:
    """What every JSON answer begins with."""
    platform = bench.platform
    return {
        "platform": platform.name,
        "equipment": {name: bench.fitting.get(name) for name in platform.options},
        "problems": problem_counts(platform),
    }


def problem_counts(platform: Platform) -> dict[str, int]:
    counts = {"errors": 0, "warnings": 0, "notes": 0}
    for problem in platform.problems:
        counts[f"{problem.severity.word}s"] += 1
    return counts


def problems_code(platform: Platform, folder: Path, *, as_json: bool) -> int:
    """Say that the answer rests on a text with errors, if it does."""
    errors = sum(problem.severity is Severity.ERROR for problem in platform.problems)
    if not errors:
        return 0
    if not as_json:
        what = "1 error" if errors == 1 else f"{errors} errors"
        complain(f"\nThe text has {what}; the answer rests on the rest. See: circuitmap check {folder}")
    return PROBLEMS_IN_THE_TEXT


def wrote(
    bench: Bench,
    folder: Path,
    output: Path,
    content: bytes,
    as_json: bool,
    more: Mapping[str, Any] | None = None,
    remarks: str = "",
) -> int:
    """Write a file that was asked for and say so; `more` are further fields of the JSON answer."""
    from circuitmap.saving import write_output

    write_output(output, content)
    if as_json:
        print_json({**about(bench), "file": str(output), "bytes": len(content), **(more or {})})
    else:
        say(f"Wrote {output}.{remarks}")
    return problems_code(bench.platform, folder, as_json=as_json)


def wrote_page(
    platform: Platform,
    folder: Path,
    output: Path,
    content: bytes,
    as_json: bool,
    more: Mapping[str, Any] | None = None,
    remarks: Sequence[str] = (),
) -> int:
    """Write a page that was asked for, and say so; the exit code is 1 if the platform's text has errors, else 0."""
    from circuitmap.saving import write_output

    write_output(output, content)
    if as_json:
        its = {"file": str(output), "bytes": len(content), "problems": problem_counts(platform)}
        print_json({**its, **(more or {})})
    else:
        say("\n".join([f"Wrote {output}, {len(content) // 1024 + 1} KB.", *remarks]))
    return problems_code(platform, folder, as_json=as_json)


def tell_of_card(problems: tuple[Problem, ...]) -> int:
    """Say what could not be read on a job card, if anything: then the exit code is 1."""
    if not problems:
        return 0
    from circuitmap.reports.problems.problems_text import told_of_card

    complain(f"\nThe card has problems; the answer rests on the rest of it.\n\n{told_of_card(problems)}")
    return PROBLEMS_IN_THE_TEXT
