"""A platform while it is being put together: the parts known so far, and what was found wrong on the way."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any, cast

from circuitmap.notation.statements import Clauses, Word
from circuitmap.problems import Problem, Related, Severity
from circuitmap.source import Span
from circuitmap.wiring.near_names import NearNames
from circuitmap.wiring.parts import Care, Condition, Fuse, HandsOff, Need, Part
from circuitmap.wiring.platform import EquipmentOption
from circuitmap.wiring.sheets import OnSheet


@dataclass
class PlatformDraft:
    """`doubted` are names that a misspelt word or an unreadable line may have meant: nothing that looks missing
    there is reported, so that one slip gives one message; `doubted_prefixes` are how names begin that an unreadable
    `naming` line may have been about. `letters` are the maker's colour letters,
    `patterns` the prefixes of names that need no declaration and what they stand for, longest first. `volts` is the
    nominal voltage, which makes amperes of watts."""

    parts: dict[str, Part] = field(default_factory=dict)
    options: dict[str, EquipmentOption] = field(default_factory=dict)
    letters: dict[str, str] = field(default_factory=dict)
    patterns: tuple[tuple[str, str], ...] = ()
    doubted: set[str] = field(default_factory=set)
    doubted_prefixes: tuple[str, ...] = ()
    used_options: set[str] = field(default_factory=set)
    volts: float = 12.0
    slots: dict[str, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def error(self, code: str, headline: str, span: Span, **more: Any) -> None:
        self.problems.append(Problem(code, Severity.ERROR, headline, span, **more))

    def warning(self, code: str, headline: str, span: Span, **more: Any) -> None:
        self.problems.append(Problem(code, Severity.WARNING, headline, span, **more))

    def declare(self, part: Part, word: Word, more_of_it: bool = False) -> None:
        """Enter a declared part; a second sheet fills in what is missing; where the two disagree, that is a problem.

        `more_of_it`: another statement about the same part is natural, even on the same sheet.
        """
        known = self.parts.get(part.name)
        if known is None:
            self.parts[part.name] = part
            return
        assert known.declared is not None
        first = (Related(known.declared, "declared first here"),)
        if type(known) is not type(part) or known.kind != part.kind:
            self.error(
                "declared-twice",
                f"{part.name} is declared twice: {_a(known.kind)} and {_a(part.kind)}.",
                word.span,
                related=first,
            )
            return
        both = _fuse_or_empty(known, part)
        if both is not None:
            self.parts[part.name] = both
            return
        filled, differing = _filled_in(known, part)
        if differing:
            self.error(
                "declared-twice",
                f"{part.name} is declared twice, and the two differ in {_and(differing)}.",
                word.span,
                related=first,
            )
            return
        elsewhere = known.sheets and part.sheets and not set(known.sheets) & set(part.sheets)
        if not elsewhere and not more_of_it:
            self.warning("declared-twice", f"{part.name} is declared twice.", word.span, related=first)
        self.parts[part.name] = filled

    def condition(self, on: OnSheet, clauses: Clauses) -> Condition:
        """What must be fitted for this statement to hold: its own `if` and that of its sheet."""
        if not on.conditions and not clauses.conditions:
            return ()
        needs: dict[Need, None] = {}
        for option, fitted in (*on.conditions, *clauses.conditions):
            need = Need(option.text, fitted)
            if Need(option.text, not fitted) in needs:
                self.error(
                    "never-holds",
                    f"This holds only with and without {option.text} at once, so never.",
                    option.span,
                )
            needs[need] = None
            self.used_options.add(option.text)
        return tuple(sorted(needs))

    def know_options(self, conditions: Iterable[tuple[Word, bool]]) -> None:
        """Report each unknown option once, where it is first used."""
        reported: set[str] = set()
        index = NearNames(self.options)
        for option, _ in conditions:
            if option.text not in self.options and option.text not in reported | self.doubted:
                reported.add(option.text)
                near = index.near(option.text)
                self.doubted.update({near} if near else ())
                self.error(
                    "unknown-option",
                    f"{option.text} is not an equipment option of this platform.",
                    option.span,
                    suggestion=near,
                    advice=f'Declare it: option {option.text} "what it is".' if not near else "",
                )


def about(
    draft: PlatformDraft, name: Word, on: OnSheet, clauses: Clauses, description: Word | None = None
) -> dict[str, Any]:
    """The fields that every part has, from what follows its declaration."""
    said = description or clauses.description
    copied = clauses.copied or on.copied
    return {
        "name": name.text,
        "description": said.text if said else "",
        "place": clauses.place.text if clauses.place else "",
        "part_number": clauses.part_number.text if clauses.part_number else "",
        "reach": clauses.reach.band if clauses.reach else None,
        "condition": draft.condition(on, clauses),
        "copied": copied.text if copied else "",
        "hands_off": hands_off(on, clauses),
        "care": tuple(cast(Care, word) for word in dict.fromkeys(word.text for word in clauses.care)),
        "sheets": (on.sheet,) if on.sheet else (),
        "declared": name.span,
    }


def hands_off(on: OnSheet, clauses: Clauses) -> HandsOff:
    """What a statement says about touching what it declares, or else what its sheet says."""
    said = clauses.hands_off or on.hands_off
    return cast(HandsOff, said.text) if said is not None else ""


_NOT_COMPARED = {"name", "kind", "declared", "first_use", "sheets", "slot"}
_SAID_AS = {
    "description": "description", "place": "place", "part_number": "part number", "reach": "reach",
    "condition": "the equipment they need", "copied": "what they were copied from", "is_key": "being the key",
    "by": "the module that reads it", "roles": "what its pins are", "hands_off": "whether they are hands-off",
}  # fmt: skip


def _fuse_or_empty(one: Part, other: Part) -> Fuse | None:
    """A slot that holds a fuse with some equipment and is empty without it; None for anything else."""
    if not isinstance(one, Fuse) or not isinstance(other, Fuse) or one.empty is other.empty:
        return None
    fitted, empty = (other, one) if one.empty else (one, other)
    opposite = tuple(need._replace(fitted=not need.fitted) for need in empty.condition)
    return replace(fitted, else_empty=True) if len(opposite) == 1 and opposite == fitted.condition else None


def _filled_in(known: Part, again: Part) -> tuple[Part, list[str]]:
    """`known` filled in with what only `again` says, and the names of the fields in which the two disagree."""
    changes: dict[str, Any] = {"sheets": tuple(dict.fromkeys((*known.sheets, *again.sheets)))}
    differing = []
    for its in fields(known):
        if its.name in _NOT_COMPARED:
            continue
        first, second = getattr(known, its.name), getattr(again, its.name)
        if first == second:
            continue
        if its.name == "condition":
            differing.append(_SAID_AS["condition"])
        elif not second:
            continue
        elif not first:
            changes[its.name] = second
        elif isinstance(first, Mapping):
            if any(first.get(pin, role) != role for pin, role in second.items()):
                differing.append(_SAID_AS.get(its.name, its.name))
            changes[its.name] = {**first, **second}
        elif its.name == "contacts" and hasattr(known, "positions"):
            changes[its.name] = tuple(sorted({*first, *second}))
        else:
            differing.append(_SAID_AS.get(its.name, its.name.replace("_", " ")))
    return replace(known, **changes), differing


def _a(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _and(words: list[str]) -> str:
    return words[0] if len(words) == 1 else ", ".join(words[:-1]) + " and " + words[-1]
