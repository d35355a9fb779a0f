"""Pictures of the painted wall for papers, as PNG."""

from __future__ import annotations

import numpy as np

from giornata.core.documents import WallPicture
from giornata.core.foundation import readonly
from giornata.files.region_pixels import draw_regions, opaque, paths_of, png

__all__ = ["PIXELS_PER_MM", "picture_png"]

PIXELS_PER_MM = 16.0
"""About 400 to the inch. [px/mm]"""


def picture_png(picture: WallPicture) -> bytes:
    """The stretch of wall that a picture shows, without its lines; white beyond the wall."""
    view = picture.view
    scale = PIXELS_PER_MM * view.mm_per_metre
    wide = max(round((view.right - view.left) * PIXELS_PER_MM), 1)
    high = max(round((view.lower - view.upper) * PIXELS_PER_MM), 1)
    matrix = readonly(
        [[scale, 0.0, -view.start * scale], [0.0, -scale, view.head * scale], [0.0, 0.0, 1.0]]
    )
    pixels = np.zeros((high, wide, 4), dtype=np.uint8)
    draw_regions(
        pixels,
        paths_of(picture.coverage),
        picture.colours,
        matrix,
        (view.start, view.base, view.end, view.head),
    )
    # What the regions do not cover of a pixel is the white of the paper.
    paper = 255 - pixels[:, :, 3:].astype(np.int16)
    return png(np.clip(opaque(pixels) + paper, 0, 255).astype(np.uint8))
