"""The program in this process, and the small van, as the tests of the command line have them."""

from tests.cli.conftest import circuitmap, van

__all__ = ["circuitmap", "van"]
