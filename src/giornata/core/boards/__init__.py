"""Coded patterns thrown on the wall, and chalk crosses, found in photos to a part of a pixel."""

from giornata.core.boards.board_checks import light_ratio, obliquity
from giornata.core.boards.carrying import Carrier, Fold
from giornata.core.boards.crosses import CROSS_ERROR, CrossSeen, CrossShape
from giornata.core.boards.fold_lines import FoldLine
from giornata.core.boards.looking import HELD_NOISE, Shots
from giornata.core.boards.pattern import Levels, Pattern, PatternKind, pattern_pixels
from giornata.core.boards.planned_marks import PlannedMark, Tap
from giornata.core.boards.saddles import Board
from giornata.core.boards.sighting import (
    LEAST_CROSSES,
    MarkFound,
    MarkMissed,
    Sighting,
    sighting,
)
from giornata.core.boards.smooth_maps import Smooth
from giornata.core.boards.targets import TARGET_HALF, TargetShape

__all__ = [
    "CROSS_ERROR",
    "HELD_NOISE",
    "LEAST_CROSSES",
    "TARGET_HALF",
    "Board",
    "Carrier",
    "CrossSeen",
    "CrossShape",
    "Fold",
    "FoldLine",
    "Levels",
    "MarkFound",
    "MarkMissed",
    "Pattern",
    "PatternKind",
    "PlannedMark",
    "Shots",
    "Sighting",
    "Smooth",
    "Tap",
    "TargetShape",
    "light_ratio",
    "obliquity",
    "pattern_pixels",
    "sighting",
]
