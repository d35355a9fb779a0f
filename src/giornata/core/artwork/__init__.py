"""Artwork: drawings, their visible regions, and the paints these are painted with."""

from giornata.core.artwork.compositing import BARE, flat_colour
from giornata.core.artwork.drawing import Drawing, Look, Shape, Veil
from giornata.core.artwork.flat_palette import FlatPalette, flat_palette
from giornata.core.artwork.groups import shown_shapes
from giornata.core.artwork.in_bays import Mapped
from giornata.core.artwork.oklab import nearest_colour, oklab
from giornata.core.artwork.painting import figure_bounds, ground_paint, painted
from giornata.core.artwork.palette import Colourway, Option, Paint, Role
from giornata.core.artwork.raster_doubts import like_colours, thin_lines, unexplained_pixels
from giornata.core.artwork.raster_outlines import Outlines
from giornata.core.artwork.raster_rows import Levels, Rows
from giornata.core.artwork.raster_tracing import TooFine, Traced, traced
from giornata.core.artwork.regions import FlatArtwork, flattened

__all__ = [
    "BARE",
    "Colourway",
    "Drawing",
    "FlatArtwork",
    "FlatPalette",
    "Levels",
    "Look",
    "Mapped",
    "Option",
    "Outlines",
    "Paint",
    "Role",
    "Rows",
    "Shape",
    "TooFine",
    "Traced",
    "Veil",
    "figure_bounds",
    "flat_colour",
    "flat_palette",
    "flattened",
    "ground_paint",
    "like_colours",
    "nearest_colour",
    "oklab",
    "painted",
    "shown_shapes",
    "thin_lines",
    "traced",
    "unexplained_pixels",
]
