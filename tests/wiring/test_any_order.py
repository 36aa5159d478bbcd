"""The order in which a vehicle is typed in means nothing, except for the slots of a box."""

from collections import Counter

from hypothesis import given, settings

from circuitmap.problems import Severity
from circuitmap.wiring.parts import OpenEnd
from circuitmap.wiring.platform import Platform
from tests.platforms_strategy import Writing, moved_about, platforms, read, writings


@settings(max_examples=150, deadline=None)
@given(moved_about())
def test_order_of_files_and_of_statements_does_not_matter(both: tuple[Writing, Writing]) -> None:
    first, second = (read(writing) for writing in both)
    assert first == second
    assert list(first.parts) == list(second.parts)
    assert Counter(p.code for p in first.problems) == Counter(p.code for p in second.problems)


@settings(max_examples=60, deadline=None)
@given(writings())
def test_order_of_files_changes_no_problem(writing: Writing) -> None:
    assert read(writing).problems == read(writing[::-1]).problems


@settings(max_examples=150, deadline=None)
@given(platforms())
def test_a_platform_is_sound(platform: Platform) -> None:
    assert not [p for p in platform.problems if p.severity is Severity.ERROR and p.code != "plus-to-minus"]
    for wire in platform.wires:
        assert wire.a != wire.b
        assert {wire.a.part, wire.b.part} <= set(platform.parts)
        assert wire.spans
    ends = Counter((wire.ends, wire.name, wire.condition) for wire in platform.wires)
    assert max(ends.values(), default=1) == 1
    for part in platform.parts.values():
        if isinstance(part, OpenEnd):
            assert len(platform.wires_at[part.name]) == 1
    keys = [(p.code, p.span, p.headline) for p in platform.problems]
    assert len(set(keys)) == len(keys)
    assert [p.span for p in platform.problems] == sorted(p.span for p in platform.problems)
