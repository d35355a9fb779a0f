"""How far neighbouring pictures, squared on marks that they share, may miss one another."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Floats, readonly
from giornata.core.setting_out.mark_accuracy import LEAST_MARKS, Picture, greatest_variance
from giornata.core.setting_out.marks import ControlMark

__all__ = [
    "Overlap",
    "PictureSeam",
    "Places",
    "SeamMiss",
    "marks_of_pair",
    "overlaps_of",
    "seam_misses",
    "told",
]

_INSIDE_95 = -2 * math.log(0.05)  # chi-square of two freedoms
_RIDGE = 1e-12  # of the trace, as for one picture
_ACROSS, _ALONG = 3, 5  # places that are looked at: across a seam, and along it


Places = list[tuple[float, float]]
"""Chainage and level of each. [m]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamMiss:
    """What is expected where two neighbouring pictures meet.

    Parameters
    ----------
    left, right : int
        Numbers of the set-ups; of two above one another the lower one first. [-]
    chainage : float
        Middle of their overlap. [m]
    expected : float
        95 times of 100 they miss one another by no more at the worst place of their overlap;
        infinite where one of them has fewer than four marks. [m]
    level : float or None
        Of the level seam between two above one another; None for neighbours along the wall. [m]
    """

    left: int
    right: int
    chainage: float
    expected: float
    level: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlap:
    """The strip of wall that two neighbouring pictures share.

    Parameters
    ----------
    left, right : Picture
        What each draws, and how well it sees a mark; of two above one another the lower one first.
    start, end, foot, head : float
        Chainages and levels. [m]
    level : bool
        Whether the seam runs along the wall, between two above one another.
    """

    left: Picture
    right: Picture
    start: float
    end: float
    foot: float
    head: float
    level: bool = False

    def information(self, points: ArrayLike, *, left: bool = True, right: bool = True) -> Floats:
        """What each mark tells of both pictures' eight unknowns: shape (n, 16, 16).

        Parameters
        ----------
        points : array, shape (n, 2)
            Chainage and level of the marks. [m]
        left, right : bool
            Which of them see the marks.

        Notes
        -----
        A mark that both see is off by one and the same amount in both; its place is an unknown
        that the two sightings and its measure together say, taken out of the equations here.
        """
        own = readonly(points, columns=2)
        pair = ((0, self.left, left), (8, self.right, right))
        sides = [(first, one) for first, one, sees in pair if sees]
        brought = np.array([one.mark_sigma for _, one in sides])
        spread = np.outer(brought, brought)
        np.fill_diagonal(spread, [one.sigma**2 for _, one in sides])
        weights = np.linalg.inv(spread)
        fields = np.zeros((len(own), len(sides), 2, 16))
        for k, (first, one) in enumerate(sides):
            fields[:, k, :, first : first + 8] = one.fields(own)
        return np.asarray(np.einsum("naik,ab,nbil->nkl", fields, weights, fields))

    def miss(self, information: Floats) -> Floats:
        """95 times of 100 both pictures miss one another by no more, at the worst place. [m]

        Parameters
        ----------
        information : ndarray, shape (..., 16, 16)
            Summed over the marks.
        """
        whole = np.asarray(information, dtype=np.float64)
        trace = np.trace(whole, axis1=-2, axis2=-1)[..., None, None]
        known = np.linalg.inv(whole + (_RIDGE * trace + 1e-300) * np.eye(16))
        across, up = (_ALONG, _ACROSS) if self.level else (_ACROSS, _ALONG)
        x = np.linspace(self.start, self.end, across)
        y = np.linspace(self.foot, self.head, up)
        places = np.stack([place.ravel() for place in np.meshgrid(x, y)], axis=1)
        moves = np.concatenate([self.left.fields(places), -self.right.fields(places)], axis=2)
        return np.asarray(np.sqrt(_INSIDE_95 * greatest_variance(moves, known)))


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureSeam:
    """Where the pictures of two set-ups meet.

    Parameters
    ----------
    left, right : int
        Their numbers; of two above one another the lower one's first. [-]
    overlap : Overlap
        What they share.
    """

    left: int
    right: int
    overlap: Overlap


def overlaps_of(spans: ArrayLike, pictures: Sequence[Picture]) -> tuple[Overlap | None, ...]:
    """The overlap of each picture with the next; None where they share no strip.

    Parameters
    ----------
    spans : array, shape (n, 2)
        As in `control_marks`. [m]
    pictures : sequence of Picture
        As in `fewest_marks`.
    """
    images = readonly(spans, columns=2)
    found: list[Overlap | None] = []
    for k, (left, right) in enumerate(itertools.pairwise(pictures)):
        start, end = float(images[k + 1, 0]), float(images[k, 1])
        foot, head = max(left.foot, right.foot), min(left.head, right.head)
        found.append(
            Overlap(left=left, right=right, start=start, end=end, foot=foot, head=head)
            if end > start and head > foot
            else None
        )
    return tuple(found)


def seam_misses(
    spans: ArrayLike,
    pictures: Sequence[Picture],
    marks: Sequence[ControlMark],
    *,
    numbers: Sequence[int] | None = None,
) -> tuple[SeamMiss, ...]:
    """How far each picture and the next may miss one another, in order along the wall.

    Parameters
    ----------
    spans : array, shape (n, 2)
        As in `control_marks`. [m]
    pictures : sequence of Picture
        As in `fewest_marks`.
    marks : sequence of ControlMark
        Those that they are squared on.
    numbers : sequence of int, optional
        Of the set-ups in order along the wall; without it they are counted from 1. [-]

    Notes
    -----
    Both pictures and the marks they see are adjusted together, as the closure does with all of
    them. Nothing is known of the lens, so where more is known the closure expects less.
    """
    named = numbers or range(1, len(pictures) + 1)
    found = []
    for k, overlap in enumerate(overlaps_of(spans, pictures)):
        if overlap is None:
            continue
        left, right = named[k], named[k + 1]
        groups = marks_of_pair(marks, left, right)
        enough = all(len(groups[side]) + len(groups[2]) >= LEAST_MARKS for side in (0, 1))
        found.append(
            SeamMiss(
                left=left,
                right=right,
                chainage=(overlap.start + overlap.end) / 2,
                expected=float(overlap.miss(told(overlap, groups))) if enough else math.inf,
            )
        )
    return tuple(found)


def marks_of_pair(
    marks: Sequence[ControlMark], left: int, right: int
) -> tuple[Places, Places, Places]:
    """Places of the marks that only the left one sees, only the right one, and both. [m]

    Parameters
    ----------
    marks : sequence of ControlMark
        Of the wall.
    left, right : int
        Numbers of the set-ups. [-]
    """
    groups: tuple[Places, Places, Places] = ([], [], [])
    for mark in marks:
        sees = left in mark.set_ups, right in mark.set_ups
        if any(sees):
            groups[2 if all(sees) else sees.index(True)].append((mark.chainage, mark.level))
    return groups


def told(overlap: Overlap, groups: tuple[Places, Places, Places]) -> Floats:
    """What marks tell of both pictures together: shape (16, 16).

    Parameters
    ----------
    overlap : Overlap
        Of the two pictures.
    groups : tuple of list
        As `marks_of_pair` gives them. [m]
    """
    whole = np.zeros((16, 16))
    for points, sees in zip(groups, ((True, False), (False, True), (True, True)), strict=True):
        if points:
            whole += overlap.information(points, left=sees[0], right=sees[1]).sum(axis=0)
    return whole
