"""What the works are reckoned from: areas and edges of each paint, and its coats."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.artwork import Colourway, Role
from giornata.core.foundation import Figure
from giornata.core.works.terms import PaintTerms

__all__ = ["CoatCounts", "CoatLayer", "PaintQuantity", "coat_counts", "ground_of"]


class CoatLayer(StrEnum):
    """What a coat is for."""

    PRIMER = "primer"
    BASE = "base coat"
    FIGURE = "figure"


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintQuantity:
    """One paint of an option as taken off.

    Parameters
    ----------
    number, key, name, role
        Of the paint, as in the palette.
    area : Figure
        Visible area, 0 or more. [m²]
    cut_edge : Figure
        Edge cut in with this paint, each shared edge with one paint only; 0 or more. [m]
    """

    number: int
    key: str
    name: str
    role: Role
    area: Figure
    cut_edge: Figure

    def __post_init__(self) -> None:
        if self.area.unit != "m²" or self.cut_edge.unit != "m":
            raise ValueError("a paint's area is in m² and its edge in m")
        if not (float(self.area) >= 0 and float(self.cut_edge) >= 0):
            raise ValueError("a paint's area and edge are 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatCounts:
    """Coats of an option in a colourway.

    Parameters
    ----------
    primer, base : int
        Over the whole net wall, 0 or more. [-]
    figures : tuple of (str, int)
        Key and coats of each figure paint, in the order of painting. [-]
    """

    primer: int
    base: int
    figures: tuple[tuple[str, int], ...]

    def of(self, key: str) -> int:
        """Coats of a figure paint; 0 where the paint is no figure. [-]"""
        return dict(self.figures).get(key, 0)


def ground_of(quantities: Sequence[PaintQuantity]) -> PaintQuantity:
    """The ground paint; exactly one of the quantities is.

    Raises
    ------
    ValueError
        If none or more than one is.
    """
    grounds = [quantity for quantity in quantities if quantity.role is Role.GROUND]
    if len(grounds) != 1:
        raise ValueError(f"exactly one paint is the ground, not {len(grounds)}")
    return grounds[0]


def coat_counts(
    quantities: Sequence[PaintQuantity], colourway: Colourway, terms: PaintTerms
) -> CoatCounts:
    """Coats by the job's default, by the colourway where it differs. [-]

    Notes
    -----
    The ground is painted by the base coats over the whole net wall, so a colourway's coats of
    the ground paint are base coats.
    """
    ground = ground_of(quantities)
    return CoatCounts(
        primer=terms.primer.coats,
        base=colourway.coats.get(ground.key, terms.base.coats),
        figures=tuple(
            (quantity.key, colourway.coats.get(quantity.key, terms.figure.coats))
            for quantity in quantities
            if quantity.role is Role.FIGURE
        ),
    )
