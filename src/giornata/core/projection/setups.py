"""Set-ups: where the projector stands, what it lights, how bright and how fine."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.foundation import Figure, Floats, readonly
from giornata.core.projection.covering import TradeOff
from giornata.core.projection.light import Brightness
from giornata.core.projection.limits import Limit
from giornata.core.projection.projector import Orientation
from giornata.core.site import Carrier

__all__ = ["Alternative", "SetUp", "SetUpPlan", "Unreachable", "frame_from_wall", "level_between",
           "numbers_named"]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """One place of the projector and the rectangle of wall it lights, square on.

    Parameters
    ----------
    number : int
        From 1, along the wall; in one column the lower row first. [-]
    column, row : int
        Place in the plan, from 1; rows count from the foot. [-]
    centre : float
        Chainage of the lens, and of the image's centre unless it is shifted to a side. [m]
    distance : float
        Lens to wall. [m]
    lens_level : float
        Lens above the level line at the datum. [m]
    lens_height : float
        Lens above the ground at the wall's foot there. [m]
    orientation : Orientation
        How the projector lies.
    start, end : float
        Chainages of the image's sides. [m]
    foot, head : float
        Levels of the image's lower and upper edge. [m]
    wall_foot, wall_head : float
        Levels between which this image has wall to light. [m]
    pitch : float
        Side of one pixel on the wall. [m]
    columns, rows : int
        The projector's own pixels, as its frames are drawn. [-]
    throw_ratio : float
        Where the zoom is set. [-]
    light : Brightness
        Illuminance, ambient light, their ratio and the verdict.
    shift : float
        Lens shift in use, of the image's upright size, up above 0. [-]
    tilt : float
        Tilt still needed after lens shift, up above 0; 0 where shift is enough. [rad]
    keystone : float
        Width of the lit patch's top row over its bottom row under that tilt; 1 where square. [-]
    overlap_next : float or None
        Overlap with the next image of its row; None at the last of a row, and before a stretch
        that nothing lights. [m]
    overlap_above : float or None
        Overlap with the image above it; None in the top row. [m]
    seam_above : float or None
        Level up to which it draws where an image lies above it; None where that is the middle of
        their overlap. [m]
    side_shift : float
        Lens shift in use, of the image's width, to the right above 0. [-]
    lit : tuple of (float, float) or None
        Chainages between which the wall is lit within the limits from foot to top; None where that
        is all that the image covers. [m]
    coarsest : float or None
        Greatest side of a pixel on the wall as it truly stands; None where it is ``pitch``. [m]
    slant : float or None
        Least angle between a ray of light and the wall; None where the image is square on a flat
        wall. [rad]
    carrier : Carrier
        What carries the projector.
    pan : float
        Turned out of square, to the right above 0. [rad]
    """

    number: int
    column: int
    row: int
    centre: float
    distance: float
    lens_level: float
    lens_height: float
    orientation: Orientation
    start: float
    end: float
    foot: float
    head: float
    wall_foot: float
    wall_head: float
    pitch: float
    columns: int
    rows: int
    throw_ratio: float
    light: Brightness
    shift: float
    tilt: float
    keystone: float
    overlap_next: float | None
    overlap_above: float | None
    seam_above: float | None = None
    side_shift: float = 0.0
    lit: tuple[float, float] | None = None
    coarsest: float | None = None
    slant: float | None = None
    carrier: Carrier = Carrier.TRIPOD
    pan: float = 0.0

    def __post_init__(self) -> None:
        if not (self.end > self.start and self.head > self.foot and self.pitch > 0):
            raise ValueError("an image has a width, a height and a pixel pitch above 0")

    @property
    def lit_start(self) -> float:
        """Chainage where what it lights within the limits begins. [m]"""
        return self.start if self.lit is None else self.lit[0]

    @property
    def lit_end(self) -> float:
        """Chainage where what it lights within the limits ends. [m]"""
        return self.end if self.lit is None else self.lit[1]

    @property
    def aimed_at(self) -> float:
        """Chainage of a flat wall at which it looks; the lens's where it stands square. [m]"""
        return self.centre + self.distance * math.tan(self.pan)

    @property
    def width(self) -> float:
        """Width of the image along the wall. [m]"""
        return self.end - self.start

    @property
    def height(self) -> float:
        """Upright size of the image. [m]"""
        return self.head - self.foot

    @property
    def passes(self) -> bool:
        """Whether the image is bright enough and square without tilt or pan."""
        return self.light.passes and self.tilt == 0.0 and self.pan == 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another plan of the same wall.

    Parameters
    ----------
    distance : float
        Lens to wall. [m]
    orientation : Orientation
        How the projector lies.
    rows : int
        Rows at the place that needs most. [-]
    count : int
        Set-ups. [-]
    bright : bool
        Whether every image is bright enough.
    projector : str
        Another machine's name; empty for the one of the plan.
    whole : bool
        Whether it lights the whole wall within every limit, where that was looked at.
    crossed : float or None
        Edge crossed at its seams; None where the artwork was not looked at. [m]
    """

    distance: float
    orientation: Orientation
    rows: int
    count: int
    bright: bool
    projector: str = ""
    whole: bool = True
    crossed: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unreachable:
    """A stretch of wall that no place of the projector lights within the limits.

    Parameters
    ----------
    start, end : float
        Chainages; it begins at the first place that no image reaches. [m]
    limit : Limit
        What bites there: without this limit the images would reach farther.
    """

    start: float
    end: float
    limit: Limit


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUpPlan:
    """All set-ups of a wall, with the figures that sum them up.

    Parameters
    ----------
    set_ups : tuple of SetUp
        In order of number; empty where no plan can be made.
    orientation : Orientation
        How the projector lies.
    rows : int
        Rows at the place that needs most. [-]
    alternatives : tuple of Alternative
        Where there is more than one row: plans with fewer. Plans with other projectors.
    image_width, image_height, pitch : Figure or None
        Of the widest image. [m]
    count : Figure or None
        Number of set-ups. [-]
    overlap : Figure or None
        Least overlap along the wall; None for a single column. [m]
    illuminance, ratio : Figure or None
        At the set-up whose ratio to ambient light is least. [lx], [-]
    bound : int or None
        No plan of what can be reached from the places looked at has fewer set-ups; None where none
        holds every limit. [-]
    crossed : Figure or None
        Edge crossed at the seams; None where the artwork was not looked at. [m]
    trade_offs : tuple of TradeOff
        What seams would cross with more set-ups.
    unreachable : tuple of Unreachable
        Stretches that no place of the projector lights within the limits: they are put on in
        another way, or what bites is changed. They have no set-ups, but where pixels alone are too
        large, or nothing at all can be reached.
    """

    set_ups: tuple[SetUp, ...]
    orientation: Orientation
    rows: int
    alternatives: tuple[Alternative, ...] = ()
    image_width: Figure | None = None
    image_height: Figure | None = None
    pitch: Figure | None = None
    count: Figure | None = None
    overlap: Figure | None = None
    illuminance: Figure | None = None
    ratio: Figure | None = None
    bound: int | None = None
    crossed: Figure | None = None
    trade_offs: tuple[TradeOff, ...] = ()
    unreachable: tuple[Unreachable, ...] = ()

    @property
    def figures(self) -> tuple[Figure, ...]:
        """The figures there are, in order of reading."""
        every = (
            self.count, self.image_width, self.image_height, self.pitch, self.overlap,
            self.illuminance, self.ratio, self.crossed,
        )  # fmt: skip
        return tuple(figure for figure in every if figure is not None)

    @property
    def unlit(self) -> tuple[tuple[float, float], ...]:
        """Stretches that are not projected: out of reach for more than the size of pixels. [m]

        Where only pixels are too large the image is thrown all the same, and thin lines are drawn
        by hand.
        """
        return tuple(
            (one.start, one.end) for one in self.unreachable if one.limit is not Limit.PIXELS
        )

    @property
    def image_spans(self) -> tuple[tuple[float, float, float, float], ...]:
        """Start, end, foot and head lit by every image, in order of number. [m]"""
        return tuple((one.lit_start, one.lit_end, one.foot, one.head) for one in self.set_ups)


def frame_from_wall(set_up: SetUp) -> Floats:
    """Matrix ``(3, 3)`` that takes wall coordinates to the projector's pixels, square on.

    Parameters
    ----------
    set_up : SetUp
        The image; with ``tilt`` not 0 the frame is still drawn square and wants squaring by the
        marks.

    Notes
    -----
    Projector frame: x along the projector's own columns, y down its rows, origin at the outer
    corner of the first pixel. Level, the first pixel is the image's upper left corner. On its
    side the projector is turned a quarter turn clockwise as seen from behind it: its first pixel
    is then the image's upper right corner and its columns run down the wall.

    Examples
    --------
    >>> import numpy as np
    >>> from giornata.core.projection.light import brightness
    >>> one = SetUp(
    ...     number=1, column=1, row=1, centre=2.5, distance=7.0, lens_level=1.3, lens_height=1.3,
    ...     orientation=Orientation.LEVEL, start=0.0, end=5.0, foot=0.0, head=3.125,
    ...     wall_foot=0.0, wall_head=2.9, pitch=5.0 / 1920, columns=1920, rows=1200,
    ...     throw_ratio=1.4, light=brightness(240.0, 4.0, 5.0), shift=0.084, tilt=0.0,
    ...     keystone=1.0, overlap_next=None, overlap_above=None,
    ... )
    >>> np.round(frame_from_wall(one) @ (5.0, 0.0, 1.0), 6).tolist()
    [1920.0, 1200.0, 1.0]
    """
    per_metre = 1.0 / set_up.pitch
    if set_up.orientation is Orientation.ON_SIDE:
        return readonly(
            [
                [0.0, -per_metre, set_up.head * per_metre],
                [-per_metre, 0.0, set_up.end * per_metre],
                [0.0, 0.0, 1.0],
            ]
        )
    return readonly(
        [
            [per_metre, 0.0, -set_up.start * per_metre],
            [0.0, -per_metre, set_up.head * per_metre],
            [0.0, 0.0, 1.0],
        ]
    )


def level_between(low: SetUp, high: SetUp) -> float:
    """Level at which the upper of two images goes on. [m]

    Parameters
    ----------
    low, high : SetUp
        One above the other.
    """
    return (low.head + high.foot) / 2 if low.seam_above is None else low.seam_above


def numbers_named(numbers: Sequence[int]) -> str:
    """Set-ups named in words, runs joined.

    Parameters
    ----------
    numbers : sequence of int
        Ascending numbers; at least one. [-]

    Examples
    --------
    >>> numbers_named([3, 4, 5, 9])
    'set-ups 3–5, 9'
    >>> numbers_named([7])
    'set-up 7'
    """
    if not numbers:
        raise ValueError("there is no set-up to name")
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    named = [str(a) if a == b else f"{a}–{b}" if b > a + 1 else f"{a}, {b}" for a, b in runs]
    return ("set-up " if len(numbers) == 1 else "set-ups ") + ", ".join(named)
