"""The message for a slip in `card new --option` names the options, and no line of a file that was never written."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from circuitmap.cli.main import program
from circuitmap.failures import WrongUse

VAN = Path(__file__).parents[2] / "sample_vehicles" / "van"


@pytest.mark.parametrize("flag", ["--option", "--without"])
def test_an_unknown_option_of_a_new_card(tmp_path: Path, flag: str) -> None:
    card = tmp_path / "job.yaml"
    words = ["card", "new", str(VAN), str(card), flag, "TWO"]
    with pytest.raises(WrongUse) as slip:
        CliRunner().invoke(program, words, catch_exceptions=False, standalone_mode=False)
    assert slip.value.message == "There is no equipment option and no part TWO."
    assert slip.value.advice.startswith("Options of this platform: AUXHEAT, COLDBOX, TOW.")
    assert "yaml" not in slip.value.message + slip.value.advice and not card.exists()


def test_options_and_parts_that_there_are(tmp_path: Path) -> None:
    words = ["card", "new", str(VAN), str(tmp_path / "job.yaml"), "--option", "TOW", "--without", "TACHO"]
    assert CliRunner().invoke(program, words, standalone_mode=False).return_value == 0
