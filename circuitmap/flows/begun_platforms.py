"""A platform begun on the page: an empty one, or from a sister on the shelf."""

import re
import unicodedata

from circuitmap.failures import WrongUse
from circuitmap.flows.copied import begin_sister
from circuitmap.flows.platforms_there import PlatformsThere, platform_key
from circuitmap.notation.folder import ENDING
from circuitmap.saving import begin_folder, save
from circuitmap.transcribing.on_sheet import quoted

LONGEST_NAME = 80
"""Characters of a platform's name."""


def begin_platform(shelf: PlatformsThere, name: str, sister: str = "") -> str:
    """A folder for a new platform below the shop's folder, with its first file; the platform's key.

    `sister` is the key of one from which all is copied, marked to be checked. Raises WrongUse for a name that cannot
    be, or is there already.
    """
    name = " ".join(name.split())
    if not name or len(name) > LONGEST_NAME or not name.isprintable():
        raise WrongUse(f"A platform has a name of at most {LONGEST_NAME} characters.")
    if not shelf.root.is_dir():
        raise WrongUse("One card is served here, no folder: there is no place for a platform.")
    plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
    place = re.sub(r"[^a-z0-9]+", "_", plain.casefold()).strip("_")
    if not place:
        raise WrongUse("A platform's name has at least one plain letter or digit.")
    folder = shelf.root / place
    if folder.exists():
        raise WrongUse(f"There is a folder {place} already.", "Give it another name.")
    if sister:
        begin_sister(shelf.folder(sister), folder, name)
    else:
        begin_folder(folder)
        save(folder / f"{place}{ENDING}", f"platform {quoted(name)}\n".encode(), None)
    return platform_key(place)
