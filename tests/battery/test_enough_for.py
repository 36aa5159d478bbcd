"""A measured draw is called enough for a complaint only if it is, whatever the meter may be off."""

from hypothesis import given, settings
from hypothesis import strategies as st

from circuitmap.battery.parked_time import Enough, Usable, draw_that_explains, enough_for
from circuitmap.quantities import Band

IS_ENOUGH = (Enough.ENOUGH, Enough.MORE_THAN_ENOUGH)


@settings(max_examples=300, deadline=None)
@given(
    shown=st.floats(0.0, 2.0), off=st.floats(0.0, 0.2), low=st.floats(1.0, 60.0), more=st.floats(0.0, 40.0),
    hours=st.floats(10.0, 700.0), longer=st.floats(1.0, 2.0),
)  # fmt: skip
def test_what_is_too_little_as_shown_is_never_called_enough(
    shown: float, off: float, low: float, more: float, hours: float, longer: float
) -> None:
    usable = Usable(ampere_hours=Band(low, low + more), assumed=())
    complained = Band(hours, hours * longer)
    needed = draw_that_explains(usable, complained)
    draw = Band(max(0.0, shown - off), shown + off)
    found = enough_for(usable, draw, complained, shown)
    if shown < needed.low:
        assert found in (Enough.TOO_LITTLE, Enough.NOT_AS_SHOWN)
    else:
        assert found not in (Enough.TOO_LITTLE, Enough.NOT_AS_SHOWN)
    assert (found in IS_ENOUGH) == (draw.low >= needed.low)
