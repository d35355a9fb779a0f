"""Seams of which a picture is still to be drawn: how they will meet, and marks that hold them."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from giornata.core.foundation import Floats
from giornata.core.setting_out import (
    LEAST_MARKS,
    ControlMark,
    PictureSeam,
    fewest_for_seam,
    marks_of_pair,
    room_for,
    told,
)

__all__ = ["SeamsAsked"]

_MOST = 10  # candidates of one seam of which every choice is tried

Names = Mapping[int, Collection[str]]
"""Of set-ups: marks that they see."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SeamsAsked:
    """What is asked of seams, and what there is to hold them by.

    Parameters
    ----------
    limit : float
        How far two pictures may miss one another at the worst place of their seam, 95 times of
        100; above 0. [m]
    seams : tuple of PictureSeam
        Of the wall.
    candidates : tuple of ControlMark
        Marks that could be chalked for seams, besides those that serve pictures.
    drawn : mapping of int to collection of str
        Of set-ups that are drawn: the marks that they were squared on.

    Raises
    ------
    ValueError
        If the limit is not above 0.
    """

    limit: float
    seams: tuple[PictureSeam, ...]
    candidates: tuple[ControlMark, ...]
    drawn: Names

    def __post_init__(self) -> None:
        if not self.limit > 0:
            raise ValueError("what is allowed at a seam is above 0")

    def open(self, coming: Names) -> tuple[PictureSeam, ...]:
        """Seams with a picture still to come, where it is known what the other is squared on.

        Parameters
        ----------
        coming : mapping of int to collection of str
            Of set-ups still to be drawn: the marks that they will see.
        """
        known = set(coming) | set(self.drawn)
        return tuple(
            one
            for one in self.seams
            if {one.left, one.right} <= known and {one.left, one.right} & set(coming)
        )

    def miss(
        self,
        seam: PictureSeam,
        coming: Names,
        good: Mapping[str, Floats],
        new: Sequence[ControlMark] = (),
    ) -> float:
        """95 times of 100 its pictures miss one another by no more; infinite if marks lack. [m]

        Parameters
        ----------
        seam : PictureSeam
            One of those.
        coming : mapping of int to collection of str
            As in `open`.
        good : mapping of str to ndarray, shape (2,)
            Marks that can be relied on, where they are. [m]
        new : sequence of ControlMark
            Chalked anew.
        """
        groups = marks_of_pair(self._seen(seam, coming, good, new), seam.left, seam.right)
        if any(len(groups[side]) + len(groups[2]) < LEAST_MARKS for side in (0, 1)):
            return math.inf
        return float(seam.overlap.miss(told(seam.overlap, groups)))

    def fewest(
        self,
        seam: PictureSeam,
        coming: Names,
        good: Mapping[str, Floats],
        new: Sequence[ControlMark],
        others: Sequence[ControlMark],
    ) -> list[ControlMark]:
        """The fewest candidates that hold a seam, or as nearly as can be.

        Parameters
        ----------
        seam : PictureSeam
            One of those that are open.
        coming : mapping of int to collection of str
            As in `open`.
        good : mapping of str to ndarray, shape (2,)
            As in `miss`. [m]
        new : sequence of ControlMark
            Chosen already.
        others : sequence of ControlMark
            Candidates that serve pictures.

        Notes
        -----
        Of at most ten, those first that both pictures will see, every choice is tried. A picture
        that is drawn sees no new mark.
        """
        if self.miss(seam, coming, good, new) <= self.limit:
            return []
        there = self._seen(seam, coming, good, new)
        offered: list[tuple[ControlMark, ControlMark]] = []
        for mark in (*others, *self.candidates):
            own = _seen_by(mark, seam, coming)
            if own.set_ups and room_for(own, [*there, *(one for _, one in offered)]):
                offered.append((mark, own))
        offered.sort(key=lambda pair: -len(pair[1].set_ups))
        free = [own for _, own in offered[:_MOST]]
        taken, _ = fewest_for_seam(seam.overlap, (seam.left, seam.right), there, free, self.limit)
        kept = {id(own) for own in taken}
        return [mark for mark, own in offered if id(own) in kept]

    def _seen(
        self,
        seam: PictureSeam,
        coming: Names,
        good: Mapping[str, Floats],
        new: Sequence[ControlMark],
    ) -> list[ControlMark]:
        """Good marks and new ones, each with those of both pictures that see it."""
        sees = {n: coming.get(n, self.drawn.get(n, ())) for n in (seam.left, seam.right)}
        there = [
            ControlMark(
                name=name, column=0, row="", chainage=float(at[0]), level=float(at[1]),
                above_ground=0.0, set_ups=tuple(n for n in sees if name in sees[n]), moved=0.0,
            )
            for name, at in good.items()
        ]  # fmt: skip
        return there + [_seen_by(mark, seam, coming) for mark in new]


def _seen_by(mark: ControlMark, seam: PictureSeam, coming: Names) -> ControlMark:
    numbers = [n for n in (seam.left, seam.right) if n in coming and n in mark.set_ups]
    return replace(mark, set_ups=tuple(numbers))
