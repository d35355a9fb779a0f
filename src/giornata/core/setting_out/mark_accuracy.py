"""How far a picture can be off, once it is squared on marks that are themselves a little off."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from giornata.core.foundation import Assumption, Floats

__all__ = [
    "AIMING",
    "LEAST_MARKS",
    "MARK_DRAWN",
    "ChalkedMark",
    "MarkTerms",
    "Picture",
    "expected_errors",
    "greatest_variance",
]

MARK_DRAWN = Assumption(
    name="control mark drawn beside its measure, standard error",
    value=0.002,
    unit="m",
    source="common practice, no source: a chalk cross by tape and level is good to 1 to 5 mm",
    usual=(0.001, 0.005),
)
AIMING = Assumption(
    name="picture aimed at a control mark, standard error in pixels",
    value=1.0,
    unit="-",
    source="common practice, no source: by eye one pixel, from a photograph a third of one",
    usual=(0.3, 2.0),
)
LEAST_MARKS = 4
"""Marks that a plane picture without known lens needs: two equations each for eight unknowns."""
_TWICE = 2.0  # standard errors: about 95 of 100 along the worst direction
_RIDGE = 1e-12  # of the trace: what too few marks leave open comes out as a huge error


@dataclass(frozen=True, slots=True, kw_only=True)
class ChalkedMark:
    """A control mark that was chalked besides those planned.

    Parameters
    ----------
    name : str
        That no other mark has.
    chainage, level : float
        From the datum. [m]
    """

    name: str
    chainage: float
    level: float

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("a mark has a name")


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkTerms:
    """What is asked of control marks and how well they can be set.

    Parameters
    ----------
    accuracy : float or None
        How far the picture may be off at its worst place, twice the standard error; above 0.
        None: two marks in every column, whatever that gives. [m]
    drawn : float
        Standard error of a mark beside its measure; above 0. [m]
    aiming : float
        Standard error of a picture aimed at a mark, in pixels; above 0. [-]
    seam : float or None
        How far neighbouring pictures may miss one another at the worst place of their overlap, 95
        times of 100; above 0. None: no marks are added for that. [m]
    lost : tuple of str
        Names of planned marks that are wrong or washed off: nothing aims at them any more.
    chalked : tuple of ChalkedMark
        Marks chalked besides those planned.
    shift_by_eye : bool
        Whether the lens shift is set until the picture sits, not as the card says.
    """

    accuracy: float | None = None
    drawn: float = MARK_DRAWN.value
    aiming: float = AIMING.value
    seam: float | None = None
    lost: tuple[str, ...] = ()
    chalked: tuple[ChalkedMark, ...] = ()
    shift_by_eye: bool = False

    def __post_init__(self) -> None:
        if self.accuracy is not None and not self.accuracy > 0:
            raise ValueError("the accuracy asked of a picture is above 0")
        if self.seam is not None and not self.seam > 0:
            raise ValueError("what is allowed at a seam is above 0")
        if not (self.drawn > 0 and self.aiming > 0):
            raise ValueError("a mark and its aiming have a standard error above 0")
        if len({one.name for one in self.chalked}) < len(self.chalked):
            raise ValueError("each chalked mark has a name of its own")


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """The part of the wall that one set-up draws, and how well it sees a mark.

    Parameters
    ----------
    start, end, foot, head : float
        Chainages and levels. [m]
    sigma : float
        Standard error of a mark as this picture sees it, along the wall and upright alike;
        above 0. [m]
    mark_sigma : float
        Part of it that a mark brings along to every picture that sees it; from 0 and below
        ``sigma``. [m]
    """

    start: float
    end: float
    foot: float
    head: float
    sigma: float
    mark_sigma: float = 0.0

    def __post_init__(self) -> None:
        if not 0 <= self.mark_sigma < self.sigma:
            raise ValueError("what a mark brings along is a part of the standard error")
        if not (self.end > self.start and self.head > self.foot and self.sigma > 0):
            raise ValueError("a picture has a width, a height and a standard error above 0")

    def fields(self, points: ArrayLike) -> Floats:
        """The eight ways in which a picture can be off, at points of the wall: shape (n, 2, 8).

        Parameters
        ----------
        points : array, shape (n, 2)
            Chainage and level. [m]

        Notes
        -----
        Shifted, sized, sheared and turned, and keystoned both ways: the generators of the
        projective maps of the plane, in coordinates that run from -1 to 1 over the picture.
        """
        xy = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        x = (xy[:, 0] - (self.start + self.end) / 2) * 2 / (self.end - self.start)
        y = (xy[:, 1] - (self.foot + self.head) / 2) * 2 / (self.head - self.foot)
        one, none = np.ones(len(xy)), np.zeros(len(xy))
        stretch = (self.end - self.start) / (self.head - self.foot)
        along = [one, x, y, none, none, none, x * x, x * y / stretch]
        upright = [none, none, none, one, x, y, x * y / stretch, y * y / stretch**2]
        return np.stack([np.stack(along, axis=1), np.stack(upright, axis=1)], axis=1)

    def worst_places(self) -> Floats:
        """Corners, middles of sides and the middle: shape (9, 2). [m]"""
        x = np.linspace(self.start, self.end, 3)
        y = np.linspace(self.foot, self.head, 3)
        return np.stack([place.ravel() for place in np.meshgrid(x, y)], axis=1)

    def information(self, points: ArrayLike) -> Floats:
        """What each mark tells of the eight unknowns: shape (n, 8, 8).

        Parameters
        ----------
        points : array, shape (n, 2)
            Chainage and level of the marks. [m]
        """
        fields = self.fields(points)
        return np.asarray(np.einsum("nik,nil->nkl", fields, fields) / self.sigma**2)

    def error(self, information: Floats) -> Floats:
        """Twice the standard error at the worst place, along its worst direction. [m]

        Parameters
        ----------
        information : ndarray, shape (..., 8, 8)
            Summed over the marks.

        Notes
        -----
        With marks as equations of a weighted least-squares fit, the covariance of the eight
        unknowns is the inverse of their information, and that of a place in the picture follows
        by its fields. Fewer marks than four, or four with three in one line, give a huge error.

        References
        ----------
        R. Hartley and A. Zisserman (2004), Multiple View Geometry in Computer Vision, 2nd
        edition, Cambridge University Press, sections 5.2 and 5.3.
        """
        whole = np.asarray(information, dtype=np.float64)
        trace = np.trace(whole, axis1=-2, axis2=-1)[..., None, None]
        known = np.linalg.inv(whole + (_RIDGE * trace + 1e-300) * np.eye(8))
        greatest = greatest_variance(self.fields(self.worst_places()), known)
        return np.asarray(_TWICE * np.sqrt(greatest))


def greatest_variance(fields: Floats, known: Floats) -> Floats:
    """Variance along its worst direction at the worst of some places. [m²]

    Parameters
    ----------
    fields : ndarray, shape (n, 2, k)
        How each of k unknowns moves each place.
    known : ndarray, shape (..., k, k)
        Covariance of the unknowns.
    """
    along, upright = np.moveaxis(fields, 1, 0)
    of_along, of_upright = along @ known, upright @ known
    first = (of_along * along).sum(axis=-1)
    second = (of_upright * upright).sum(axis=-1)
    both = (of_along * upright).sum(axis=-1)
    greatest = (first + second) / 2 + np.hypot((first - second) / 2, both)
    return np.asarray(np.maximum(greatest.max(axis=-1), 0.0))


def expected_errors(pictures: Sequence[Picture], marks: Sequence[ArrayLike]) -> tuple[float, ...]:
    """For each picture: twice its standard error at its worst place; infinite below four marks. [m]

    Parameters
    ----------
    pictures : sequence of Picture
        In order of set-up.
    marks : sequence of array, shape (n, 2)
        Chainage and level of the marks each is squared on. [m]

    Raises
    ------
    ValueError
        If pictures and lists of marks are not as many.
    """
    found = []
    for picture, points in zip(pictures, marks, strict=True):
        xy = np.asarray(points, dtype=np.float64).reshape(-1, 2)
        enough = len(xy) >= LEAST_MARKS
        found.append(
            float(picture.error(picture.information(xy).sum(axis=0))) if enough else np.inf
        )
    return tuple(found)
