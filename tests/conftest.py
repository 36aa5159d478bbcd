"""What all tests share. `pytest --update-golden` writes expected texts anew, to be read in the diff."""

import gc

import pytest
from hypothesis import settings

from circuitmap.cli.main import add_up_in_one_thread

# As the program does it, and before anything loads numpy: several workers with a thread for each processor get in each
# other's way.
add_up_in_one_thread()

# How long an example takes hangs on what else the machine does; speed belongs in the benchmarks.
settings.register_profile("without the clock", deadline=None)
settings.load_profile("without the clock")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write expected texts anew")


def pytest_collection_finish() -> None:
    """What was collected, and all modules, stay to the end: nobody need look for cycles among them again and again. For
    what tests make the program's own reason holds (`cli.main.collect_seldom`), less far: a run of the tests is long."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


@pytest.fixture(autouse=True)
def _no_cache_of_the_user(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is remembered from one test to another, or left in the home of whoever runs them."""
    monkeypatch.setenv("CIRCUITMAP_CACHE", "")
