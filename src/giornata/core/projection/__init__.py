"""Projection: throw, brightness, tilt, set-ups, what each traces, sections and drift."""

from giornata.core.projection.drift import SECTION_LIMIT, Drift, section_drift
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
from giornata.core.projection.plan_figures import illuminance_figure
from giornata.core.projection.planner import plan_setups
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
from giornata.core.projection.ways_out import WayOut, WayOutKind, ways_out

__all__ = [
    "LINE_PIXELS",
    "SECTION_LIMIT",
    "ZOOM_LOSS_LINE",
    "Alternative",
    "Brightness",
    "Drift",
    "ImageSize",
    "InTheLight",
    "MeasuredFrom",
    "Orientation",
    "Projector",
    "Seam",
    "SectionLayout",
    "SetUp",
    "SetUpPlan",
    "Stand",
    "StraightEdge",
    "TiltedImage",
    "WayOut",
    "WayOutKind",
    "brightness",
    "cells",
    "contrast_of_zones",
    "edge_to_trace",
    "frame_from_wall",
    "illuminance",
    "illuminance_figure",
    "image_size",
    "image_width",
    "keystone",
    "largest_area",
    "light_output",
    "luminance",
    "pixel_pitch",
    "plan_setups",
    "seam_findings",
    "seams",
    "section_drift",
    "section_layout",
    "section_layouts",
    "set_up_centres",
    "set_up_count",
    "shade_level",
    "side_shift_left",
    "square_level",
    "system_contrast",
    "throw_distance",
    "throw_finding",
    "throw_ratio",
    "tilt_to_cover",
    "uniformity",
    "ways_out",
    "zoom_light",
]
