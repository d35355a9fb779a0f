"""Documents: what each page, sheet and card says, as records."""

from giornata.core.documents.drawing import (
    Area,
    Disc,
    DrawnPaper,
    Item,
    Label,
    Line,
    Pen,
    Sheet,
)
from giornata.core.documents.elevation import elevation
from giornata.core.documents.frames import (
    LETTER,
    MARK_ARM,
    FrameKind,
    FrameMark,
    ProjectorFrame,
    projector_frames,
    upright_from_wall,
)
from giornata.core.documents.light_levels import LEAST_LEVEL, light_levels
from giornata.core.documents.scales import PaperSize, Scale, paper_for, standard_scale

__all__ = [
    "LEAST_LEVEL",
    "LETTER",
    "MARK_ARM",
    "Area",
    "Disc",
    "DrawnPaper",
    "FrameKind",
    "FrameMark",
    "Item",
    "Label",
    "Line",
    "PaperSize",
    "Pen",
    "ProjectorFrame",
    "Scale",
    "Sheet",
    "elevation",
    "light_levels",
    "paper_for",
    "projector_frames",
    "standard_scale",
    "upright_from_wall",
]
