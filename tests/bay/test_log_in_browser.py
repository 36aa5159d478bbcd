"""A night's log chosen on the phone: sent, written down, and told, in a real browser."""

from typing import Any

from tests.bay.phones import paired_phone
from tests.bay.test_bay_page import found, truck
from tests.bay.test_bay_views import shop
from tests.bay.test_logs_beside import NIGHT

__all__ = ["found", "shop", "truck"]


def test_a_log_is_chosen_and_stands_on_the_card(found: Any, shop: Any) -> None:
    page = paired_phone(found, shop, "Ida")
    page.get_by_label("A night's log").set_input_files(str(NIGHT))
    page.wait_for_selector(".entry:has-text('event-1')", timeout=60_000)
    assert not page.errors and len(list(shop.what.parent.glob("log-*.csv"))) == 1
