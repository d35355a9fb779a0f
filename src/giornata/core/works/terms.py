"""Decisions about paint, hours and access."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation.money import Money

__all__ = [
    "AccessTerms", "Coating", "LabourRates", "LabourTerms", "NightTerms", "PaintTerms",
    "PastJob", "Tin",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Tin:
    """A tin on the supplier's list: its volume and price; volume above 0. [m³]"""

    volume: float
    price: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class Coating:
    """Coats and spreading rate of one coating; spreading rate above 0. [-], [m²/m³]"""

    coats: int
    spreading_rate: float

    def __post_init__(self) -> None:
        if self.coats < 0 or not self.spreading_rate > 0:
            raise ValueError("coats are 0 or more and a spreading rate is above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class PaintTerms:
    """How paint is reckoned.

    Parameters
    ----------
    figure : Coating
        Of each figure paint, unless a colourway says otherwise.
    base, primer : Coating
        Over the whole net wall; 0 coats where there is none.
    waste : float
        Fraction added on top (trays, sleeves, tins), 0 or more. [-]
    loss : float
        Fraction that never reaches the wall (wind, spray): the need is divided by 1 - loss;
        0 to below 1. [-]
    reserve : float
        Fraction kept for touch-up, on top of waste. [-]
    price : Money or None
        Of one litre, where no tins are listed.
    """

    figure: Coating
    base: Coating
    primer: Coating
    waste: float = 0.10
    loss: float = 0.0
    reserve: float = 0.05
    price: Money | None = None
    tins: tuple[Tin, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PastJob:
    """What a finished job took. area [m²], edge [m], duration [s]"""

    name: str
    area: float
    edge: float
    duration: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourRates:
    """Working rates per coat of one person. areas [m²/s], edge [m/s]; each above 0."""

    primer: float
    base: float
    fill: float
    edge: float

    def __post_init__(self) -> None:
        if not min(self.primer, self.base, self.fill, self.edge) > 0:
            raise ValueError("a working rate is above 0")


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourTerms:
    """Who works how long, at what rates. durations [s], usable_days [-]"""

    rates: LabourRates
    people: int = 2
    productive: float = 6.5 * 3600
    usable_days: float = 0.7
    set_up: float = 0.0
    past: tuple[PastJob, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AccessTerms:
    """When a lift is needed and what its hire costs. lift_above [m]"""

    lift_above: float
    day: Money
    week: Money
    four_weeks: Money
    delivery: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class NightTerms:
    """Working at night with the projector. durations [s], tracing [m/s], laptop [W]"""

    set_up: float = 12 * 60.0
    tracing: float = 90 / 3600
    hours: float = 5.5 * 3600
    laptop: float = 65.0
