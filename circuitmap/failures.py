"""What stops a command: wrong use, a file that cannot be read, a limit, a program that did not answer.

    Failure
    +-- WrongUse         exit 2   an unknown part, a position the switch does not have
    +-- CannotRead       exit 3   a folder or file that is missing or cannot be read
        +-- CannotWrite  exit 3   or that cannot, or must not, be written
    +-- LimitReached     exit 4   a published limit was hit
        +-- LayoutFailed exit 4   the drawing could not be laid out in its limits (drawings)

Problems in somebody's text are not exceptions: see `circuitmap.problems`.
"""


class Failure(Exception):
    """The base of everything that a command reports in one clear message. `exit_code` is what the program returns."""

    exit_code = 70

    def __init__(self, message: str, advice: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.advice = advice


class WrongUse(Failure):
    """What was asked for does not exist or does not make sense."""

    exit_code = 2


class CannotRead(Failure):
    """A file or folder cannot be read, or is not what it should be."""

    exit_code = 3


class CannotWrite(CannotRead):
    """A file or its folder cannot, or must not, be written."""


class LimitReached(Failure):
    """A published limit was hit; the message names it."""

    exit_code = 4
