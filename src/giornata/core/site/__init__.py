"""Site: light on the wall at night, darkness, and where one may stand before the wall."""

from giornata.core.site.ambient import ambient_over
from giornata.core.site.carriers import (
    TOWER_SLOPE,
    VEHICLE_CROSS_SLOPE,
    VEHICLE_SLOPE,
    Carrier,
    level_enough,
    steep_findings,
)
from giornata.core.site.darkness import (
    ASTRONOMICAL,
    CIVIL,
    NAUTICAL,
    SUNSET,
    Night,
    darkness_left,
    night_of_date,
)
from giornata.core.site.evenings import (
    NightPlace,
    clock_time,
    darkness_findings,
    evenings,
    nearest_dark,
)
from giornata.core.site.misplaced import misplaced
from giornata.core.site.sky_light import (
    SKY_ON_WALL,
    moonlight,
    moonlight_on_wall,
    skylight,
    sun_depth,
)
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
from giornata.core.site.sun_moon import (
    DELTA_T,
    MoonSeen,
    julian_day,
    moment,
    moon_seen,
    sun_seen,
)

__all__ = [
    "ASTRONOMICAL",
    "CIVIL",
    "DELTA_T",
    "LIFT_SLOPE",
    "NAUTICAL",
    "SKY_ON_WALL",
    "SUNSET",
    "TOWER_SLOPE",
    "TRIPOD_SLOPE",
    "VEHICLE_CROSS_SLOPE",
    "VEHICLE_SLOPE",
    "Barred",
    "Carrier",
    "MoonSeen",
    "Night",
    "NightPlace",
    "StandingRoom",
    "StandingStretch",
    "ambient_over",
    "clock_time",
    "darkness_findings",
    "darkness_left",
    "evenings",
    "julian_day",
    "level_enough",
    "misplaced",
    "moment",
    "moon_seen",
    "moonlight",
    "moonlight_on_wall",
    "nearest_dark",
    "night_of_date",
    "skylight",
    "standing_findings",
    "standing_room",
    "standing_rooms",
    "steep_findings",
    "sun_depth",
    "sun_seen",
]
