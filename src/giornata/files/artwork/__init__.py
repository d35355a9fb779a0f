"""Reading artwork: one file in, flat shapes and findings out."""

from __future__ import annotations

from giornata.files.artwork.confinement import Allowance
from giornata.files.artwork.door import read_artwork

__all__ = ["Allowance", "read_artwork"]
