"""Photography: the wall measured in a photo, brought to scale with its errors stated."""

from giornata.core.photography.camera import (
    PHONE_LENS,
    Camera,
    LensFrom,
    camera,
    proud_shift,
    view_angle,
)
from giornata.core.photography.error_map import (
    ErrorMap,
    PlaceError,
    error_map,
    hull_of,
    places_inside,
)
from giornata.core.photography.fitting import BENT_FROM, Fit, better_fit, fitted
from giornata.core.photography.known_points import PICKING, KnownPoint, thinness
from giornata.core.photography.named_places import NamedPlace, named_places
from giornata.core.photography.naming import NAMED_FROM, Agreement, Verdict, agreement
from giornata.core.photography.outlines import (
    DrawnOutline,
    OutlineKind,
    OutlineOnWall,
    outline_on_wall,
)
from giornata.core.photography.photo_findings import ERROR_WORTH
from giornata.core.photography.picture import Stretch, finest_scale, rectified
from giornata.core.photography.rectification import (
    PointResidual,
    Rectification,
    rectification,
)
from giornata.core.photography.wall_in_photo import (
    WallInPhoto,
    error_ellipse,
    error_radius,
    length_sigma,
)
from giornata.core.photography.wall_photo import WallPhoto

__all__ = [
    "BENT_FROM",
    "ERROR_WORTH",
    "NAMED_FROM",
    "PHONE_LENS",
    "PICKING",
    "Agreement",
    "Camera",
    "DrawnOutline",
    "ErrorMap",
    "Fit",
    "KnownPoint",
    "LensFrom",
    "NamedPlace",
    "OutlineKind",
    "OutlineOnWall",
    "PlaceError",
    "PointResidual",
    "Rectification",
    "Stretch",
    "Verdict",
    "WallInPhoto",
    "WallPhoto",
    "agreement",
    "better_fit",
    "camera",
    "error_ellipse",
    "error_map",
    "error_radius",
    "finest_scale",
    "fitted",
    "hull_of",
    "length_sigma",
    "named_places",
    "outline_on_wall",
    "places_inside",
    "proud_shift",
    "rectification",
    "rectified",
    "thinness",
    "view_angle",
]
