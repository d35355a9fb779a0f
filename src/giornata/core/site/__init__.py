"""Site: light on the wall at night, and where one may stand before it."""

from giornata.core.site.ambient import ambient_over
from giornata.core.site.standing import (
    LIFT_SLOPE,
    TRIPOD_SLOPE,
    Barred,
    StandingRoom,
    StandingStretch,
    standing_findings,
    standing_room,
    standing_rooms,
)

__all__ = [
    "LIFT_SLOPE",
    "TRIPOD_SLOPE",
    "Barred",
    "StandingRoom",
    "StandingStretch",
    "ambient_over",
    "standing_findings",
    "standing_room",
    "standing_rooms",
]
