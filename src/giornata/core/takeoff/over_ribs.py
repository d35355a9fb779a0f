"""Edges cut over the ribs of a sheet: their length on it, by the paint that cuts them."""

from __future__ import annotations

import numpy as np
import shapely

from giornata.core.foundation import Figure, derived
from giornata.core.geometry import OUTSIDE, Coverage
from giornata.core.survey import RibbedFace, lengthening, ribs_figure

__all__ = ["cut_over_ribs"]


def cut_over_ribs(
    coverage: Coverage, face: RibbedFace, name: str, number: int, cut: Figure
) -> Figure:
    """Length that a paint cuts in, up and down the ribs. [m]

    Parameters
    ----------
    coverage : Coverage
        The design on the wall, in metres.
    face : survey.RibbedFace
        Its ribs.
    name : str
        Of the paint.
    number : int
        Of the paint; it cuts the edges that it has with lower numbers. [-]
    cut : Figure
        The same edges on the flat face. [m]

    References
    ----------
    `survey.lengthening`.
    """
    inner = (coverage.left != OUTSIDE) & (coverage.right != OUTSIDE)
    later = np.maximum(coverage.left, coverage.right) == number
    xy, line = shapely.get_coordinates(coverage.edges[inner & later], return_index=True)
    piece = np.diff(xy, axis=0)[line[1:] == line[:-1]]
    along, up = piece[:, 0], piece[:, 1]
    whole = float((np.hypot(along, up) * lengthening(face, along, up)).sum())
    return derived(
        f"{name}, cutting-in length over the ribs",
        whole,
        "m",
        method="takeoff.cut_over_ribs v1",
        formula="each piece of the edges × what the ribs make of it by its slant to them",
        parts=(cut, face.factor, ribs_figure(face)),
    )
