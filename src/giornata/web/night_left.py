"""What is left of the night: darkness by the sun and moon of the place, and the batteries."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import lru_cache

from giornata.core.job import JobResults, place_of_nights
from giornata.core.site import Night, NightPlace, darkness_left
from giornata.web.records import said

__all__ = ["LeftState", "left_of_night"]

_ONE_NIGHT = timedelta(hours=14)  # what began longer ago was another night
_NOON = timedelta(hours=12)


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftState:
    """What is left of the night, where the job says enough to tell."""

    dark: float | None = said("Until it is too light to project; null where it is so now. [s]")
    dark_at: str = said("When it gets dark enough; empty where it is, or where nobody knows.")
    battery: float | None = said("Of the batteries, by the power plan, since work began. [s]")


@lru_cache(maxsize=4)
def _tonight(where: NightPlace, evening: date) -> Night:
    return where.night(evening)


def left_of_night(results: JobResults, now: datetime, begun: Sequence[datetime]) -> LeftState:
    """What is left now.

    Parameters
    ----------
    begun : sequence of datetime
        When set-ups were begun.
    """
    inputs = results.inputs
    where = place_of_nights(inputs.site, inputs.nights, results.set_ups)
    dark, dark_at = None, ""
    if where is not None:
        night = _tonight(where, (now.astimezone(where.zone) - _NOON).date())
        dark = darkness_left([night], now)
        coming = [start for start, _ in night.dark if start > now]
        dark_at = min(coming).isoformat() if coming and dark is None else ""
    power = results.power
    tonight = [at for at in begun if now - _ONE_NIGHT <= at <= now]
    battery = None
    if power is not None and power.battery_time is not None and tonight:
        lasts = timedelta(seconds=float(power.battery_time))
        battery = max(0.0, (min(tonight) + lasts - now).total_seconds())
    return LeftState(dark=dark, dark_at=dark_at, battery=battery)
