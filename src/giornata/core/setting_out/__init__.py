"""Setting out: the artwork on the wall, what it clashes with, and the control marks."""

from giornata.core.setting_out.at_joints import AtJoint
from giornata.core.setting_out.clashes import Clash
from giornata.core.setting_out.marks import ControlMark, MarkLayout, control_marks
from giornata.core.setting_out.overruns import Overrun
from giornata.core.setting_out.placement import ArtworkPlacement
from giornata.core.setting_out.placing import PlacedArtwork, place
from giornata.core.setting_out.transform import (
    artwork_from_wall,
    placed_scale,
    wall_from_artwork,
)

__all__ = [
    "ArtworkPlacement",
    "AtJoint",
    "Clash",
    "ControlMark",
    "MarkLayout",
    "Overrun",
    "PlacedArtwork",
    "artwork_from_wall",
    "control_marks",
    "place",
    "placed_scale",
    "wall_from_artwork",
]
