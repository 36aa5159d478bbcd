"""`circuitmap transcribe template`: lines of the notation to fill in."""

import click

from circuitmap.cli.asking import json_option


@click.command("template", short_help="Print what the trade meets again and again, as lines to fill in.")
@click.argument("word", required=False, default="")
@click.argument("name", required=False, default="")
@json_option
def template(word: str, name: str, as_json: bool) -> int:
    """Print the lines of the template WORD for a part called NAME, to fill in and paste. Without WORD: which there are.

    What is not known yet is an open end. For names that are used and not declared yet: circuitmap list --undeclared.
    """
    from circuitmap.cli.printing import print_json, say
    from circuitmap.transcribing.templates import TEMPLATES, template_lines

    if word:
        lines = list(template_lines(word, name))
        if as_json:
            print_json({"lines": lines})
        else:
            say("\n".join(lines))
    elif as_json:
        print_json({"templates": [{"word": its.word, "what": its.what} for its in TEMPLATES]})
    else:
        say("\n".join(f"{its.word:11} {its.what}" for its in TEMPLATES))
    return 0
