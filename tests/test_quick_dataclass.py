"""A quick dataclass does what one of the standard library does with the same text: that is the source of each check."""

import copy
import dataclasses
import pickle
import re
from collections.abc import Callable
from dataclasses import FrozenInstanceError, field
from itertools import product
from pathlib import Path
from typing import Any

import pytest

import circuitmap.quick_dataclass as quick

Make = Callable[..., Any]
FORMS = tuple(product((True, False), repeat=3))


def classes_of(make: Make, frozen: bool, slots: bool, by_name: bool, eq: bool = True) -> tuple[type, type]:
    @make(frozen=frozen, slots=slots, kw_only=by_name, eq=eq)
    class Plain:
        a: int
        b: str = "usual"
        c: list[int] = field(default_factory=list)
        d: int = field(default=4, compare=False, repr=False)
        e: int = field(default=5, hash=False)
        f: int = field(default=6, init=False)

    @make(frozen=frozen, slots=slots, kw_only=True, eq=eq)
    class Below(Plain):
        own: int

    return Plain, Below


@pytest.mark.parametrize(("frozen", "slots", "by_name"), FORMS)
def test_as_the_standard_library(frozen: bool, slots: bool, by_name: bool) -> None:
    for ours, theirs in zip(
        classes_of(quick.dataclass, frozen, slots, by_name), classes_of(dataclasses.dataclass, frozen, slots, by_name),
        strict=True,
    ):  # fmt: skip
        own = {"own": 7} if "own" in {one.name for one in dataclasses.fields(ours)} else {}
        for given in ({"a": 1}, {"a": 1, "b": "x", "c": (3,)}, {"a": 1, "c": (), "d": 9}, {"a": 1, "c": (), "e": 8}):
            one, other = ours(**given, **own), theirs(**given, **own)
            assert repr(one) == repr(other)
            assert dataclasses.astuple(one) == dataclasses.astuple(other)
            assert one == ours(**given, **own) and one != other
            assert (one == ours(**{**given, "d": 1}, **own)) == (other == theirs(**{**given, "d": 1}, **own))
            assert (one == ours(**{**given, "e": 1}, **own)) == (other == theirs(**{**given, "e": 1}, **own))
            if frozen and "c" in given:
                assert hash(one) == hash(other)
            changed = dataclasses.replace(one, a=2)
            assert (changed.a, changed.b, one.a) == (2, one.b, 1)
        assert ours(a=1, **own).c is not ours(a=1, **own).c
        assert ours.__match_args__ == theirs.__match_args__  # type: ignore[attr-defined]
        assert (ours.__hash__ is None) == (theirs.__hash__ is None)
        with pytest.raises(TypeError):
            ours(**own)
        with pytest.raises(TypeError):
            ours(a=1, f=1, **own)
        if by_name:
            with pytest.raises(TypeError):
                ours(1, **own)
        else:
            assert ours(1, "x", **own) == ours(a=1, b="x", **own)


@pytest.mark.parametrize("slots", [True, False])
def test_what_is_frozen_does_not_change(slots: bool) -> None:
    its = classes_of(quick.dataclass, True, slots, False)[0](1)
    with pytest.raises(FrozenInstanceError):
        its.a = 2
    with pytest.raises(FrozenInstanceError):
        del its.a
    assert its.a == 1
    free = classes_of(quick.dataclass, False, slots, False)[0](1)
    free.a = 2
    assert free.a == 2


@quick.dataclass(frozen=True, slots=True)
class Held:
    a: int
    b: tuple[int, ...] = ()


@quick.dataclass(slots=True)
class Counted:
    a: int
    b: int = field(init=False)

    def __post_init__(self) -> None:
        self.b = self.a + 1


def test_is_copied_and_pickled() -> None:
    its = Held(1, (2,))
    assert copy.copy(its) == copy.deepcopy(its) == pickle.loads(pickle.dumps(its)) == its


def test_what_follows_once_it_is_made() -> None:
    assert Counted(1).b == 2


def test_without_eq_each_is_itself() -> None:
    ours = classes_of(quick.dataclass, True, True, True, eq=False)[0]
    assert ours(a=1) != ours(a=1)
    assert len({ours(a=1), ours(a=1)}) == 2


def test_nobody_takes_the_slow_one() -> None:
    package = Path(quick.__file__).parent
    slow = re.compile(r"^from dataclasses import .*\bdataclass\b|\bdataclasses\.dataclass\b", re.M)
    found = {file.name for file in package.rglob("*.py") if slow.search(file.read_text("utf-8"))}
    assert found == {"quick_dataclass.py"}
