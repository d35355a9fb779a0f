"""Whether latitude and longitude of a place were written the other way round."""

from __future__ import annotations

import math

from giornata.core.foundation import Finding, Severity

__all__ = ["misplaced"]

_FAR = math.radians(15.0)  # most zones reach less far from the town that they are named after
_NEARER = 3.0  # times that the exchanged place lies nearer to it


def misplaced(
    latitude: float, longitude: float, zone: str, named_after: tuple[float, float]
) -> Finding | None:
    """A place far from its zone that would lie near it with latitude and longitude exchanged.

    Parameters
    ----------
    latitude, longitude : float
        As written, north and east above 0. [rad]
    zone : str
        Name of the place's time zone.
    named_after : tuple of (float, float)
        Latitude and longitude of the place that the zone is named after. [rad]
    """
    if abs(longitude) > math.pi / 2:
        return None
    away = _away((latitude, longitude), named_after)
    exchanged = _away((longitude, latitude), named_after)
    if away <= _FAR or exchanged * _NEARER >= away:
        return None
    north, east, far, near = map(math.degrees, (latitude, longitude, away, exchanged))
    return Finding(
        code="site.misplaced",
        severity=Severity.WARN,
        subject="site",
        message=f"Latitude {north:.2f} and longitude {east:.2f} degrees lie {far:.0f} degrees from "
        f"the place that the zone {zone} is named after; exchanged they would lie {near:.0f} "
        "degrees from it.",
        remedy="If they were exchanged, write each at the other's key under [site]; else check the "
        "zone. Darkness is reckoned from all three.",
    )


def _away(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Angle between two places of the globe (haversine). [rad]"""
    up = math.sin((one[0] - other[0]) / 2) ** 2
    along = math.sin((one[1] - other[1]) / 2) ** 2
    return 2 * math.asin(math.sqrt(min(1.0, up + math.cos(one[0]) * math.cos(other[0]) * along)))
