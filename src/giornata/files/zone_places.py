"""Where the places lie that time zones are named after, by the list that comes with tzdata."""

from __future__ import annotations

import math
import re
from functools import cache
from importlib import resources

__all__ = ["zone_place"]

_AT = re.compile(r"([+-]\d{2})(\d{2})(\d{2})?([+-]\d{3})(\d{2})(\d{2})?")  # ISO 6709


@cache
def zone_place(zone: str) -> tuple[float, float] | None:
    """Latitude and longitude of the place that a zone is named after; None where none is listed.

    Parameters
    ----------
    zone : str
        Its IANA name. [rad] are returned.
    """
    listed = resources.files("tzdata").joinpath("zoneinfo", "zone.tab").read_text(encoding="utf-8")
    for row in listed.splitlines():
        columns = row.split("\t")
        if len(columns) > 2 and columns[2] == zone and (found := _AT.fullmatch(columns[1])):
            return _angle(found.groups()[:3]), _angle(found.groups()[3:])
    return None


def _angle(parts: tuple[str | None, ...]) -> float:
    degrees, minutes, seconds = (part or "0" for part in parts)
    size = abs(int(degrees)) + int(minutes) / 60 + int(seconds) / 3600
    return math.radians(-size if degrees.startswith("-") else size)
