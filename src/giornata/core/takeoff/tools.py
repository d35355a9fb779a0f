"""The tools and the surface that decide what is a roller's work and what is a brush's."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["BrushAndRoller"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BrushAndRoller:
    """Roller and brush, and the wall they work on.

    Parameters
    ----------
    roller : float
        Width; above 0. [m]
    narrowest_brush : float
        Width; above 0. [m]
    texture : float
        Depth of the wall's texture; 0 or more. [m]
    """

    roller: float = 0.18
    narrowest_brush: float = 0.025
    texture: float = 0.003

    def __post_init__(self) -> None:
        if not (self.roller > 0 and self.narrowest_brush > 0 and self.texture >= 0):
            raise ValueError("roller and brush widths are above 0, texture 0 or more")
