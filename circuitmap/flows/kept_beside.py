"""What a phone sends besides its entries is kept beside the card, under a name of its own, and stays there."""

from pathlib import Path

from circuitmap.failures import WrongUse
from circuitmap.jobs.card_in_time import is_id
from circuitmap.saving import read_content, save


def checked_id(its_id: str, whose: str) -> str:
    """The id under which something is sent. Raises WrongUse for what is none: it becomes part of a file's name."""
    if not is_id(its_id):
        raise WrongUse(f"{whose} id is 12 to 40 of the letters a to z and the digits.")
    return its_id


def keep_beside(card: Path, name: str, content: bytes, largest: int, otherwise: str) -> str:
    """Write a file beside its card and tell its name. The same one sent twice is written once; raises WrongUse with
    `otherwise` where another one has the name already, CannotWrite."""
    place = card.parent / name
    there = read_content(place, largest)
    if there is None:
        save(place, content, based_on=None)
    elif there != content:
        raise WrongUse(otherwise)
    return place.name
