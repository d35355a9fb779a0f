"""Spreading rate: area a volume of paint covers, from film, from loss, from the wall's face."""

from __future__ import annotations

from types import MappingProxyType

from giornata.core.foundation import Assumption, Figure, Finding, Severity
from giornata.core.survey import Surface

__all__ = [
    "SPREADING_RATES", "paint_volume", "patch_spreading_rate", "practical_spreading_rate",
    "spreading_rate_findings", "surface_spreading_rate", "theoretical_spreading_rate",
    "wet_film_thickness",
]  # fmt: skip

# Area per volume in one coat. 1 m²/L = 1000 m²/m³; 300, 400, 250, 150 ft²/US gal are 7.4, 9.8,
# 6.1 and 3.7 m²/L.
SPREADING_RATES = MappingProxyType(
    {
        Surface.SMOOTH: Assumption(
            name="spreading rate, smooth",
            value=8000.0,
            unit="m²/m³",
            source="US paint maker's exterior product page: 300 to 400 ft²/US gal, smooth primed",
            usual=(7400.0, 10000.0),
        ),
        Surface.MASONRY: Assumption(
            name="spreading rate, masonry",
            value=7000.0,
            unit="m²/m³",
            source="common practice, no source: between smooth (300 ft²/US gal) and rough (250)",
            usual=(6000.0, 8500.0),
        ),
        Surface.ROUGH_RENDER: Assumption(
            name="spreading rate, rough render",
            value=6000.0,
            unit="m²/m³",
            source="estimator's tip page: 250 ft²/US gal on rough stucco",
            usual=(4000.0, 7400.0),
        ),
        Surface.ROUGHCAST: Assumption(
            name="spreading rate, roughcast",
            value=3500.0,
            unit="m²/m³",
            source="painters' forum: 19 US gal on 3,000 ft² of raw stucco, about 158 ft²/US gal",
            usual=(2500.0, 4500.0),
        ),
    }
)


def theoretical_spreading_rate(volume_solids: float, dry_film: float) -> float:
    """Area a volume of paint would cover if all its solids became the dry film. [m²/m³]

    Parameters
    ----------
    volume_solids : float
        Share of the volume that stays when dry, above 0 to 1. [-]
    dry_film : float
        Thickness of the dry film, above 0. [m]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Solids divided by film; a coatings maker's sheet prints it as 1000 × solids ÷ µm in m²/L and
    1604 × solids ÷ mils in ft²/US gal.

    Examples
    --------
    >>> round(theoretical_spreading_rate(0.65, 125e-6) / 1000, 2)   # m²/L
    5.2
    """
    if not (0 < volume_solids <= 1 and dry_film > 0):
        raise ValueError("volume solids are above 0 to 1 and a dry film is above 0")
    return volume_solids / dry_film


def wet_film_thickness(volume: float, area: float) -> float:
    """Thickness of paint as spread, before it dries. [m]

    Parameters
    ----------
    volume : float
        Paint on the wall, 0 or more. [m³]
    area : float
        Area it is spread over, above 0. [m²]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (volume >= 0 and area > 0):
        raise ValueError("a volume is 0 or more and an area above 0")
    return volume / area


def practical_spreading_rate(theoretical: float, loss: float) -> float:
    """Spreading rate of the paint drawn from the tin, some of which never reaches the wall. [m²/m³]

    Parameters
    ----------
    theoretical : float
        Spreading rate of the paint on the wall, above 0. [m²/m³]
    loss : float
        Fraction lost, 0 to below 1. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (theoretical > 0 and 0 <= loss < 1):
        raise ValueError("a spreading rate is above 0 and a loss 0 to below 1")
    return theoretical * (1 - loss)


def paint_volume(
    area: float, coats: int, spreading_rate: float, *, loss: float = 0.0, waste: float = 0.0
) -> float:
    """Paint to have, for an area in a number of coats. [m³]

    Parameters
    ----------
    area : float
        0 or more. [m²]
    coats : int
        0 or more. [-]
    spreading_rate : float
        Per coat, above 0. [m²/m³]
    loss : float
        Fraction that never reaches the wall; the need is divided by 1 - loss; 0 to below 1. [-]
    waste : float
        Fraction added on top, left in trays, sleeves and tins; 0 or more. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Examples
    --------
    >>> round(1000 * paint_volume(167.52, 2, 6000.0, waste=0.10), 1)   # L
    61.4
    """
    if not (area >= 0 and coats >= 0 and waste >= 0):
        raise ValueError("area, coats and waste are 0 or more")
    rate = practical_spreading_rate(spreading_rate, loss)
    return area * coats / rate * (1 + waste)


def patch_spreading_rate(area: float, coats: int, volume: float) -> float:
    """Spreading rate per coat measured on a test patch. [m²/m³]

    Parameters
    ----------
    area : float
        Of the patch, above 0. [m²]
    coats : int
        At least 1. [-]
    volume : float
        Paint used, above 0. [m³]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (area > 0 and coats >= 1 and volume > 0):
        raise ValueError("a patch has an area and a volume above 0 and at least one coat")
    return area * coats / volume


def surface_spreading_rate(surface: Surface) -> Figure:
    """House default for the face of a wall, where the job says nothing. [m²/m³]"""
    return SPREADING_RATES[surface].figure()


def spreading_rate_findings(
    surface: Surface, decided_rate: float, *, subject: str
) -> tuple[Finding, ...]:
    """Whether a decided spreading rate lies outside what such a wall usually takes.

    Parameters
    ----------
    surface : Surface
        Face of the wall.
    decided_rate : float
        Of the job, above 0. [m²/m³]
    subject : str
        The coat it is decided for.
    """
    usual = SPREADING_RATES[surface].usual
    assert usual is not None
    low, high = usual
    if low <= decided_rate <= high:
        return ()
    return (
        Finding(
            code="works.spreading_rate",
            severity=Severity.WARN,
            subject=subject,
            message=f"The spreading rate is {decided_rate / 1000:.3g} m²/L; {surface.value} "
            f"usually takes {low / 1000:.3g} to {high / 1000:.3g} m²/L.",
            remedy="Paint a test patch of 10 m², measure what it used, and enter that rate.",
        ),
    )
