"""Crosses and targets in the white shot: looked for with a drawn one, measured within a pixel."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.saddles import Board
from giornata.core.boards.shots import Light
from giornata.core.foundation import Assumption, Floats

__all__ = [
    "ALIKE", "CROSS_ARM", "CROSS_ERROR", "CROSS_STROKE", "SEARCH", "CrossSeen", "CrossShape",
    "Picture", "Shape", "candidates", "measured_cross", "squared_picture",
]  # fmt: skip

CROSS_ARM = Assumption(
    name="arm of a chalk cross, from its middle",
    value=0.075,
    unit="m",
    source="common practice, no source: a cross of 150 mm is seen from the projector",
    usual=(0.05, 0.1),
)
CROSS_STROKE = Assumption(
    name="width of a chalk stroke",
    value=0.010,
    unit="m",
    source="common practice, no source: a stick of chalk laid flat",
    usual=(0.006, 0.015),
)
CROSS_ERROR = Assumption(
    name="middle of a chalk cross as measured against the middle as drawn, standard error each way",
    value=0.0005,
    unit="m",
    source="no published source: by made photos of crooked crosses, 0.4 to 0.6 mm",
    usual=(0.0004, 0.001),
)
ALIKE = Assumption(
    name="least likeness of a cross to a drawn one (correlation)",
    value=0.5,
    unit="-",
    source="no published source: by made photos, no false find in 120 crosses",
    usual=(0.4, 0.6),
)
SEARCH = Assumption(
    name="how far from its expected place a cross is looked for",
    value=0.10,
    unit="m",
    source="no published source: by made photos",
    usual=(0.05, 0.15),
)

# By 174 crosses of 16 made scenes: off by 0.53 mm each way where likeness is 0.85 and more, 0.78 at
# 0.75 to 0.85, 0.86 at 0.65 to 0.75, 1.72 below (six crosses).
_WELL = 0.9  # likeness from which a cross is as sure as it gets
_WIDENED = 2.5  # power of likeness that the error rises by
_ROUND = 1.2  # of an arm: how far about its middle a cross is compared
_LEANS = (-6.0, -3.0, 0.0, 3.0, 6.0)  # degrees
_COARSE = 0.45  # likeness of a candidate, in the first look
_MOST = 60  # candidates
_SECOND = 0.92  # of the best: another place as alike as this leaves it open which is the cross


class Shape(Protocol):
    """What marks a mark, as it is drawn and looked for."""

    @property
    def arm(self) -> float:
        """From its middle to an end. [m]"""

    @property
    def stroke(self) -> float:
        """What has to be told apart in it. [m]"""

    @property
    def reach(self) -> float:
        """How far about its middle it is compared. [m]"""

    def error(self, alike: float) -> float:
        """Standard error of its middle, each way, where it is so much alike. [m]"""

    @property
    def alike(self) -> float:
        """Least likeness. [-]"""

    @property
    def coarse(self) -> float:
        """Least likeness of a candidate, in the first look. [-]"""

    def drawn(self, fine: float, soft: float, lean: float) -> Light:
        """It as a picture, with a pixel and a blur in metres, turned by degrees. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossShape:
    """How the crosses were drawn.

    Parameters
    ----------
    arm : float
        From the middle to an end; above 0. [m]
    stroke : float
        Width; above 0 and less than an arm. [m]
    """

    arm: float = CROSS_ARM.value
    stroke: float = CROSS_STROKE.value

    def __post_init__(self) -> None:
        if not 0 < self.stroke < self.arm:
            raise ValueError("a cross has arms longer than its strokes are wide, both above 0")

    @property
    def reach(self) -> float:
        """How far about its middle it is compared. [m]"""
        return _ROUND * self.arm

    def error(self, alike: float) -> float:
        """Standard error of its middle, each way. [m]

        Parameters
        ----------
        alike : float
            Likeness to a drawn one, above 0. [-]
        """
        return CROSS_ERROR.value * float(max(_WELL / alike, 1.0) ** _WIDENED)

    @property
    def alike(self) -> float:
        """Least likeness. [-]"""
        return ALIKE.value

    @property
    def coarse(self) -> float:
        """Least likeness of a candidate, in the first look. [-]"""
        return _COARSE

    def drawn(self, fine: float, soft: float, lean: float) -> Light:
        """It as a picture.

        Parameters
        ----------
        fine : float
            Pixel of the picture. [m]
        soft : float
            Blur. [m]
        lean : float
            Turn. [deg]
        """
        arm, stroke = round(self.arm / fine, 3), round(self.stroke / fine, 3)
        return _drawn(arm, stroke, round(soft / fine, 2), lean)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Picture:
    """The white shot brought to the projector's own picture, at a fineness of wall.

    Parameters
    ----------
    pixels : ndarray, shape (rows, columns)
        Square root of light, so that noise is alike everywhere. [-]
    step : ndarray, shape (2, 2)
        The projector's pixels to one of its own, right and down. [-]
    first : ndarray, shape (2,)
        The projector's place of its upper left corner. [px]
    fine : float
        One of its pixels on the wall. [m]
    """

    pixels: Light
    step: Floats
    first: Floats
    fine: float

    def picture_from_own(self, places: Floats) -> Floats:
        """Own pixels, counted from the first one's middle, as the projector's. [px]

        Parameters
        ----------
        places : ndarray, shape (n, 2)
            [px]
        """
        taken: Floats = (np.asarray(places, np.float64) + 0.5) @ self.step.T + self.first
        return taken


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossSeen:
    """A cross or a target found.

    Parameters
    ----------
    x_px, y_px : float
        In the projector's picture. [px]
    px_sigma : float
        Standard deviation, each way. [px]
    photo_x, photo_y : float
        In the photo. [px]
    alike : float
        Likeness to a drawn cross, up to 1. [-]
    """

    x_px: float
    y_px: float
    px_sigma: float
    photo_x: float
    photo_y: float
    alike: float


@cache
def _drawn(arm: float, stroke: float, soft: float, lean: float) -> Light:
    """A cross of strokes with soft edges; lengths in pixels, the lean in degrees."""
    half = math.ceil(_ROUND * arm)
    y, x = np.mgrid[-half : half + 1, -half : half + 1].astype(np.float64)
    angle = math.radians(lean)
    along = x * math.cos(angle) + y * math.sin(angle)
    up = y * math.cos(angle) - x * math.sin(angle)

    def inside(away: Floats, reach: float) -> Floats:
        made: Floats = np.clip((reach - np.abs(away)) / max(soft, 0.5) + 0.5, 0, 1)
        return made

    strokes = np.maximum(
        inside(up, stroke / 2) * inside(along, arm), inside(along, stroke / 2) * inside(up, arm)
    )
    made = cv2.GaussianBlur(strokes.astype(np.float32), (0, 0), max(soft, 0.5))
    made.setflags(write=False)
    return np.asarray(made, dtype=np.float32)


def squared_picture(
    white: Light, board: Board, change: Floats, fine: float, window: tuple[Floats, Floats]
) -> Picture:
    """Part of the white shot as the wall has it, seen square.

    Parameters
    ----------
    white : ndarray, shape (rows, columns)
        Light of the white shot. [-]
    board : Board
    change : ndarray, shape (2, 2)
        Of the projector's picture with the wall, right and down. [px/m]
    fine : float
        Pixel of what is made, on the wall. [m]
    window : tuple of ndarray, shape (2,)
        Upper left corner in the projector's picture [px], and size on the wall [m].
    """
    first, size = window
    columns, rows = (max(int(v), 1) for v in np.ceil(size / fine))
    made = np.empty((rows, columns), np.float32)
    picture = Picture(pixels=made, step=change * fine, first=first, fine=fine)
    middle = picture.picture_from_own(np.array([(columns / 2 - 0.5, rows / 2 - 0.5)]))
    grain = board.onto_photo.slopes(middle)[0] @ picture.step
    coarser = math.sqrt(abs(float(np.linalg.det(grain))))
    source = np.sqrt(np.maximum(white, 0.0))
    if coarser > 1.2:  # several pixels of the photo to one: their mean, not one of them
        source = cv2.GaussianBlur(source, (0, 0), 0.4 * coarser)
    along = np.arange(columns, dtype=np.float64)
    for start in range(0, rows, 256):
        end = min(start + 256, rows)
        up = np.arange(start, end, dtype=np.float64)
        own = np.stack(np.meshgrid(along, up), axis=-1).reshape(-1, 2)
        places = board.onto_photo.mapped(picture.picture_from_own(own)) - 0.5
        at = places.astype(np.float32).reshape(end - start, columns, 2)
        made[start:end] = cv2.remap(
            source, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    return picture


def _likeness(picture: Picture, shape: Shape, soft: float, lean: float) -> Light:
    """Correlation with a drawn one about every pixel that has room for one; -1 elsewhere."""
    drawn = shape.drawn(picture.fine, soft, lean)
    half = drawn.shape[0] // 2
    alike = np.full(picture.pixels.shape, -1.0, np.float32)
    high, wide = picture.pixels.shape
    if high <= 2 * half or wide <= 2 * half:
        return alike
    found = cv2.matchTemplate(picture.pixels, drawn, cv2.TM_CCOEFF_NORMED)
    alike[half : high - half, half : wide - half] = np.where(np.isfinite(found), found, -1.0)
    return alike


def _peaks(alike: Light, least: float, apart: int) -> NDArray[np.intp]:
    """Rows and columns of local maxima, the most alike first, shape (n, 2)."""
    size = 2 * max(apart, 1) + 1
    highest = cv2.dilate(alike, np.ones((size, size), np.uint8))
    where = np.argwhere((alike >= highest) & (alike >= least))
    return where[np.argsort(-alike[where[:, 0], where[:, 1]], kind="stable")]


def candidates(picture: Picture, shape: Shape, soft: float) -> tuple[Floats, Floats]:
    """Places that look like it, in the projector's picture, (n, 2) [px], and how much, (n,).

    Parameters
    ----------
    picture : Picture
        Of the whole of what is lit.
    shape : Shape
    soft : float
        Blur of the photo on the wall. [m]
    """
    alike = np.maximum(_likeness(picture, shape, soft, -3.0), _likeness(picture, shape, soft, 3.0))
    peaks = _peaks(alike, shape.coarse, round(shape.arm / picture.fine))[:_MOST]
    scores = alike[peaks[:, 0], peaks[:, 1]].astype(np.float64)
    return picture.picture_from_own(peaks[:, ::-1].astype(np.float64)), scores


def measured_cross(
    white: Light,
    board: Board,
    expected: Floats,
    change: Floats,
    shape: Shape,
    *,
    search: float = SEARCH.value,
) -> CrossSeen | None:
    """What looks most like it near its expected place; None where none can be told.

    Parameters
    ----------
    white : ndarray, shape (rows, columns)
        Light of the white shot. [-]
    board : Board
    expected : ndarray, shape (2,)
        In the projector's picture. [px]
    change : ndarray, shape (2, 2)
        Of the projector's picture with the wall there, right and down. [px/m]
    shape : Shape
    search : float
        How far it may be from there; above 0. [m]
    """
    fall = board.onto_photo.slopes(expected[None, :])[0] @ change  # photo px to a metre
    grain = 1.0 / float(np.linalg.svd(fall, compute_uv=False)[0])  # m to a photo pixel
    fine = min(max(grain, shape.stroke / 10), shape.stroke / 2.5)
    soft = 0.0 if board.soft is None else board.soft * grain
    reach = np.full(2, search + shape.reach + 3 * fine)
    window = (expected - change @ reach, 2 * reach)
    picture = squared_picture(white, board, change, fine, window)
    maps = [_likeness(picture, shape, soft, lean) for lean in _LEANS]
    alike = np.max(maps, axis=0)
    peaks = _peaks(alike, shape.alike, round(0.4 * shape.arm / fine))
    if not len(peaks):
        return None
    row, column = peaks[0].tolist()
    if len(peaks) > 1 and alike[tuple(peaks[1])] > _SECOND * alike[row, column]:
        return None
    best = maps[int(np.argmax([one[row, column] for one in maps]))]
    around = best[max(row - 1, 0) : row + 2, max(column - 1, 0) : column + 2]
    if around.size < 9 or around.min() <= -1:  # at the rim of the search: its top lies beyond
        return None
    own = np.array(
        [
            column + _top(best[row, column - 1 : column + 2]),
            row + _top(best[row - 1 : row + 2, column]),
        ]
    )
    there = picture.picture_from_own(own[None, :])
    photo = board.onto_photo.mapped(there)
    place, doubt = board.onto_picture.carried(photo)
    # Along the axis on which a metre has most pixels.
    noise = math.hypot(shape.error(float(alike[row, column])), 0.1 * grain) * float(
        np.linalg.norm(change, 2)
    )
    return CrossSeen(
        x_px=float(place[0, 0]),
        y_px=float(place[0, 1]),
        px_sigma=math.hypot(float(doubt[0]), noise),
        photo_x=float(photo[0, 0]),
        photo_y=float(photo[0, 1]),
        alike=float(alike[row, column]),
    )


def _top(three: Light) -> float:
    """Where a parabola through three values has its top, from the middle one; within half. [px]"""
    before, here, after = (float(v) for v in three)
    bend = before - 2 * here + after
    return max(-0.5, min(0.5, (before - after) / (2 * bend))) if bend < 0 else 0.0
