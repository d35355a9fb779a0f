"""Tags found in a photo, and whose pattern they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.pattern import Levels, Pattern, PatternKind, dictionary
from giornata.core.foundation import Floats, readonly

__all__ = ["LEAST_TAGS", "Recognised", "Tags", "found_tags", "kinds_tried", "recognised"]

LEAST_TAGS = 6
"""Tags of one pattern in their places, from which a pattern is recognised. [-]"""

_SMALL = 1600  # px of the longer side that tags are looked for at first
_PLANES = 3  # of a wall inside a picture
_SHARE = 0.5  # of the tags found must stand where the pattern has them


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tags:
    """Tags found in a picture.

    Parameters
    ----------
    codes : ndarray of int, shape (n,)
    corners : ndarray, shape (n, 4, 2)
        In the photo, from the outer corner of its first pixel. [px]
    """

    codes: NDArray[np.intp]
    corners: Floats

    @property
    def centres(self) -> Floats:
        """Where the diagonals of each tag cross, shape (n, 2). [px]"""
        a, b, c, d = np.moveaxis(self.corners, 1, 0)
        first, second = c - a, d - b
        cross = first[:, 0] * second[:, 1] - first[:, 1] * second[:, 0]
        along = ((b - a)[:, 0] * second[:, 1] - (b - a)[:, 1] * second[:, 0]) / cross
        found: Floats = a + along[:, None] * first
        return found


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Recognised:
    """A pattern recognised by its tags.

    Parameters
    ----------
    pattern : Pattern
    tags : Tags
        Those that stand in their places.
    order : ndarray of int, shape (n,)
        Number of each in the pattern's order of reading.
    """

    pattern: Pattern
    tags: Tags
    order: NDArray[np.intp]


def found_tags(picture: Levels, kind: PatternKind) -> Tags:
    """All tags of a kind of pattern in a picture.

    Parameters
    ----------
    picture : ndarray of uint8, shape (rows, columns)
    kind : PatternKind

    Notes
    -----
    Looked for in a smaller copy first, where noise is averaged and it takes less time, then in
    finer ones until one does not find more.
    """
    longest = max(picture.shape)
    best = _found_at(picture, kind, min(_SMALL / longest, 1.0))
    for pixels in (2 * _SMALL, _SMALL / 2):
        if pixels < longest or (pixels < _SMALL <= longest):
            enough = len(best.codes) >= 4 * LEAST_TAGS
            if enough:
                break
            other = _found_at(picture, kind, pixels / longest)
            best = other if len(other.codes) > len(best.codes) else best
    return best


def _found_at(picture: Levels, kind: PatternKind, scale: float) -> Tags:
    small = picture
    if scale < 1:
        size = (round(picture.shape[1] * scale), round(picture.shape[0] * scale))
        small = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.uint8)
    factor = np.array([picture.shape[1] / small.shape[1], picture.shape[0] / small.shape[0]])
    asked = cv2.aruco.DetectorParameters()
    asked.minMarkerPerimeterRate = 0.02
    asked.adaptiveThreshWinSizeMin = 7
    asked.adaptiveThreshWinSizeMax = 43
    asked.adaptiveThreshWinSizeStep = 12
    if kind is PatternKind.TAGS:
        asked.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, codes, _ = cv2.aruco.ArucoDetector(dictionary(kind), asked).detectMarkers(small)
    if codes is None:
        return Tags(codes=np.zeros(0, np.intp), corners=np.zeros((0, 4, 2)))
    # OpenCV counts from the first pixel's middle, we from its outer corner.
    places = (np.asarray(corners, np.float64).reshape(-1, 4, 2) + 0.5) * factor
    return Tags(codes=np.asarray(codes, np.intp).ravel(), corners=readonly(places))


def recognised(tags: Tags, patterns: Iterable[Pattern]) -> Recognised | None:
    """The pattern that most tags agree with; None where none is recognised.

    Parameters
    ----------
    tags : Tags
    patterns : iterable of Pattern
        Of the kind that the tags were looked for by.
    """
    made = [one for one in (_agreeing(tags, pattern) for pattern in patterns) if one is not None]
    return max(made, key=lambda one: len(one.order), default=None)


def _agreeing(tags: Tags, pattern: Pattern) -> Recognised | None:
    place = {code: number for number, code in enumerate(pattern.tags)}
    known = np.array([place.get(int(code), -1) for code in tags.codes], dtype=np.intp)
    chosen = np.flatnonzero(known >= 0)
    if len(chosen) < LEAST_TAGS:
        return None
    seen, there = tags.centres[chosen], pattern.tag_centres()[known[chosen]]
    inside = _on_planes(there, seen, tolerance=_reach(tags.corners[chosen]))
    if inside.sum() < max(LEAST_TAGS, _SHARE * len(chosen)):
        return None
    kept = chosen[inside]
    order = known[kept]
    if len(set(order.tolist())) < LEAST_TAGS:
        return None
    return Recognised(
        pattern=pattern,
        tags=Tags(codes=tags.codes[kept], corners=readonly(tags.corners[kept])),
        order=order,
    )


def _reach(corners: Floats) -> float:
    """Half of a tag's side in the photo: what a lens's bend may shift it off the plane. [px]"""
    sides = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2)
    return 0.5 * float(np.median(sides))


def _on_one_plane(places: Floats, seen: Floats, *, tolerance: float) -> NDArray[np.bool_]:
    matrix, inside = cv2.findHomography(places, seen, cv2.USAC_MAGSAC, tolerance, maxIters=2000)
    if matrix is None:
        return np.zeros(len(places), bool)
    found: Any = np.asarray(inside).ravel().astype(bool)
    return np.asarray(found, dtype=bool)


def _on_planes(places: Floats, seen: Floats, *, tolerance: float) -> NDArray[np.bool_]:
    """Those on the wall's plane, or on its planes where it is folded or curved."""
    inside = np.zeros(len(places), bool)
    for _ in range(_PLANES):
        rest = np.flatnonzero(~inside)
        if len(rest) < LEAST_TAGS:
            break
        more = _on_one_plane(places[rest], seen[rest], tolerance=tolerance)
        if more.sum() < LEAST_TAGS:
            break
        inside[rest[more]] = True
    return inside


def kinds_tried(first: PatternKind) -> Sequence[PatternKind]:
    """All kinds, the one expected first."""
    return (first, *(kind for kind in PatternKind if kind is not first))
