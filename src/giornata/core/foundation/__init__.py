"""Foundation: units, frames, figures, findings, money, digest, errors."""

from giornata.core.foundation.digest import digest
from giornata.core.foundation.display import (
    Printed,
    System,
    explain,
    printed,
    shown,
    shown_figure,
)
from giornata.core.foundation.errors import (
    ArtworkError,
    GiornataError,
    JobFileError,
    JobFolderError,
    NoWallError,
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
from giornata.core.foundation.units import (
    FOOT,
    INCH,
    SQUARE_FOOT,
    US_GALLON,
    Dimension,
    parse,
    parse_number,
)

__all__ = [
    "FOOT",
    "INCH",
    "MINOR_DIGITS",
    "SQUARE_FOOT",
    "US_GALLON",
    "ArtworkError",
    "Assumption",
    "Basis",
    "Dimension",
    "Figure",
    "Finding",
    "Floats",
    "GiornataError",
    "JobFileError",
    "JobFolderError",
    "Money",
    "NoWallError",
    "Place",
    "Printed",
    "RenderError",
    "Severity",
    "StaleJobError",
    "System",
    "ToolMissingError",
    "affine_applied",
    "assumed",
    "derived",
    "digest",
    "explain",
    "given",
    "measured",
    "parse",
    "parse_number",
    "placement_matrix",
    "printed",
    "readonly",
    "shown",
    "shown_figure",
    "split",
    "total",
    "worst",
]
