"""Setting out: the artwork on the wall, what it clashes with, and the control marks."""

from giornata.core.setting_out.at_joints import AtJoint
from giornata.core.setting_out.at_piers import AtArris
from giornata.core.setting_out.check_measures import (
    CheckMeasure,
    check_measures,
    juts_out,
    running_error,
)
from giornata.core.setting_out.clashes import Clash
from giornata.core.setting_out.fewest_marks import fewest_marks, marks_for
from giornata.core.setting_out.fit_records import Anchor, ArtworkFit, GapChange, Move
from giornata.core.setting_out.fitting import fitted
from giornata.core.setting_out.gap_fit import GapFit, fit_gaps
from giornata.core.setting_out.level_seams import (
    ImageOnWall,
    LevelSeam,
    level_misses,
    level_seam,
    marks_along,
    marks_for_level_seams,
    seen_over_rows,
)
from giornata.core.setting_out.locating import located, places_named
from giornata.core.setting_out.mark_accuracy import (
    LEAST_MARKS,
    ChalkedMark,
    MarkTerms,
    Picture,
    expected_errors,
)
from giornata.core.setting_out.mark_candidates import (
    marks_beside,
    marks_inside,
    marks_of_columns,
)
from giornata.core.setting_out.marks import ControlMark, MarkLayout, control_marks
from giornata.core.setting_out.overruns import Overrun
from giornata.core.setting_out.placement import (
    ArtworkPlacement,
    Edge,
    Filling,
    FitTerms,
    Into,
    PointPair,
    Tie,
)
from giornata.core.setting_out.placing import PlacedArtwork, place
from giornata.core.setting_out.seam_accuracy import (
    Overlap,
    PictureSeam,
    SeamMiss,
    marks_of_pair,
    overlaps_of,
    seam_misses,
    told,
)
from giornata.core.setting_out.seam_choice import fewest_for_seam, room_for
from giornata.core.setting_out.seam_marks import marks_for_seams, seam_findings
from giornata.core.setting_out.transform import (
    artwork_from_wall,
    placed_scale,
    wall_from_artwork,
)

__all__ = [
    "LEAST_MARKS",
    "Anchor",
    "ArtworkFit",
    "ArtworkPlacement",
    "AtArris",
    "AtJoint",
    "ChalkedMark",
    "CheckMeasure",
    "Clash",
    "ControlMark",
    "Edge",
    "Filling",
    "FitTerms",
    "GapChange",
    "GapFit",
    "ImageOnWall",
    "Into",
    "LevelSeam",
    "MarkLayout",
    "MarkTerms",
    "Move",
    "Overlap",
    "Overrun",
    "Picture",
    "PictureSeam",
    "PlacedArtwork",
    "PointPair",
    "SeamMiss",
    "Tie",
    "artwork_from_wall",
    "check_measures",
    "control_marks",
    "expected_errors",
    "fewest_for_seam",
    "fewest_marks",
    "fit_gaps",
    "fitted",
    "juts_out",
    "level_misses",
    "level_seam",
    "located",
    "marks_along",
    "marks_beside",
    "marks_for",
    "marks_for_level_seams",
    "marks_for_seams",
    "marks_inside",
    "marks_of_columns",
    "marks_of_pair",
    "overlaps_of",
    "place",
    "placed_scale",
    "places_named",
    "room_for",
    "running_error",
    "seam_findings",
    "seam_misses",
    "seen_over_rows",
    "told",
    "wall_from_artwork",
]
