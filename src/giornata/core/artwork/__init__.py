"""Artwork: drawings, their visible regions, and the paints these are painted with."""

from giornata.core.artwork.carrying_out import carried_out
from giornata.core.artwork.compositing import BARE, flat_colour
from giornata.core.artwork.drawing import Drawing
from giornata.core.artwork.flat_palette import FlatPalette, flat_palette
from giornata.core.artwork.groups import shown_shapes
from giornata.core.artwork.in_bays import Mapped
from giornata.core.artwork.mapping import Decision, Tone, Way, chosen, undecided, usable
from giornata.core.artwork.nonflat import Kind, Nonflat, named
from giornata.core.artwork.oklab import nearest_colour, oklab
from giornata.core.artwork.painting import figure_bounds, ground_paint, painted, paints_of
from giornata.core.artwork.palette import Colourway, Option, Paint, Role
from giornata.core.artwork.ramp import Ramp, Spread
from giornata.core.artwork.raster_doubts import (
    faint_edges,
    like_colours,
    merged_colours,
    thin_lines,
    unexplained_pixels,
)
from giornata.core.artwork.raster_locks import with_locked
from giornata.core.artwork.raster_outlines import Outlines
from giornata.core.artwork.raster_rows import Levels, PartOf, Rows
from giornata.core.artwork.raster_tracing import TooFine, Traced, traced
from giornata.core.artwork.regions import FlatArtwork, flattened
from giornata.core.artwork.shape import Look, Shape, Veil
from giornata.core.artwork.wording import Wording, wording_findings

__all__ = [
    "BARE",
    "Colourway",
    "Decision",
    "Drawing",
    "FlatArtwork",
    "FlatPalette",
    "Kind",
    "Levels",
    "Look",
    "Mapped",
    "Nonflat",
    "Option",
    "Outlines",
    "Paint",
    "PartOf",
    "Ramp",
    "Role",
    "Rows",
    "Shape",
    "Spread",
    "Tone",
    "TooFine",
    "Traced",
    "Veil",
    "Way",
    "Wording",
    "carried_out",
    "chosen",
    "faint_edges",
    "figure_bounds",
    "flat_colour",
    "flat_palette",
    "flattened",
    "ground_paint",
    "like_colours",
    "merged_colours",
    "named",
    "nearest_colour",
    "oklab",
    "painted",
    "paints_of",
    "shown_shapes",
    "thin_lines",
    "traced",
    "undecided",
    "unexplained_pixels",
    "usable",
    "with_locked",
    "wording_findings",
]
