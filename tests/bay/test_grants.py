"""A code is good once, for ten minutes; a token is kept as its hash; whoever is revoked is out at once."""

import stat
from pathlib import Path

import pytest

from circuitmap.failures import CannotRead, WrongUse
from circuitmap.web.grants import CODE_SECONDS, LONGEST_NAME, MOST_GUESSES, MOST_PHONES, Grants


@pytest.fixture
def grants(tmp_path: Path) -> Grants:
    return Grants(tmp_path / ".circuitmap-phones")


def test_a_code_is_good_once(grants: Grants) -> None:
    code = grants.new_code(0.0)
    token = grants.redeem(code, "Ida", 1.0, "2026-02-03")
    assert token and grants.owner_of(token) == "Ida"
    assert grants.is_spent(1.0) and grants.redeem(code, "Tom", 1.0, "2026-02-03") is None
    assert token not in grants.file.read_text() and code not in grants.file.read_text()
    assert stat.S_IMODE(grants.file.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    ("seconds", "good"), [(CODE_SECONDS - 1, True), (CODE_SECONDS, False), (CODE_SECONDS + 1, False)]
)
def test_a_code_gets_old(grants: Grants, seconds: float, good: bool) -> None:
    code = grants.new_code(0.0)
    assert (grants.redeem(code, "Ida", seconds, "2026-02-03") is not None) == good


@pytest.mark.parametrize(
    ("guesses", "good"), [(MOST_GUESSES - 1, True), (MOST_GUESSES, False), (MOST_GUESSES + 1, False)]
)
def test_a_code_that_is_guessed_at_is_replaced(grants: Grants, guesses: int, good: bool) -> None:
    code = grants.new_code(0.0)
    for number in range(guesses):
        assert grants.redeem(f"guess{number}é", "Eve", 1.0, "2026-02-03") is None
    assert (grants.redeem(code, "Ida", 1.0, "2026-02-03") is not None) == good


def test_no_empty_code_pairs_anybody(grants: Grants) -> None:
    assert grants.redeem("", "Eve", 0.0, "2026-02-03") is None
    assert grants.owner_of("") is None


@pytest.mark.parametrize(
    ("name", "good"),
    [
        ("x" * (LONGEST_NAME - 1), True),
        ("x" * LONGEST_NAME, True),
        ("x" * (LONGEST_NAME + 1), False),
        ("  ", False),
        ("a\x1bb", False),
    ],
)
def test_a_name_has_a_form(grants: Grants, name: str, good: bool) -> None:
    code = grants.new_code(0.0)
    if good:
        assert grants.redeem(code, name, 1.0, "2026-02-03")
    else:
        with pytest.raises(WrongUse, match="Whose phone"):
            grants.redeem(code, name, 1.0, "2026-02-03")
        assert grants.redeem(code, "Ida", 1.0, "2026-02-03"), "the code is not spent by a slip"


def test_revoking_counts_at_once_in_another_program(grants: Grants) -> None:
    tokens = {name: grants.redeem(grants.new_code(0.0), name, 1.0, "2026-02-03") for name in ("Ida", "Tom")}
    Grants(grants.file).revoke("Ida")
    assert grants.owner_of(tokens["Ida"] or "") is None and grants.owner_of(tokens["Tom"] or "") == "Tom"
    with pytest.raises(WrongUse, match="no phone of Ida"):
        grants.revoke("Ida")


def test_a_restart_loses_no_phone_and_a_new_one_of_the_same_name_replaces_the_old(grants: Grants) -> None:
    first = grants.redeem(grants.new_code(0.0), "Ida", 1.0, "2026-02-03") or ""
    assert Grants(grants.file).owner_of(first) == "Ida"
    second = grants.redeem(grants.new_code(0.0), "Ida", 1.0, "2026-02-04") or ""
    assert grants.owner_of(first) is None and grants.owner_of(second) == "Ida"
    for number in range(MOST_PHONES):
        grants.redeem(grants.new_code(0.0), f"phone {number}", 1.0, "2026-02-04")
    assert len(grants.phones()) == MOST_PHONES and grants.owner_of(second) is None


def test_a_list_that_is_none_is_one_clear_message(grants: Grants) -> None:
    grants.file.write_text("{")
    with pytest.raises(CannotRead, match="list of phones"):
        grants.phones()
