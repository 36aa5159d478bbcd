"""Which phones may read and write: a code that is shown once is given back for a token, of which only the hash is kept.

Whoever has the file of hashes can list the phones, and cannot be one of them.
"""

import hashlib
import hmac
import json
import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.plain_files import read_plain
from circuitmap.saving import replace_private

FILE_NAME = ".circuitmap-phones"
CODE_SECONDS = 600.0
"""How long a code is good for, if it is not used."""
MOST_GUESSES = 20
"""Wrong codes after which another one is shown."""
MOST_PHONES = 100
LONGEST_NAME = 40
_LARGEST_FILE = 100_000


class Phone(NamedTuple):
    """A paired phone: whose it is, the hash of its token, the day it was paired."""

    name: str
    hash: str
    since: str


@dataclass
class Grants:
    """The phones of one shop, kept beside its folder so that a restart loses none."""

    file: Path
    code: str = ""
    expires: float = 0.0
    guesses: int = 0
    _known: tuple[float, tuple[Phone, ...]] = field(default=(-1.0, ()))

    def new_code(self, now: float) -> str:
        """Another code; the one before is worth nothing from now on."""
        self.code, self.expires, self.guesses = secrets.token_urlsafe(16), now + CODE_SECONDS, 0
        return self.code

    def is_spent(self, now: float) -> bool:
        """Whether the code that is shown has to be replaced."""
        return not self.code or now >= self.expires

    def redeem(self, code: str, name: str, now: float, day: str) -> str | None:
        """The token for a code, which is then spent; None for a wrong or a late one. Raises WrongUse for a name that
        is none."""
        said = " ".join(name.split())
        if not said or len(said) > LONGEST_NAME or not said.isprintable():
            raise WrongUse(f"Whose phone is it? A name of at most {LONGEST_NAME} characters.")
        if self.is_spent(now) or not hmac.compare_digest(code.encode(), self.code.encode()):
            self.guesses += 1
            if self.guesses >= MOST_GUESSES:
                self.code = ""
            return None
        self.code = ""
        token = secrets.token_urlsafe(32)
        phones = [phone for phone in self.phones() if phone.name != said]
        self._keep([*phones[-MOST_PHONES + 1 :], Phone(said, _hash(token), day)])
        return token

    def owner_of(self, token: str) -> str | None:
        """Whose phone has this token; None if nobody's has."""
        hashed = _hash(token)
        return next((p.name for p in self.phones() if hmac.compare_digest(p.hash, hashed)), None)

    def revoke(self, name: str) -> None:
        """Forget a phone. Raises WrongUse for one that is not known."""
        left = [phone for phone in self.phones() if phone.name != name]
        if len(left) == len(self.phones()):
            raise WrongUse(f"There is no phone of {name}.", "circuitmap bay FOLDER --phones lists them.")
        self._keep(left)

    def phones(self) -> tuple[Phone, ...]:
        """All that are paired; read again when somebody else has changed the file."""
        try:
            stamp = self.file.stat().st_mtime_ns / 1e9
        except OSError:
            return ()
        if stamp != self._known[0]:
            self._known = (stamp, self._read())
        return self._known[1]

    def _read(self) -> tuple[Phone, ...]:
        try:
            content = read_plain(self.file, _LARGEST_FILE).content
            rows = json.loads(content)
            return tuple(Phone(str(row["name"]), str(row["hash"]), str(row["since"])) for row in rows)
        except (OSError, ValueError, TypeError, KeyError):
            raise CannotRead(
                f"{self.file} cannot be read as the list of phones.", "Delete it, and pair the phones again."
            ) from None

    def _keep(self, phones: Sequence[Phone]) -> None:
        content = json.dumps([phone._asdict() for phone in phones], indent=1).encode()
        try:
            replace_private(self.file, content)
        except OSError as error:
            raise CannotRead(f"{self.file} cannot be written: {error.strerror}.") from None
        self._known = (-1.0, ())


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
