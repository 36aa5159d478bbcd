"""What the tests of this folder share."""

from tests.cli.conftest import circuitmap as circuitmap
