"""Viewing: contrast of paints that touch, legibility, and what obstacles hide."""

from giornata.core.viewing.contrast import PaintContrast, contrast_findings, paint_contrasts
from giornata.core.viewing.feet import FEET, LOST, HiddenFeet, hidden_feet, hidden_findings
from giornata.core.viewing.motifs import Motif, motifs_near
from giornata.core.viewing.reading import (
    BEST_RATIO,
    LIMIT_RATIO,
    MOST_WORDS,
    Legibility,
    Reading,
    height_needed,
    legibility,
    message_finding,
    passing_time,
    size_finding,
    subtended_angle,
)

__all__ = [
    "BEST_RATIO",
    "FEET",
    "LIMIT_RATIO",
    "LOST",
    "MOST_WORDS",
    "HiddenFeet",
    "Legibility",
    "Motif",
    "PaintContrast",
    "Reading",
    "contrast_findings",
    "height_needed",
    "hidden_feet",
    "hidden_findings",
    "legibility",
    "message_finding",
    "motifs_near",
    "paint_contrasts",
    "passing_time",
    "size_finding",
    "subtended_angle",
]
