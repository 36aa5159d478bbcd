"""`circuitmap language-server`: for editors that speak the language server protocol."""

import click


@click.command("language-server", short_help="Answer an editor that speaks the language server protocol.")
def command() -> int:
    """Serve one editor over standard input and output, until it goes: problems as they are typed, what a name is and
    hangs on, what may follow, where it is declared and used, renaming, the outline by sheet, tidying, mends, how much
    hangs on a fuse, what is assumed.

    It needs the extra `editor`: pip install "circuitmap[editor]".
    """
    from importlib.util import find_spec

    from circuitmap.failures import CannotRead

    if find_spec("pygls") is None or find_spec("lsprotocol") is None:
        raise CannotRead("pygls is not installed.", 'The extra brings it: pip install "circuitmap[editor]"')
    from circuitmap.editor.language_server import start

    start()
    return 0
