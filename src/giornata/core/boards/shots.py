"""Photos as light: decoded, and the pattern parted from what is painted on the wall."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from giornata.core.boards.pattern import Levels
from giornata.core.colour import linear_from_srgb

__all__ = ["Light", "grey_light", "levels_of", "parted"]

Light = NDArray[np.float32]

_FLOOR = 0.02  # of the bright end: what is darker tells nothing but noise


@cache
def _decoded() -> Light:
    made: Light = linear_from_srgb(np.repeat(np.arange(256) / 255.0, 3).reshape(-1, 3))[
        :, 0
    ].astype(np.float32)
    made.setflags(write=False)
    return made


def grey_light(photo: Levels) -> Light:
    """Light of a photo in grey, shape (rows, columns), 0 to 1, decoded from sRGB.

    Parameters
    ----------
    photo : ndarray of uint8, shape (rows, columns, 3)
        Upright.
    """
    grey = cv2.cvtColor(photo, cv2.COLOR_RGB2GRAY)
    return np.asarray(_decoded()[grey], dtype=np.float32)


def parted(one: Light, other: Light) -> Light:
    """(one - other) / (one + other): what is painted on the wall cancels; 0 where nothing is lit.

    Parameters
    ----------
    one, other : ndarray, shape (rows, columns)
        Light of two photos from one place, exposed alike. [-]
    """
    both = one + other
    floor = max(_FLOOR * float(np.percentile(both[::4, ::4], 99)), 1e-6)
    return np.asarray((one - other) / (both + floor), dtype=np.float32)


def levels_of(picture: Light) -> Levels:
    """A picture as 8 bits, its darkest and brightest hundredth at either end.

    Parameters
    ----------
    picture : ndarray, shape (rows, columns)
        [-]
    """
    low, high = np.percentile(picture[::4, ::4], (0.5, 99.5)).tolist()
    scale = 255.0 / max(high - low, 1e-6)
    return np.asarray(np.clip((picture - low) * scale, 0, 255), dtype=np.uint8)
