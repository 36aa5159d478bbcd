"""One flag for all expected texts: `pytest --update-golden` writes them anew, to be read in the diff."""

import pytest


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write expected texts anew")


@pytest.fixture(autouse=True)
def _no_cache_of_the_user(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is remembered from one test to another, or left in the home of whoever runs them."""
    monkeypatch.setenv("CIRCUITMAP_CACHE", "")
