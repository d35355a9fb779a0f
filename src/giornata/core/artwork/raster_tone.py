"""Coded levels of sRGB and levels of light."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["LIGHT_STRETCH", "coded", "in_light"]

LIGHT_STRETCH = 2.3  # levels of light to a coded level at white, the most there is


def in_light(levels: NDArray[np.uint8] | NDArray[np.float64]) -> NDArray[np.float32]:
    """Levels of light, 0 to 255, of coded levels of sRGB. [-]

    Parameters
    ----------
    levels : ndarray of uint8 or of float
        Coded levels, 0 to 255. [-]

    References
    ----------
    IEC 61966-2-1:1999, 5.2.
    """
    if levels.dtype == np.uint8:
        return _light(np.arange(256) / 255.0)[levels]
    return _light(levels / 255.0)


def _light(level: NDArray[np.float64]) -> NDArray[np.float32]:
    light = np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)
    return np.asarray((255.0 * light).astype(np.float32))


def coded(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """Coded levels of sRGB, 0 to 255, of levels of light. [-]

    Parameters
    ----------
    light : ndarray of float
        Levels of light, 0 to 255. [-]

    References
    ----------
    IEC 61966-2-1:1999, 5.2.
    """
    part = light / 255.0
    level = np.where(part <= 0.0031308, 12.92 * part, 1.055 * part ** (1 / 2.4) - 0.055)
    return np.asarray(255.0 * level)
