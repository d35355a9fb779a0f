"""Marks along level seams: what set-ups above one another share, and how far they may miss."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from numpy.typing import ArrayLike

from giornata.core.foundation import Assumption, readonly
from giornata.core.setting_out.mark_accuracy import LEAST_MARKS, Picture
from giornata.core.setting_out.mark_place import Column, placed_between, placed_in_column
from giornata.core.setting_out.marks import CROSS, END_INSET, LEVEL_INSET, ControlMark
from giornata.core.setting_out.seam_accuracy import Overlap, SeamMiss, marks_of_pair, told
from giornata.core.setting_out.seam_choice import fewest_for_seam, room_for

__all__ = [
    "ImageOnWall",
    "LevelSeam",
    "level_misses",
    "level_seam",
    "marks_along",
    "marks_for_level_seams",
    "seen_over_rows",
]

WANDERS = Assumption(
    name="how far from a level seam its lines are drawn by either picture",
    value=0.25,
    unit="m",
    source="own choice: half of the overlap that rows have at least by default",
    usual=(0.1, 0.5),
)
TWO_ROWS = Assumption(
    name="height of an overlap of rows from which two marks stand above one another in it",
    value=0.40,
    unit="m",
    source="common practice, no source: two crosses of 0.1 m that nobody takes for one another",
    usual=(0.3, 0.6),
)
_SHARES = (0.0, 0.25, 0.5, 0.75, 1.0)  # of what both pictures draw: columns of marks


@dataclass(frozen=True, slots=True, kw_only=True)
class ImageOnWall:
    """What one set-up's image covers of the wall.

    Parameters
    ----------
    number : int
        Of the set-up. [-]
    row : int
        From 1 upwards. [-]
    start, end, foot, head : float
        Chainages and levels of its edges. [m]
    """

    number: int
    row: int
    start: float
    end: float
    foot: float
    head: float

    def holds(self, chainage: float, level: float) -> bool:
        """Whether a cross at a place lies on it whole.

        Parameters
        ----------
        chainage, level : float
            Of the cross. [m]
        """
        inset = CROSS.value - 0.001  # less what a place is rounded by
        return (
            self.start + inset <= chainage <= self.end - inset
            and self.foot + inset <= level <= self.head - inset
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class LevelSeam:
    """Where the picture of a set-up and the one above it meet.

    Parameters
    ----------
    lower, upper : ImageOnWall
        What both images cover.
    level : float
        Of the seam. [m]
    overlap : Overlap
        The strip about the seam that is looked at, with both pictures.
    """

    lower: ImageOnWall
    upper: ImageOnWall
    level: float
    overlap: Overlap

    def miss(self, marks: Sequence[ControlMark]) -> float:
        """95 times of 100 both miss one another by no more; infinite with too few marks. [m]

        Parameters
        ----------
        marks : sequence of ControlMark
            Those that they are squared on.
        """
        groups = marks_of_pair(marks, self.lower.number, self.upper.number)
        if any(len(groups[side]) + len(groups[2]) < LEAST_MARKS for side in (0, 1)):
            return math.inf
        return float(self.overlap.miss(told(self.overlap, groups)))


def level_seam(
    lower: ImageOnWall, upper: ImageOnWall, pictures: tuple[Picture, Picture], level: float
) -> LevelSeam | None:
    """The level seam of two set-ups above one another; None where they share no strip of wall.

    Parameters
    ----------
    lower, upper : ImageOnWall
        What both images cover.
    pictures : tuple of Picture
        What the lower and the upper one draw.
    level : float
        Where they meet. [m]
    """
    low, high = pictures
    start, end = max(low.start, high.start), min(low.end, high.end)
    foot = max(upper.foot, level - WANDERS.value)
    head = min(lower.head, level + WANDERS.value)
    if not (end > start and head > foot):
        return None
    overlap = Overlap(
        left=low, right=high, start=start, end=end, foot=foot, head=head, level=True
    )  # fmt: skip
    return LevelSeam(lower=lower, upper=upper, level=level, overlap=overlap)


def level_misses(seams: Sequence[LevelSeam], marks: Sequence[ControlMark]) -> tuple[SeamMiss, ...]:
    """How far the pictures of set-ups above one another may miss one another.

    Parameters
    ----------
    seams : sequence of LevelSeam
        Of the wall.
    marks : sequence of ControlMark
        Those that its pictures are squared on.

    Notes
    -----
    As `seam_misses`, at the worst of places along the seam and up to `WANDERS` above and below it,
    as far as both images reach.
    """
    return tuple(
        SeamMiss(
            left=one.lower.number,
            right=one.upper.number,
            chainage=(one.overlap.start + one.overlap.end) / 2,
            level=one.level,
            expected=one.miss(marks),
        )
        for one in seams
    )


def seen_over_rows(
    mark: ControlMark, images: Sequence[ImageOnWall], *, row: int
) -> tuple[int, ...]:
    """Numbers of the set-ups that see a mark of one row: its own, and those of other rows. [-]

    Parameters
    ----------
    mark : ControlMark
        With the set-ups of its row that see it.
    images : sequence of ImageOnWall
        Of all set-ups.
    row : int
        To which the mark belongs. [-]
    """
    others = (
        one.number for one in images if one.row != row and one.holds(mark.chainage, mark.level)
    )
    return tuple(sorted({*mark.set_ups, *others}))


def marks_for_level_seams(
    marks: Sequence[ControlMark],
    seams: Sequence[LevelSeam],
    images: Sequence[ImageOnWall],
    *,
    limit: float,
    ground: ArrayLike,
    top: ArrayLike,
    keep_off: Sequence[tuple[str, Any]] = (),
) -> tuple[ControlMark, ...]:
    """Marks to add in the overlaps of rows, until pictures above one another meet within a limit.

    Parameters
    ----------
    marks : sequence of ControlMark
        Those that there are.
    seams : sequence of LevelSeam
        From left to right.
    images : sequence of ImageOnWall
        Of all set-ups: each says which marks it sees.
    limit : float
        How far the two may miss one another at the worst place about their seam, 95 times of 100;
        above 0. [m]
    ground, top : array, shape (k, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]

    Raises
    ------
    ValueError
        If the limit is not above 0.

    Notes
    -----
    To choose among: five columns over what both pictures draw, the outer ones at its ends where
    the neighbours see them too, of one mark or, in overlaps higher than `TWO_ROWS`, of two. Seam
    by seam the fewest that hold it, of every choice; among as many those with the least miss. What
    later ones make needless is left out again. Where all together do not hold a seam it gets the
    fewest that are nearly as good.
    """
    if not limit > 0:
        raise ValueError("what is allowed at a seam is above 0")
    added: list[ControlMark] = []
    limits: list[float] = []
    for seam in seams:
        free = [
            one for one in marks_along(seam, images, ground=ground, top=top, keep_off=keep_off)
            if room_for(one, [*marks, *added])
        ]  # fmt: skip
        pair = seam.lower.number, seam.upper.number
        chosen, held = fewest_for_seam(seam.overlap, pair, [*marks, *added], free, limit)
        added += chosen
        limits.append(held)
    for mark in added[::-1]:
        fewer = [one for one in added if one is not mark]
        if all(
            seam.miss([*marks, *fewer]) <= held
            for seam, held in zip(seams, limits, strict=True)
            if {seam.lower.number, seam.upper.number} & set(mark.set_ups)
        ):
            added = fewer
    return tuple(added)


def marks_along(
    seam: LevelSeam,
    images: Sequence[ImageOnWall],
    *,
    ground: ArrayLike,
    top: ArrayLike,
    keep_off: Sequence[tuple[str, Any]] = (),
) -> list[ControlMark]:
    """Where marks could be set in the overlap of rows: five columns of one or two.

    Parameters
    ----------
    seam : LevelSeam
        Of the two set-ups.
    images : sequence of ImageOnWall
        Of all set-ups.
    ground, top : array, shape (k, 2)
        As in `control_marks`. [m]
    keep_off : sequence of (str, shapely geometry)
        As in `control_marks`. [m]
    """
    low, high = readonly(ground, columns=2), readonly(top, columns=2)
    barred = [(name, shapely.buffer(area, CROSS.value)) for name, area in keep_off]
    foot, head = seam.upper.foot + CROSS.value, seam.lower.head - CROSS.value
    start = max(seam.overlap.start, low[0, 0], high[0, 0]) + END_INSET.value
    end = min(seam.overlap.end, low[-1, 0], high[-1, 0]) - END_INSET.value
    if not (head >= foot and end > start):
        return []
    reach = (end - start) / 16
    found: list[ControlMark] = []
    for letter, share in zip("abcde", _SHARES, strict=True):
        best = start + share * (end - start)
        column = Column(
            start=max(best - reach, start), end=min(best + reach, end), best=best, ground=low,
            top=high, inset=LEVEL_INSET.value, seen=(foot, head),
        )  # fmt: skip
        spots = [("middle", placed_between(column, barred))]
        if head - foot >= TWO_ROWS.value - 2 * CROSS.value:
            spots = list(zip(("lower", "upper"), placed_in_column(column, barred), strict=True))
        for row, spot in spots:
            if spot is None:
                continue
            x, level, base = spot
            found.append(
                ControlMark(
                    name=f"over {seam.lower.number} {letter} {row}",
                    column=0,
                    row=row,
                    chainage=round(x, 3),
                    level=round(level, 3),
                    above_ground=round(level - base, 3),
                    set_ups=tuple(one.number for one in images if one.holds(x, level)),
                    moved=round(x - best, 3),
                )
            )
    return found
