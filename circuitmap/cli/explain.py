"""`circuitmap explain CODE`."""

import click
from click.shell_completion import CompletionItem

from circuitmap.cli.asking import json_option


def _codes(ctx: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    from circuitmap.reports.problems.problem_page import problem_codes

    return [CompletionItem(code) for code in problem_codes() if code.startswith(incomplete)]


@click.command("explain", short_help="Explain a problem by its code, with a bad and a good example.")
@click.argument("code", shell_complete=_codes)
@json_option
def command(code: str, as_json: bool) -> int:
    """Explain the problem with this CODE, as `check` shows it in brackets: what it means, how to mend it."""
    from circuitmap.cli.printing import print_json, say
    from circuitmap.reports.problems.problem_page import page_json, page_text, problem_page

    page = problem_page(code)
    if as_json:
        print_json(page_json(page))
    else:
        say(page_text(page))
    return 0
