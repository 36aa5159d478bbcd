"""Several sheets in one picture, one below the other, for outputs that have no pages."""

from collections.abc import Sequence

from circuitmap.drawings.inking.ink import Ink, InkGroup, Picture, Plate, Role
from circuitmap.drawings.inking.paint import moved
from circuitmap.drawings.scene.palette import FAINT, PAPER

_GAP = 18.0


def stacked(pictures: Sequence[Picture]) -> Picture:
    """One picture of all sheets; a single sheet is returned as it is."""
    if len(pictures) == 1:
        return pictures[0]
    width = max(picture.width for picture in pictures)
    height = sum(picture.height for picture in pictures) + _GAP * (len(pictures) - 1)
    ink: list[Ink] = [Plate(0, 0, width, height, 0, PAPER, role=Role.PAGE)]
    groups: list[InkGroup] = []
    y = 0.0
    for number, picture in enumerate(pictures):
        if number:
            y += _GAP
            ink.append(Plate(0, y - _GAP / 2 - 2, width, 4, 0, FAINT, role=Role.PAGE))
        left = (width - picture.width) / 2
        groups += [group.moved(len(ink), left, y) for group in picture.groups]
        ink += [moved(piece, left, y) for piece in picture.ink]
        y += picture.height
    words = " ".join(dict.fromkeys(picture.words for picture in pictures))
    return Picture(width, height, tuple(ink), pictures[0].title, words, groups=tuple(groups))
