"""`circuitmap bay FOLDER|CARD`: the job at the car, on the phones of the shop."""

import sys
from pathlib import Path

import click

from circuitmap.cli.asking import FILE


@click.command("bay", short_help="Serve the shop's jobs as a page for the phones at the car.")
@click.argument("what", metavar="FOLDER|CARD", type=FILE, default=Path("."))
@click.option("--address", default="127.0.0.1", help="This machine's address in the shop's network; else only here.")
@click.option("--port", type=click.IntRange(0, 65535), default=8410, show_default=True, help="0: any that is free.")
@click.option("--name", "names", multiple=True, metavar="NAME", help="A name by which phones call this machine.")
@click.option("--phones", is_flag=True, help="List the phones that are paired, and end.")
@click.option("--revoke", default="", metavar="NAME", help="Forget the phone of NAME, and end.")
def command(what: Path, address: str, port: int, names: tuple[str, ...], phones: bool, revoke: str) -> int:
    """Serve the jobs below FOLDER, or one CARD, as a page: read, find, and write the card with several phones at once;
    and, with /typing behind the address, a page at which platforms are typed in.

    It prints the address, and a code that pairs one phone. Everything that is typed is kept on the phone until the card
    has it. Plain http can be read by whoever is on the same Wi-Fi: the page shows no customer and no phone number.
    """
    from circuitmap.cli.printing import complain, say
    from circuitmap.failures import CannotRead
    from circuitmap.web.serving import grants_of, serve

    if not what.exists():
        raise CannotRead(f"There is no folder or card {what}.")
    if revoke:
        grants_of(what).revoke(revoke)
        say(f"The phone of {revoke} is forgotten: it can read and write nothing any more.")
        return 0
    if phones:
        known = grants_of(what).phones()
        say("\n".join(f"{phone.name}, since {phone.since}" for phone in known) or "No phone is paired.")
        return 0
    if address not in ("127.0.0.1", "::1", "localhost"):
        complain("Plain http: whoever is on the same Wi-Fi can read along.")

    def say_at_once(text: str) -> None:
        say(text)
        sys.stdout.flush()

    serve(what, "127.0.0.1" if address == "localhost" else address, port, names, say_at_once)
    return 0
