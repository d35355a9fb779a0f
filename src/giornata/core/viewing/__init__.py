"""Viewing: contrast of paints that touch, and legibility from where people are."""

from giornata.core.viewing.contrast import PaintContrast, contrast_findings, paint_contrasts
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
    "LIMIT_RATIO",
    "MOST_WORDS",
    "Legibility",
    "PaintContrast",
    "Reading",
    "contrast_findings",
    "height_needed",
    "legibility",
    "message_finding",
    "paint_contrasts",
    "passing_time",
    "size_finding",
    "subtended_angle",
]
