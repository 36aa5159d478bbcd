"""How a run ends: every failure one clear message and an exit code, never a traceback."""

import os
import sys
from collections.abc import Sequence

import click

from circuitmap import __version__
from circuitmap.cli.printing import NotShown, complain, prepared_streams, print_json, reason_of
from circuitmap.failures import Failure
from circuitmap.written import forget_what_was_written, what_was_written

PROBLEMS, WRONG_USE, CANNOT_READ, OUR_OWN_BUG, STOPPED = 1, 2, 3, 70, 130
TRACEBACK_VARIABLE = "CIRCUITMAP_TRACEBACK"


def end_of(program: click.Command, words: Sequence[str]) -> int:
    """Run `program` and give the exit code: what the command returned, or that of what stopped it.

    A reader that closes the pipe (`| head`) has seen enough: that is no failure. An output that was never there, or has
    no room, is one.
    """
    forget_what_was_written()
    with prepared_streams():
        code = 0
        try:
            code = _result_of(program, words)
            sys.stdout.flush()
            return code
        except BrokenPipeError:
            _let_go_of_stdout()
            return code if code > PROBLEMS else 0
        except NotShown as why:
            _let_go_of_stdout()
            complain("\n".join([f"circuitmap: The answer could not be shown: {why}.", *_what_stands()]))
            return code if code > PROBLEMS else CANNOT_READ


def _result_of(program: click.Command, words: Sequence[str]) -> int:
    as_json = "--json" in words
    try:
        result = program.main(list(words), prog_name="circuitmap", standalone_mode=False)
        return result if isinstance(result, int) else 0
    except (BrokenPipeError, NotShown):
        raise
    except Failure as failure:
        return _say(failure.message, failure.advice, failure.exit_code, as_json)
    except click.UsageError as error:
        return _say(_sentence(error.format_message()), _where_to_look(error), WRONG_USE, as_json)
    except click.ClickException as error:
        return _say(_sentence(error.format_message()), "", CANNOT_READ, as_json)
    except (KeyboardInterrupt, click.Abort):
        complain("\n".join(["\nStopped.", *_what_stands()]))
        return STOPPED
    except OSError as error:
        what = f"{error.filename}: " if error.filename else ""
        return _say(f"{what}{reason_of(error)}.", "", CANNOT_READ, as_json)
    except MemoryError:
        return _say("There is not enough memory for this.", "", 4, as_json)
    except Exception as error:
        if os.environ.get(TRACEBACK_VARIABLE):
            import traceback

            traceback.print_exc()
        name = type(error).__name__
        return _say(
            f"This is a bug of circuitmap {__version__}, not of your files: {name}: {error}.",
            f"Please report it with the command you typed. {TRACEBACK_VARIABLE}=1 shows where it happened.",
            OUR_OWN_BUG,
            as_json,
        )


def _say(message: str, advice: str, code: int, as_json: bool) -> int:
    advice = " ".join([*([advice] if advice else []), *_what_stands()])
    complain(f"circuitmap: {message}")
    if advice:
        complain(advice)
    if as_json:
        print_json({"error": {"message": message, "advice": advice, "exit_code": code}})
    return code


def _what_stands() -> list[str]:
    """What was done before it went wrong, so that nobody does it twice or thinks that it was not done."""
    written = what_was_written()
    return [f"Written all the same, and complete: {', '.join(written)}."] if written else []


def _where_to_look(error: click.UsageError) -> str:
    path = error.ctx.command_path if error.ctx is not None else "circuitmap"
    return f"{path} --help shows how it is used."


def _sentence(text: str) -> str:
    text = text.strip()
    return text if text.endswith((".", "!", "?")) else f"{text}."


def _let_go_of_stdout() -> None:
    """Point standard output at nothing, so that flushing it at exit cannot fail again."""
    try:
        number = sys.stdout.fileno()
    except OSError:
        return
    sink = os.open(os.devnull, os.O_WRONLY)
    os.dup2(sink, number)
    os.close(sink)
