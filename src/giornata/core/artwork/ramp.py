"""A gradient as drawn: colours along a run, and where the run lies on the artwork."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from giornata.core.foundation import Floats

__all__ = ["Ramp", "Spread", "along", "colours_along"]

_FLATTEST = 1.0e-9  # of the longer side; a run squeezed further has no direction


class Spread(StrEnum):
    """What a gradient shows beyond its run."""

    PAD = "pad"
    REFLECT = "reflect"
    REPEAT = "repeat"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ramp:
    """Colours along a run from a point to a point, or from a circle to the circle around it.

    Parameters
    ----------
    stops : ndarray, shape (n, 5)
        Place on the run, 0 to 1 and never falling; red, green, blue, 0 to 255; opacity, 0 to 1;
        two or more rows. [-]
    start, end : tuple of float
        x, y and radius where the run begins and ends, in the ramp's own space; both radii 0 for
        a straight run. [-]
    artwork_from_ramp : tuple of float
        a, b, c, d, e, f: x' = a x + c y + e, y' = b x + d y + f. [-]
    spread : Spread
        What shows beyond the run.
    extend : tuple of bool
        Whether anything shows before the run's beginning and after its end.

    Raises
    ------
    ValueError
        If there are fewer than two stops or they fall back, the run has no length, is squeezed
        flat, or its circles are not one inside the other.
    """

    stops: Floats
    start: tuple[float, float, float]
    end: tuple[float, float, float]
    artwork_from_ramp: tuple[float, float, float, float, float, float]
    spread: Spread = Spread.PAD
    extend: tuple[bool, bool] = (True, True)

    def __post_init__(self) -> None:
        if self.stops.ndim != 2 or self.stops.shape[1] != 5 or len(self.stops) < 2:
            raise ValueError("a ramp has two stops or more, of five numbers each")
        if not np.isfinite(self.stops).all() or (np.diff(self.stops[:, 0]) < 0).any():
            raise ValueError("stops follow one another along the run")
        if self.stops[0, 0] < 0 or self.stops[-1, 0] > 1:
            raise ValueError("stops lie on the run")
        if not np.isfinite([*self.start, *self.end, *self.artwork_from_ramp]).all():
            raise ValueError("a run has a place")
        apart = math.hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])
        if self.radial:
            if not 0 <= self.start[2] < self.end[2] or apart >= self.end[2] - self.start[2]:
                raise ValueError("the circle of the beginning lies inside that of the end")
        elif apart <= 0:
            raise ValueError("a run has a length")
        a, b, c, d, _, _ = self.artwork_from_ramp
        if abs(a * d - b * c) <= _FLATTEST * max(abs(a), abs(b), abs(c), abs(d)) ** 2:
            raise ValueError("the run is squeezed flat")
        self.stops.setflags(write=False)

    @property
    def radial(self) -> bool:
        """Whether the run goes from circle to circle."""
        return self.start[2] != 0 or self.end[2] != 0

    @property
    def fades(self) -> bool:
        """Whether anything along the run is less than opaque."""
        return bool((self.stops[:, 4] < 1).any())


def along(ramp: Ramp, points: Floats) -> Floats:
    """Place of points on the run: 0 at its beginning, 1 at its end, beyond it below and above. [-]

    Parameters
    ----------
    ramp : Ramp
        The gradient.
    points : ndarray, shape (n, 2)
        Artwork frame. [-]

    Notes
    -----
    For circles, the largest t whose circle of centre c0 + t (c1 - c0) and radius
    r0 + t (r1 - r0), not negative, passes through the point.

    References
    ----------
    ISO 32000-1:2008, 8.7.4.5.3 (axial) and 8.7.4.5.4 (radial shadings).
    """
    a, b, c, d, e, f = ramp.artwork_from_ramp
    inverse = np.linalg.inv(np.array([[a, c], [b, d]]))
    own = (np.asarray(points, dtype=np.float64) - (e, f)) @ inverse.T
    step = np.subtract(ramp.end[:2], ramp.start[:2])
    off = own - ramp.start[:2]
    if not ramp.radial:
        return np.asarray(off @ step / float(step @ step))
    # |off - t step|² = (r0 + t dr)²; the circles are nested, so the factor of t² is below 0.
    r0, dr = ramp.start[2], ramp.end[2] - ramp.start[2]
    square = float(step @ step) - dr * dr
    half = -(off @ step + r0 * dr)
    rest = np.einsum("ij,ij->i", off, off) - r0 * r0
    root = np.sqrt(np.maximum(half * half - square * rest, 0.0))
    return np.asarray((-half - root) / square)


def colours_along(ramp: Ramp, places: Floats) -> Floats:
    """Red, green, blue (0 to 255) and opacity (0 to 1) at places on the run, shape (n, 4). [-]

    Parameters
    ----------
    ramp : Ramp
        The gradient.
    places : ndarray, shape (n,)
        0 to 1; where two stops share a place, the later one's colour. [-]

    Notes
    -----
    Colours run evenly in sRGB levels from stop to stop, opacity beside them and not multiplied in.

    References
    ----------
    W3C, Scalable Vector Graphics (SVG) 1.1 (Second Edition), 2011, 13.2.4.
    """
    stops = ramp.stops
    after = np.clip(np.searchsorted(stops[:, 0], places, side="right"), 1, len(stops) - 1)
    low, high = stops[after - 1], stops[after]
    width = high[:, 0] - low[:, 0]
    share = np.where(width > 0, (places - low[:, 0]) / np.where(width > 0, width, 1.0), 1.0)
    share = np.clip(share, 0.0, 1.0)[:, None]
    return np.asarray(low[:, 1:] + share * (high[:, 1:] - low[:, 1:]))
