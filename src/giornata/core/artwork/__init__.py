"""Artwork: drawings, their visible regions, and the paints these are painted with."""

from giornata.core.artwork.compositing import BARE, flat_colour
from giornata.core.artwork.drawing import Drawing, Shape, Veil
from giornata.core.artwork.groups import shown_shapes
from giornata.core.artwork.oklab import nearest_colour, oklab
from giornata.core.artwork.painting import ground_paint, painted
from giornata.core.artwork.palette import Colourway, Option, Paint, Role
from giornata.core.artwork.regions import FlatArtwork, flattened

__all__ = [
    "BARE",
    "Colourway",
    "Drawing",
    "FlatArtwork",
    "Option",
    "Paint",
    "Role",
    "Shape",
    "Veil",
    "flat_colour",
    "flattened",
    "ground_paint",
    "nearest_colour",
    "oklab",
    "painted",
    "shown_shapes",
]
