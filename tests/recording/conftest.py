"""The program as the tests of the command line run it."""

from tests.cli.conftest import circuitmap

__all__ = ["circuitmap"]
