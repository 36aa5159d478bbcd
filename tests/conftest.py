"""One flag for all expected texts: `pytest --update-golden` writes them anew, to be read in the diff."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write expected texts anew")
