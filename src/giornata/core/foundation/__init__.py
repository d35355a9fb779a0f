"""Foundation: units, frames, figures, findings, money, digest, errors."""

from giornata.core.foundation.digest import digest
from giornata.core.foundation.errors import (
    ArtworkError,
    GiornataError,
    JobFileError,
    JobFolderError,
    RenderError,
    StaleJobError,
    ToolMissingError,
)
from giornata.core.foundation.figure import (
    Assumption,
    Basis,
    Figure,
    assumed,
    derived,
    given,
    measured,
)
from giornata.core.foundation.findings import Finding, Place, Severity, worst
from giornata.core.foundation.frames import Floats, affine_applied, placement_matrix, readonly
from giornata.core.foundation.money import MINOR_DIGITS, Money, split, total

__all__ = [
    "MINOR_DIGITS",
    "ArtworkError",
    "Assumption",
    "Basis",
    "Figure",
    "Finding",
    "Floats",
    "GiornataError",
    "JobFileError",
    "JobFolderError",
    "Money",
    "Place",
    "RenderError",
    "Severity",
    "StaleJobError",
    "ToolMissingError",
    "affine_applied",
    "assumed",
    "derived",
    "digest",
    "given",
    "measured",
    "placement_matrix",
    "readonly",
    "split",
    "total",
    "worst",
]
