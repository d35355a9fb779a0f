"""Where the artwork lies on the wall."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ArtworkPlacement"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ArtworkPlacement:
    """Position and size of the artwork's canvas on the wall; aspect is never changed.

    Exactly one of width, height and scale is given.

    Parameters
    ----------
    at : float
        Chainage of the canvas's left edge. [m]
    foot : float
        Level of its lower edge. [m]
    width, height : float or None
        Of the canvas on the wall; above 0. [m]
    scale : float or None
        Metres of wall to one artwork unit; above 0. [m]
    mirrored : bool
        Only where asked for.
    clearance : float
        Kept free beside openings. [m]
    """

    at: float = 0.0
    foot: float = 0.0
    width: float | None = None
    height: float | None = None
    scale: float | None = None
    mirrored: bool = False
    clearance: float = 0.15

    def __post_init__(self) -> None:
        sizes = [v for v in (self.width, self.height, self.scale) if v is not None]
        if len(sizes) != 1:
            raise ValueError("give exactly one of width, height and scale")
        if not sizes[0] > 0:
            raise ValueError("the artwork's size on the wall is above 0")
        if self.clearance < 0:
            raise ValueError("clearance is 0 or more")
