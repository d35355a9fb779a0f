"""Geometry: overlays, coverages and widths; mathematics with no trade words in it."""

from giornata.core.geometry.adjacency import faces_beside, parts_of, rings_of
from giornata.core.geometry.bays import bay_lines, in_bays
from giornata.core.geometry.clip import aligned, clipped, transformed
from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.dissolve import dissolved, relabelled
from giornata.core.geometry.hiding import Cut, hidden_segments
from giornata.core.geometry.least_squares import LeastSquares, least_squares
from giornata.core.geometry.narrow import Narrow, narrow_places
from giornata.core.geometry.opening import opened
from giornata.core.geometry.overlay import Overlay, check_areas, overlaid, overlay
from giornata.core.geometry.projective import direct_linear, mapped, plane_to_plane
from giornata.core.geometry.seams import Bay, bay_of, joined_bays, renamed, unmatched_lines
from giornata.core.geometry.sparse_squares import (
    SparseSquares,
    open_unknowns,
    sparse_least_squares,
)
from giornata.core.geometry.stretching import (
    RowShift,
    shifted_in_rows,
    stretched,
    stretched_at,
)

__all__ = [
    "OUTSIDE",
    "Bay",
    "Coverage",
    "Cut",
    "Geometries",
    "Labels",
    "LeastSquares",
    "Narrow",
    "Overlay",
    "RowShift",
    "SparseSquares",
    "aligned",
    "bay_lines",
    "bay_of",
    "check_areas",
    "clipped",
    "direct_linear",
    "dissolved",
    "faces_beside",
    "hidden_segments",
    "in_bays",
    "joined_bays",
    "least_squares",
    "mapped",
    "narrow_places",
    "open_unknowns",
    "opened",
    "overlaid",
    "overlay",
    "parts_of",
    "plane_to_plane",
    "relabelled",
    "renamed",
    "rings_of",
    "shifted_in_rows",
    "sparse_least_squares",
    "stretched",
    "stretched_at",
    "transformed",
    "unmatched_lines",
]
