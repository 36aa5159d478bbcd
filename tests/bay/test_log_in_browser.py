"""A night's log chosen on the phone: sent, written down, and told, in a real browser."""

from typing import Any

from tests.bay.phones import paired_phone
from tests.bay.served import Served
from tests.bay.test_logs_beside import NIGHT


def test_a_log_is_chosen_and_stands_on_the_card(found: Any, camper: Served) -> None:
    page = paired_phone(found, camper, "Ida")
    page.get_by_label("A night's log").set_input_files(str(NIGHT))
    page.wait_for_selector(".entry:has-text('event-1')", timeout=60_000)
    assert not page.errors and len(list(camper.card.parent.glob("log-*.csv"))) == 1
