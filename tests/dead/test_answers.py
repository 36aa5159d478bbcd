"""What is said of dead loads: the answer first, honest about doubts, each step with its cautions."""

from circuitmap.reports.dead.dead_json import dead_json
from circuitmap.reports.dead.dead_text import dead_text
from tests.dead.complaints import VAN_LACKS, asked, bench

VAN = bench("sample_vehicles/van", VAN_LACKS)


def told(dead: str, works: str = "", saw: str = "") -> str:
    return " ".join(dead_text(VAN.platform, asked(VAN, dead, works, "run", saw=saw)).split())


def test_the_answer_comes_first_then_the_step_then_the_rest() -> None:
    text = told("SCRL SCRR", "MIRL")
    order = [text.index(word) for word in ("IT MAY BE", "fuse REAR.F72", "NEXT", "OR ELSE", "NOT KNOWN")]
    assert order == sorted(order)


def test_a_fuse_that_blew_blew_for_a_reason() -> None:
    assert "find the short before the next one goes in" in told("SCRL SCRR", "MIRL")


def test_two_that_share_nothing_are_told_as_groups_and_as_a_mistake() -> None:
    text = told("SCRL MIRL", "SCRR MIRR")
    assert "NO SINGLE THING fits all that was said" in text
    assert "switch SCRL and MIRL on yourself first" in text


def test_every_probe_has_its_cautions_and_is_under_load() -> None:
    text = told("SCRL SCRR", "MIRL MIRR TAILR.58")
    assert "switched on (" in text
    for words in (
        "pierce nothing",
        "battery volts: it is not dead",
        "Load off before a plug is parted",
        "never across",
    ):
        assert words in text


def test_what_the_grounds_rest_on_is_said() -> None:
    its = asked(VAN, "SCRL", "", "run")
    assert any("judgement" in sentence for sentence in dead_json(VAN.platform, its)["unknown"])


def test_the_same_in_text_and_json() -> None:
    its = asked(VAN, "SCRL SCRR", "MIRL", "run")
    answer = dead_json(VAN.platform, its)
    assert answer["groups"][0]["one_of"][0]["words"] in dead_text(VAN.platform, its)
    assert abs(sum(one["odds"] for one in answer["suspects"]) - 1) < 1e-9
    assert answer["groups"][0]["chance"] >= answer["groups"][0]["alone"]


def test_order_of_what_was_said_is_irrelevant() -> None:
    one, other = asked(VAN, "SCRL SCRR", "MIRL MIRR", "run"), asked(VAN, "SCRR SCRL", "MIRR MIRL", "run")
    for a, b in zip(one.weighed.groups[:3], other.weighed.groups[:3], strict=True):
        assert {x.name for x in a.breaks} == {x.name for x in b.breaks} and abs(a.chance - b.chance) < 1e-9
