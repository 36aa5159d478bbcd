"""What somebody wants to see drawn."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from circuitmap.drawings.scene.scene import Mark

MOST_PARTS = 40
"""How many parts are drawn unless everything is asked for; grounds and marks such as `+7 more` do not count. Judgement:
about what fits three A4 pages, and a reader."""
MOST_PARTS_OF_ALL = 300
"""How many parts are drawn even if everything is asked for; the rest is counted and reported (judgement: two seconds;
the truck of the samples has fewer)."""
MOST_WIRES = 900
"""How many wires are drawn, likewise."""
MOST_NETWORKS = 40
"""How many networks are drawn, likewise."""
MOST_FOLLOWED = 400_000
"""How many steps of ways are looked at for one drawing (judgement: one second; the whole truck of the samples takes a
twentieth of that)."""
MOST_BESIDE = 30_000
"""The work allowed for the ways from the parts asked for to the parts beside them: `A_WAY_BESIDE` for each way, and one
for each of its wires (judgement: half a second; the truck of the samples takes a fifth of that)."""
A_WAY_BESIDE = 4
MOST_BESIDE_ON_A_PAGE = 3_000
"""The same for each of the drawings on one page, of which there are dozens (judgement: no fuse has 500 neighbours)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Parts by full name. `named` are those asked for; the others are marked as what they are; a `sheet`, if given, is
    drawn as it was typed and the rest is only marked on it. `everything`: no limit on parts, and one picture. `also`
    are drawn without a mark. `proven`: the suspect has been found faulty. `most_beside` is the work allowed for what is
    beside them.
    """

    named: tuple[str, ...] = ()
    drawing: tuple[str, ...] = ()
    quiet: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    suspect: tuple[str, ...] = ()
    proven: bool = False
    also: tuple[str, ...] = ()
    sheet: str = ""
    everything: bool = False
    title: str = ""
    most_beside: int = MOST_BESIDE

    @property
    def most_parts(self) -> int:
        return MOST_PARTS_OF_ALL if self.everything else MOST_PARTS

    @property
    def in_focus(self) -> tuple[str, ...]:
        """Every part that must be in the drawing, the drawing fuses first."""
        return tuple(dict.fromkeys((*self.drawing, *self.named, *self.suspect, *self.quiet, *self.unread, *self.also)))

    def instead(self, others: Mapping[str, str]) -> "Wanted":
        """The same with other names for these."""

        def named(names: tuple[str, ...]) -> tuple[str, ...]:
            return tuple(dict.fromkeys(others.get(name, name) for name in names))

        return replace(
            self,
            named=named(self.named),
            drawing=named(self.drawing),
            quiet=named(self.quiet),
            unread=named(self.unread),
            suspect=named(self.suspect),
            also=named(self.also),
        )

    def mark_of(self, part: str) -> Mark:
        """A fuse that draws is shown as drawing whatever else it is."""
        for names, mark in (
            (self.drawing, Mark.DRAWING),
            (self.suspect, Mark.FAULTY if self.proven else Mark.SUSPECT),
            (self.unread, Mark.UNREAD),
            (self.quiet, Mark.QUIET),
        ):
            if part in names:
                return mark
        return Mark.NONE
