"""What was copied from a sister, checked off on the typing page: one key a line, each written at once."""

from dataclasses import dataclass
from typing import Any, Literal

from circuitmap.failures import WrongUse
from circuitmap.flows.copied import is_different, is_not_there, is_same, left_to_check
from circuitmap.flows.sister_sheets import sheets_of_one
from circuitmap.flows.transcribing import write_addition
from circuitmap.flows.typing_desk import TypingDesk

MOST_SHOWN = 300
"""Statements that are shown at once."""
Answer = Literal["same", "different", "not there"]


@dataclass(frozen=True)
class TypingChecked:
    """By what stands in the files: what was typed on the page is to be written before."""

    desk: TypingDesk

    def left(self, key: str, its_key: str) -> dict[str, Any]:
        """What is left to check on the sheet of a piece, and how many elsewhere."""
        from circuitmap.reports.bay.typed_there import unchecked_values

        saved = self.desk.saved(key)
        piece = self.desk.found(saved, its_key)
        everywhere = left_to_check(saved.folder, None)
        here = [its for its in everywhere if its.sheet == piece.sheet]
        return {
            "left": unchecked_values(here[:MOST_SHOWN]),
            "left_out": max(0, len(here) - MOST_SHOWN),
            "elsewhere": len(everywhere) - len(here),
        }

    def sisters(self, key: str) -> dict[str, Any]:
        """Which sheets only this platform, or only one that it was copied from, has."""
        from circuitmap.reports.problems.copied_text import one_sided_lines

        return {"lines": one_sided_lines(sheets_of_one(self.desk.saved(key).folder))}

    def check(self, key: str, its_key: str, says: str, answer: Answer, typed: str = "") -> dict[str, Any]:
        """Write what somebody found for the first statement that says this. Raises WrongUse where it is not clear,
        or is not to be checked any more."""
        folder = self.desk.saved(key).folder
        piece = self.desk.found(self.desk.saved(key), its_key)
        its = next((its for its in left_to_check(folder, None) if its.said == says and its.sheet == piece.sheet), None)
        if its is None:
            raise WrongUse("This line is not to be checked any more: look at the sheet again.")
        if answer == "same":
            made = is_same(folder, its)
        elif answer == "not there":
            made = is_not_there(folder, its)
        else:
            made = is_different(folder, its, typed)
        write_addition(folder, made)
        return self.left(key, its_key)
