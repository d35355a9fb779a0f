"""Records of what is left to do: marks to chalk, set-ups still to be drawn."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.closing.next_measure import Worth

__all__ = ["NewMark", "Replan", "SeamLeft", "SetUpLeft", "TapeFrom"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TapeFrom:
    """How a new mark lies from one that can be relied on.

    Parameters
    ----------
    mark : str
        Its name.
    along, up : float
        Of the new mark beside it, over the wall; above 0 to the right and upwards. [m]
    reading : float
        What the tape shows, pulled straight from one to the other; its own scale is in it. [m]
    """

    mark: str
    along: float
    up: float
    reading: float


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMark:
    """A mark to be chalked.

    Parameters
    ----------
    name : str
        That no other mark has.
    instead_of : str or None
        The mark that is wrong or lost and stood there, or was to; it is rubbed out.
    chainage, level, above_ground : float
        Where it comes. [m]
    set_ups : tuple of int
        Numbers of those that are to see it. [-]
    tapes : tuple of TapeFrom
        From the nearest good marks on the left and on the right, as far as there are any.
    sigma_along, sigma_up : float
        Standard deviations expected of it, from the datum, before a picture sees it. [m]
    known_to : float
        Longer half axis of its 95 % ellipse. [m]
    """

    name: str
    instead_of: str | None
    chainage: float
    level: float
    above_ground: float
    set_ups: tuple[int, ...]
    tapes: tuple[TapeFrom, ...]
    sigma_along: float
    sigma_up: float
    known_to: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpLeft:
    """A set-up that is still to be drawn, as it is to be drawn.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    start, end : float
        Chainages of its picture's edges. [m]
    marks : tuple of str
        Good marks that it is squared on, new ones among them.
    struck : tuple of str
        Marks that it was to see and must not be squared on.
    by_marks, then_by_marks : float
        Twice the standard error at its worst place, squared on its good marks, without and with
        the new ones; infinite below four marks. [m]
    expected, then : float or None
        95 % of how far it may be off from the datum at its worst place, without and with the new
        marks; None where it cannot be squared. [m]
    shifts : tuple of (float, float, float)
        Chainages from its left to its right edge, each with how far its drawing is moved there,
        to the right and up. [m]
    """

    set_up: int
    start: float
    end: float
    marks: tuple[str, ...]
    struck: tuple[str, ...]
    by_marks: float
    then_by_marks: float
    expected: float | None
    then: float | None
    shifts: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamLeft:
    """A seam of which a picture is still to be drawn.

    Parameters
    ----------
    left, right : int
        Numbers of the set-ups; of two above one another the lower one's first. [-]
    by_marks, then_by_marks : float
        95 times of 100 its pictures miss one another by no more at its worst place, squared on
        their good marks, without and with the new ones; infinite where these are too few. [m]
    """

    left: int
    right: int
    by_marks: float
    then_by_marks: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Replan:
    """What is left to do.

    Parameters
    ----------
    accuracy : float
        Asked of a picture by its marks. [m]
    set_ups : tuple of SetUpLeft
        Those still to be drawn, from left to right.
    new_marks : tuple of NewMark
        In order along the wall.
    bad : tuple of str
        Marks that are wrong, or lost, or may be wrong.
    helps : tuple of Worth
        Measurements that make the closing gap surer, or where none is to be, the worst picture;
        the best first.
    seam : float or None
        Asked of seams; None where nothing is. [m]
    seams : tuple of SeamLeft
        Those with a picture still to be drawn; none where nothing is asked of them.
    """

    accuracy: float
    set_ups: tuple[SetUpLeft, ...]
    new_marks: tuple[NewMark, ...]
    bad: tuple[str, ...]
    helps: tuple[Worth, ...]
    seam: float | None = None
    seams: tuple[SeamLeft, ...] = ()
