"""Projection: throw, brightness, tilt, set-ups, what each traces, sections and drift."""

from giornata.core.projection.alignment import (
    INSIDE_95,
    Alignment,
    MarkSeen,
    aligned,
    error_covariance,
    error_radius,
    projective_start,
)
from giornata.core.projection.bad_mark import NAMED_FROM, BadMark, bad_mark
from giornata.core.projection.drift import SECTION_LIMIT, Drift, section_drift
from giornata.core.projection.fallen_crosses import TAPE_READ, CrossFell, marks_from_crosses
from giornata.core.projection.light import (
    ZOOM_LOSS_LINE,
    Brightness,
    brightness,
    contrast_of_zones,
    illuminance,
    largest_area,
    light_output,
    luminance,
    system_contrast,
    uniformity,
    zoom_light,
)
from giornata.core.projection.nudged import (
    CrossSeen,
    Nudge,
    Similarity,
    miss_rms,
    nudged,
    odd_cross,
    similarity,
)
from giornata.core.projection.plan_figures import illuminance_figure
from giornata.core.projection.planned_poses import planned_pose
from giornata.core.projection.planner import plan_setups
from giornata.core.projection.poses import FACING, Extra, PoseMap, turned
from giornata.core.projection.projector import MeasuredFrom, Orientation, Projector, Stand
from giornata.core.projection.seams import Seam, StraightEdge, seam_findings, seams
from giornata.core.projection.sections import (
    LINE_PIXELS,
    SectionLayout,
    section_layout,
    section_layouts,
)
from giornata.core.projection.setups import Alternative, SetUp, SetUpPlan, frame_from_wall
from giornata.core.projection.standing_findings import InTheLight, shade_level
from giornata.core.projection.throw import (
    ImageSize,
    image_size,
    image_width,
    pixel_pitch,
    set_up_centres,
    set_up_count,
    throw_distance,
    throw_finding,
    throw_ratio,
)
from giornata.core.projection.tilt import (
    TiltedImage,
    keystone,
    side_shift_left,
    square_level,
    tilt_to_cover,
)
from giornata.core.projection.tracing import cells, edge_to_trace
from giornata.core.projection.wall_kinds import Compared, MapKind, best_kind, fitted_kinds
from giornata.core.projection.wall_maps import ProjectiveMap, WallMap
from giornata.core.projection.ways_out import WayOut, WayOutKind, ways_out

__all__ = [
    "FACING",
    "INSIDE_95",
    "LINE_PIXELS",
    "NAMED_FROM",
    "SECTION_LIMIT",
    "TAPE_READ",
    "ZOOM_LOSS_LINE",
    "Alignment",
    "Alternative",
    "BadMark",
    "Brightness",
    "Compared",
    "CrossFell",
    "CrossSeen",
    "Drift",
    "Extra",
    "ImageSize",
    "InTheLight",
    "MapKind",
    "MarkSeen",
    "MeasuredFrom",
    "Nudge",
    "Orientation",
    "PoseMap",
    "ProjectiveMap",
    "Projector",
    "Seam",
    "SectionLayout",
    "SetUp",
    "SetUpPlan",
    "Similarity",
    "Stand",
    "StraightEdge",
    "TiltedImage",
    "WallMap",
    "WayOut",
    "WayOutKind",
    "aligned",
    "bad_mark",
    "best_kind",
    "brightness",
    "cells",
    "contrast_of_zones",
    "edge_to_trace",
    "error_covariance",
    "error_radius",
    "fitted_kinds",
    "frame_from_wall",
    "illuminance",
    "illuminance_figure",
    "image_size",
    "image_width",
    "keystone",
    "largest_area",
    "light_output",
    "luminance",
    "marks_from_crosses",
    "miss_rms",
    "nudged",
    "odd_cross",
    "pixel_pitch",
    "plan_setups",
    "planned_pose",
    "projective_start",
    "seam_findings",
    "seams",
    "section_drift",
    "section_layout",
    "section_layouts",
    "set_up_centres",
    "set_up_count",
    "shade_level",
    "side_shift_left",
    "similarity",
    "square_level",
    "system_contrast",
    "throw_distance",
    "throw_finding",
    "throw_ratio",
    "tilt_to_cover",
    "turned",
    "uniformity",
    "ways_out",
    "zoom_light",
]
