"""Every slip that people make is told, once, at its place: three hundred of them, in vehicles of real scale."""

import pytest

from tests.planted_faults.experiment import TABLE, outcomes
from tests.planted_faults.kinds import KINDS


@pytest.mark.slow
def test_every_planted_slip_is_told_once_at_its_place():
    results = outcomes()
    assert len(results) >= 300
    assert [o for o in results if not o.found] == []
    assert sum(o.exact for o in results) >= 0.99 * len(results)
    assert sum(o.extra for o in results) <= 0.02 * len(results)
    suggestions = [o.suggested for o in results if o.suggested is not None]
    assert sum(suggestions) >= 0.98 * len(suggestions)


def test_the_published_table_has_every_kind_of_slip_and_none_that_was_not_found():
    """Written by `python -m tests.planted_faults.experiment`."""
    rows = [line.strip("| ").split(" | ") for line in TABLE.read_text(encoding="utf-8").splitlines() if " | " in line]
    _, *kinds, together = rows
    assert [row[0].replace(" ", "_") for row in kinds] == [kind.__name__ for kind in KINDS]
    assert int(together[1]) == int(together[2]) >= 300
