"""What all tests share. `pytest --update-golden` writes expected texts anew, to be read in the diff."""

import pytest
from hypothesis import settings

# How long an example takes hangs on what else the machine does; speed belongs in the benchmarks.
settings.register_profile("without the clock", deadline=None)
settings.load_profile("without the clock")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write expected texts anew")


@pytest.fixture(autouse=True)
def _no_cache_of_the_user(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is remembered from one test to another, or left in the home of whoever runs them."""
    monkeypatch.setenv("CIRCUITMAP_CACHE", "")
