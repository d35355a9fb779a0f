"""The tools and the surface that decide what is a roller's work and what is a brush's."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Assumption

__all__ = ["REGISTRATION", "BrushAndRoller"]

REGISTRATION = Assumption(
    name="registration of the transfer: how far a transferred line may be off",
    value=0.010,
    unit="m",
    source="common practice, no source: the design should leave more gap than the lines can be off",
    usual=(0.003, 0.030),
)


_WIDEST = 1.0  # m


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
    registration : float
        How far a transferred line may be off; 0 or more. [m]
    """

    roller: float = 0.18
    narrowest_brush: float = 0.025
    texture: float = 0.003
    registration: float = REGISTRATION.value

    def __post_init__(self) -> None:
        if not (self.roller > 0 and self.narrowest_brush > 0 and self.texture >= 0):
            raise ValueError("roller and brush widths are above 0, texture 0 or more")
        if not self.registration >= 0:
            raise ValueError("the registration of the transfer is 0 or more")
        widest = max(self.roller, self.narrowest_brush, self.texture, self.registration)
        if widest > _WIDEST:
            raise ValueError(
                "roller, brush, texture and registration are at most 1 m; check the unit"
            )
