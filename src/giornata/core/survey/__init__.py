"""Survey: what was measured at the wall, and the wall unrolled flat from it."""

from giornata.core.survey.adjusted import (
    AdjustedCoursing,
    AdjustedPoint,
    AdjustedReading,
    Adjustment,
)
from giornata.core.survey.adjustment import adjust, critical_test
from giornata.core.survey.arcs import Arc, Curve, radius_from_rise, round_face
from giornata.core.survey.closure import Closure, Span, Verdict, closure, likely_cause
from giornata.core.survey.corrugation import Corrugation, SheetForm, corrugation_factor
from giornata.core.survey.coursing import NOMINAL_COURSES, Coursing, coursing
from giornata.core.survey.developed import develop
from giornata.core.survey.hiding import hidden_area
from giornata.core.survey.instruments import deviation
from giornata.core.survey.line import level_at, part_of_line
from giornata.core.survey.network import Axis
from giornata.core.survey.observations import (
    Bay,
    Bend,
    Height,
    Lamp,
    Level,
    Obstacle,
    Pier,
    Surface,
    TapeClass,
    WallSurvey,
)
from giornata.core.survey.opening_outlines import Opening, OpeningShape, outlined_opening
from giornata.core.survey.place_error import BEND_READING, RADIUS_READING, place_covariance
from giornata.core.survey.plan import facing_at, space_from_wall, wall_from_space
from giornata.core.survey.ribs import RIBS_UPRIGHT, RibbedFace, Ribs, lengthening, ribs_figure
from giornata.core.survey.seen import stretches_seen, width_seen
from giornata.core.survey.skew import Skew, skew
from giornata.core.survey.spans import (
    Overlap,
    joint_chainages,
    overlap_and_shift,
)
from giornata.core.survey.street_light import STREET_LIGHT
from giornata.core.survey.taken import DATUM, Instrument, Kind, Taken
from giornata.core.survey.tape import Precision, height_error, length_error, precision, tape_error
from giornata.core.survey.true_area import painted_area, surface_factor
from giornata.core.survey.unread import leverage
from giornata.core.survey.wall import (
    DevelopedWall,
    HiddenBand,
    PierSpan,
    WallOpening,
    fitting_spans,
    height_at,
)

__all__ = [
    "BEND_READING",
    "DATUM",
    "NOMINAL_COURSES",
    "RADIUS_READING",
    "RIBS_UPRIGHT",
    "STREET_LIGHT",
    "AdjustedCoursing",
    "AdjustedPoint",
    "AdjustedReading",
    "Adjustment",
    "Arc",
    "Axis",
    "Bay",
    "Bend",
    "Closure",
    "Corrugation",
    "Coursing",
    "Curve",
    "DevelopedWall",
    "Height",
    "HiddenBand",
    "Instrument",
    "Kind",
    "Lamp",
    "Level",
    "Obstacle",
    "Opening",
    "OpeningShape",
    "Overlap",
    "Pier",
    "PierSpan",
    "Precision",
    "RibbedFace",
    "Ribs",
    "SheetForm",
    "Skew",
    "Span",
    "Surface",
    "Taken",
    "TapeClass",
    "Verdict",
    "WallOpening",
    "WallSurvey",
    "adjust",
    "closure",
    "corrugation_factor",
    "coursing",
    "critical_test",
    "develop",
    "deviation",
    "facing_at",
    "fitting_spans",
    "height_at",
    "height_error",
    "hidden_area",
    "joint_chainages",
    "length_error",
    "lengthening",
    "level_at",
    "leverage",
    "likely_cause",
    "outlined_opening",
    "overlap_and_shift",
    "painted_area",
    "part_of_line",
    "place_covariance",
    "precision",
    "radius_from_rise",
    "ribs_figure",
    "round_face",
    "skew",
    "space_from_wall",
    "stretches_seen",
    "surface_factor",
    "tape_error",
    "wall_from_space",
    "width_seen",
]
