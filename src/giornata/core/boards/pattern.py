"""Coded patterns: what the projector shows so that a photo can be read back into its pixels."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.foundation import Assumption, Floats, readonly

__all__ = ["Levels", "Pattern", "PatternKind", "charuco", "dictionary", "pattern_pixels"]

Levels = NDArray[np.uint8]

ACROSS = Assumption(
    name="squares along a picture's longer side",
    value=24,
    unit="-",
    source="no published source: by made photos, 78 px of 1,920 hold up against blur and texture",
    usual=(12, 32),
)

_BITS = 4  # of a tag's code along each side
_RIM = 1  # modules of black around it
_TAG_SHARE = 0.72  # of a square's side


class PatternKind(StrEnum):
    """What the pattern is made of; its value is part of the frame's name."""

    SQUARES = "squares"
    FINE = "fine-squares"
    TAGS = "tags"


_ALONG = {PatternKind.SQUARES: int(ACROSS.value), PatternKind.FINE: 32, PatternKind.TAGS: 12}
_WIDER = {
    PatternKind.SQUARES: 1.025,
    PatternKind.FINE: 1.025,
    PatternKind.TAGS: 1.04,
}  # than the pattern
_CODES = {
    PatternKind.SQUARES: (cv2.aruco.DICT_4X4_250, 250),
    PatternKind.FINE: (cv2.aruco.DICT_4X4_1000, 1000),
    PatternKind.TAGS: (cv2.aruco.DICT_4X4_250, 250),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """A pattern of black and white squares with coded tags, at the projector's own pixels.

    Parameters
    ----------
    columns, rows : int
        The projector's own pixels. [px]
    set_up : int
        Number of the set-up, from 1; written in the pattern by which tag stands where. [-]
    kind : PatternKind
        Squares with tags in the white ones, finer ones, or tags alone.

    Notes
    -----
    The saddles between squares are the measure, never the corners of tags: blur and the
    projector's own curve push an outer corner outwards, and leave a saddle where it is.
    Tags alone are measured at their centres, where their diagonals cross.

    References
    ----------
    Garrido-Jurado, S. et al. 2014. Automatic generation and detection of highly reliable fiducial
    markers under occlusion. Pattern Recognition 47(6): 2280-2292. doi:10.1016/j.patcog.2014.01.005.
    """

    columns: int
    rows: int
    set_up: int
    kind: PatternKind = PatternKind.SQUARES

    def __post_init__(self) -> None:
        if self.set_up < 1:
            raise ValueError("set-ups are numbered from 1")
        if not (1.0 <= self.columns / self.rows <= 3.0 and self.side >= 3 * (_BITS + 2 * _RIM)):
            raise ValueError("a pattern needs a picture that is not upright and has enough pixels")

    @property
    def side(self) -> int:
        """Side of a square, or from tag to tag. [px]"""
        return int(self.columns / (_ALONG[self.kind] * _WIDER[self.kind]))

    @property
    def squares(self) -> tuple[int, int]:
        """Squares along and down. [-]"""
        return _ALONG[self.kind], self.rows // self.side

    @property
    def tag_px(self) -> int:
        """Side of a tag, black rim included: a whole number of pixels to each module. [px]"""
        modules = _BITS + 2 * _RIM
        return modules * round(_TAG_SHARE * self.side / modules)

    @property
    def corner(self) -> tuple[int, int]:
        """Upper left corner of the pattern in the frame. [px]"""
        along, down = self.squares
        return (self.columns - along * self.side) // 2, (self.rows - down * self.side) // 2

    @property
    def tags(self) -> tuple[int, ...]:
        """Codes of the tags in order of reading: the set-up's own order of the dictionary."""
        along, down = self.squares
        count = along * down if self.kind is PatternKind.TAGS else (along * down) // 2
        name = f"{self.kind} {self.set_up} "
        codes = range(_CODES[self.kind][1])
        mixed = sorted(codes, key=lambda code: hashlib.sha256(f"{name}{code}".encode()).digest())
        return tuple(mixed[:count])

    def places(self) -> Floats:
        """What is measured, in order of its number, shape (n, 2): saddles, or centres. [px]"""
        along, down = self.squares
        shift = 0.5 if self.kind is PatternKind.TAGS else 1.0
        less = 0 if self.kind is PatternKind.TAGS else 1
        x = self.corner[0] + self.side * (np.arange(along - less) + shift)
        y = self.corner[1] + self.side * (np.arange(down - less) + shift)
        across, up = np.meshgrid(x, y)
        return readonly(np.column_stack([across.ravel(), up.ravel()]))

    def tag_centres(self) -> Floats:
        """Centres of the tags in order of reading, shape (n, 2). [px]"""
        if self.kind is PatternKind.TAGS:
            return self.places()
        corners = np.array(charuco(self).getObjPoints())[:, :, :2]
        return readonly(corners.mean(axis=1) + self.corner)


def dictionary(kind: PatternKind) -> Any:
    """The open dictionary of tags that a pattern takes its codes from."""
    return cv2.aruco.getPredefinedDictionary(_CODES[kind][0])


@cache
def charuco(pattern: Pattern) -> Any:
    """The board of squares as OpenCV knows it, in pixels from the pattern's own corner.

    Raises
    ------
    ValueError
        If the pattern is one of tags alone.
    """
    if pattern.kind is PatternKind.TAGS:
        raise ValueError("tags alone make no board of squares")
    return cv2.aruco.CharucoBoard(
        pattern.squares, float(pattern.side), float(pattern.tag_px), dictionary(pattern.kind),
        np.array(pattern.tags),
    )  # fmt: skip


def pattern_pixels(pattern: Pattern, *, negative: bool = False) -> Levels:
    """A pattern's frame, shape (rows, columns): 0 black, 255 white.

    Parameters
    ----------
    negative : bool
        Black and white exchanged, all over the frame.
    """
    along, down = pattern.squares
    side, (left, top) = pattern.side, pattern.corner
    pixels = np.zeros((pattern.rows, pattern.columns), np.uint8)
    part = pixels[top : top + down * side, left : left + along * side]
    if pattern.kind is PatternKind.TAGS:
        pixels[:] = 255
    else:
        row, column = np.arange(down * side) // side, np.arange(along * side) // side
        even = np.where(column % 2 == _parity(pattern), 255, 0).astype(np.uint8)
        part[:] = np.array([even, 255 - even])[row % 2]
    half = pattern.tag_px // 2
    codes = dictionary(pattern.kind)
    for code, (x, y) in zip(pattern.tags, pattern.tag_centres().tolist(), strict=True):
        tag = codes.generateImageMarker(code, pattern.tag_px, borderBits=_RIM)
        upper, first = round(y) - half, round(x) - half
        pixels[upper : upper + pattern.tag_px, first : first + pattern.tag_px] = tag
    frame: Levels = 255 - pixels if negative else pixels
    return frame


def _parity(pattern: Pattern) -> int:
    """Sum of row and column, modulo 2, of the squares that are white and hold tags."""
    x, y = (pattern.tag_centres()[0] - pattern.corner) // pattern.side
    return int(x + y) % 2
