"""How colours look to eyes that lack one kind of cone.

References
----------
Machado, Oliveira and Fernandes 2009, A physiologically-based model for simulation of color vision
deficiency, IEEE Transactions on Visualization and Computer Graphics 15(6), 1291-1298,
doi 10.1109/TVCG.2009.113; the authors' matrices for severity 1.0, on linear sRGB.
"""

from __future__ import annotations

from enum import StrEnum

from numpy.typing import ArrayLike

from giornata.core.colour.srgb import linear_from_srgb, srgb_from_linear
from giornata.core.foundation import Floats, readonly

__all__ = ["Deficiency", "deficiency_matrix", "srgb_as_seen"]


class Deficiency(StrEnum):
    """Which kind of cone is missing."""

    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


_MATRICES = {
    Deficiency.PROTAN: readonly(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    Deficiency.DEUTAN: readonly(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    Deficiency.TRITAN: readonly(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}


def deficiency_matrix(deficiency: Deficiency) -> Floats:
    """Matrix ``(3, 3)`` on linear sRGB for one kind of cone wholly missing. [-]"""
    return _MATRICES[deficiency]


def srgb_as_seen(srgb: ArrayLike, deficiency: Deficiency) -> Floats:
    """Encoded sRGB as an eye lacking one kind of cone sees it, shape ``(..., 3)``. [-]

    Parameters
    ----------
    srgb : array_like
        Encoded sRGB, shape ``(..., 3)``, 0 to 1. [-]
    deficiency : Deficiency
        Which kind of cone is missing.

    Notes
    -----
    Not clipped: a saturated colour may fall a little outside 0 to 1.
    """
    return srgb_from_linear(linear_from_srgb(srgb) @ _MATRICES[deficiency].T)
