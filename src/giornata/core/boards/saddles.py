"""Saddles: the places of a pattern measured in a photo to a fraction of a pixel."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.carrying import Carrier, carrier
from giornata.core.boards.pattern import Pattern, PatternKind
from giornata.core.boards.saddle_fit import WINDOW, fitted_saddles
from giornata.core.boards.shots import Light
from giornata.core.boards.smooth_maps import Smooth, smooth_map
from giornata.core.boards.tags import Recognised
from giornata.core.foundation import Floats, readonly

__all__ = ["LEAST_PLACES", "Board", "measured_board", "white_first"]

LEAST_PLACES = 12
"""Of a pattern that must be measured. [-]"""
_DISTINCT = 0.25  # of the usual step that bright and dark must part by


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Board:
    """A pattern measured in a photo.

    Parameters
    ----------
    pattern : Pattern
    seen : ndarray, shape (n, 2)
        Saddles or centres of tags in the photo. [px]
    places : ndarray, shape (n, 2)
        The same in the projector's picture. [px]
    onto_picture : Carrier
        From the photo to the projector's picture.
    onto_photo : Carrier
        From the projector's picture to the photo; its sigma is the corner noise.
    expected : ndarray, shape (m, 2)
        Where every place of the pattern should be in the photo, seen or not. [px]
    side : float
        Shorter side of a square in the photo, about the middle one. [px]
    soft : float or None
        Standard deviation of the blur of the edges; None where only tags were shown. [px]
    """

    pattern: Pattern
    seen: Floats
    places: Floats
    onto_picture: Carrier
    onto_photo: Carrier
    expected: Floats
    side: float
    soft: float | None

    @property
    def noise(self) -> float:
        """Standard deviation of a saddle in the photo, each way. [px]"""
        return self.onto_photo.sigma


def measured_board(picture: Light, found: Recognised) -> Board | None:
    """The pattern's places measured in a picture of it; None where too few can be.

    Parameters
    ----------
    picture : ndarray, shape (rows, columns)
        Bright where the positive pattern is. [-]
    found : Recognised
        By its tags.
    """
    pattern = found.pattern
    if pattern.kind is PatternKind.TAGS:
        seen, places = found.tags.centres, pattern.tag_centres()[found.order]
        side = _side(smooth_map(places, seen, bent=False), pattern)
        got = _Measured(seen=seen, places=places, side=side, soft=None)
    else:
        got = _saddles(picture, found)
    seen, places = got.seen, got.places
    if len(seen) < LEAST_PLACES:
        return None
    made = carrier(seen, places)
    if made is None:
        return None
    onto_picture, kept = made
    back = carrier(places[kept], seen[kept])
    if back is None:
        return None
    expected, _ = back[0].carried(pattern.places())
    return Board(
        pattern=pattern, seen=onto_picture.source, places=onto_picture.target,
        onto_picture=onto_picture, onto_photo=back[0], expected=readonly(expected), side=got.side,
        soft=got.soft,
    )  # fmt: skip


def _side(smooth: Smooth, pattern: Pattern) -> float:
    """Shorter side of the middle square in the photo. [px]"""
    middle = np.array([pattern.columns / 2, pattern.rows / 2])
    steps = np.array([(0, 0), (pattern.side, 0), (0, pattern.side)], dtype=np.float64)
    a, b, c = smooth.mapped(middle + steps)
    return float(min(np.linalg.norm(b - a), np.linalg.norm(c - a)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Measured:
    seen: Floats
    places: Floats
    side: float
    soft: float | None


def _saddles(picture: Light, found: Recognised) -> _Measured:
    pattern = found.pattern
    half = pattern.tag_px / 2
    square = np.array([(-half, -half), (half, -half), (half, half), (-half, half)])
    corners = pattern.tag_centres()[found.order][:, None, :] + square
    start = carrier(corners.reshape(-1, 2), found.tags.corners.reshape(-1, 2))
    places = pattern.places()
    if start is None:
        return _Measured(seen=np.zeros((0, 2)), places=np.zeros((0, 2)), side=0.0, soft=None)
    guess, doubt = start[0].carried(places)
    slopes = start[0].slopes(places)
    lengths = pattern.side * np.linalg.norm(slopes, axis=1)  # of a square's sides in the photo
    side = float(np.median(lengths.min(axis=1)))
    high, wide = picture.shape
    rim = 2 + WINDOW * side
    inside = (
        (guess > rim).all(axis=1) & (guess[:, 0] < wide - rim) & (guess[:, 1] < high - rim)
        & (doubt < 0.15 * side)
    )  # fmt: skip
    guess, places, slopes = guess[inside], places[inside], slopes[inside]
    if not len(guess):
        return _Measured(seen=guess, places=places, side=side, soft=None)
    fits = fitted_saddles(picture, guess, slopes, pattern.side, white_first(pattern, places))
    usual = max(float(np.median(fits.step)), 0.0)
    near = np.linalg.norm(fits.seen - guess, axis=1) < 0.1 * side
    chosen = near & (fits.step > _DISTINCT * usual) & (fits.step > 0)
    return _Measured(seen=fits.seen[chosen], places=places[chosen], side=side, soft=fits.soft)


def white_first(pattern: Pattern, places: Floats) -> NDArray[np.bool_]:
    """Whether the square up and to the left of each saddle is white, shape (n,).

    Parameters
    ----------
    pattern : Pattern
        Of squares.
    places : ndarray, shape (n, 2)
        Saddles. [px]
    """
    # Of saddle (c, r) that square is the one of column c - 1 and row r - 1: the same parity.
    numbers = np.round((places - pattern.corner) / pattern.side).sum(axis=1).astype(int)
    x, y = (pattern.tag_centres()[0] - pattern.corner) // pattern.side
    return np.asarray(numbers % 2 == int(x + y) % 2, dtype=bool)
