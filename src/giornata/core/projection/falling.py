"""Where light of a picture falls on the wall."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from giornata.core.foundation import Floats, readonly
from giornata.core.projection.alignment import Alignment
from giornata.core.projection.sightings import MarkSeen
from giornata.core.projection.wall_maps import WallMap

__all__ = ["cross_misses", "wall_from_px"]

_ROUNDS = 50
_NEAR = 1e-9  # m


def wall_from_px(on_wall: WallMap, px: Floats, near: Floats) -> Floats:
    """Where light of places of the picture falls on the wall, shape (n, 2). [m]

    Parameters
    ----------
    on_wall : WallMap
        From the wall to the picture.
    px : ndarray, shape (n, 2)
        Places of the picture. [px]
    near : ndarray, shape (n, 2)
        Places on the wall not far from there. [m]

    Notes
    -----
    Newton's method. A place whose light does not meet the wall is not a number.
    """
    places: Floats = np.array(near, dtype=np.float64)
    with np.errstate(all="ignore"):
        for _ in range(_ROUNDS):
            by_wall, _ = on_wall.slopes(places)
            missed = px - on_wall.px_from_wall(places)
            # By the adjugate: a singular slope is a place that is not a number, not an error.
            a, b, c, d = (by_wall[:, i, j] for i in (0, 1) for j in (0, 1))
            size = a * d - b * c
            step = np.column_stack(
                [
                    (d * missed[:, 0] - b * missed[:, 1]) / size,
                    (a * missed[:, 1] - c * missed[:, 0]) / size,
                ]
            )
            places = places + step
            if not (np.abs(step) > _NEAR).any():
                break
        off = ~(np.abs(on_wall.px_from_wall(places) - px) < 1e-3).all(axis=1)
        # Behind the lens the wall would be seen the other way round.
        off |= ~(np.linalg.det(on_wall.slopes(places)[0]) < 0)
    places[off] = np.nan
    return places


def cross_misses(
    found: Alignment, marks: Sequence[MarkSeen], shown: Floats | None = None
) -> Floats:
    """How far the crosses of a picture fall from their marks, right and up; shape (n, 2). [m]

    Parameters
    ----------
    found : Alignment
        How the picture lies on the wall.
    marks : sequence of MarkSeen
        Where they are seen now; a mark need not be among those that were fitted.
    shown : ndarray, shape (n, 2), or None
        Where the picture that is shown has their crosses; None for the picture squared by the
        fit. [px]

    Notes
    -----
    What the fit leaves over at a mark moves its cross too: only the way from the mark to the cross
    is taken from the fit.
    """
    places = readonly([(one.chainage, one.level) for one in marks], columns=2)
    seen = readonly([(one.x_px, one.y_px) for one in marks], columns=2)
    expected = found.on_wall.px_from_wall(places)
    drawn = expected if shown is None else shown
    missed: Floats = wall_from_px(found.on_wall, drawn - (seen - expected), places) - places
    return missed
