"""Pixels of regions against the shares of them that shapely measures."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from giornata.core.foundation import readonly
from giornata.core.geometry import Coverage
from giornata.files.region_pixels import (
    RegionPaths,
    Shape,
    draw_regions,
    fill_shapes,
    opaque,
    region_path,
)

ROWS, COLUMNS = 90, 160
PITCH = 0.01  # m
VIEW = (0.0, 0.0, COLUMNS * PITCH, ROWS * PITCH)
TO_PIXELS = readonly([[1 / PITCH, 0.0, 0.0], [0.0, -1 / PITCH, ROWS], [0.0, 0.0, 1.0]])
# An oblique rim that leaves the upper right of the picture and a hole free of paint.
WALL = shapely.Polygon(
    [(-0.5, -0.5), (2.0, -0.5), (1.55, 0.2), (1.1, 0.83), (-0.5, 0.71)],
    [[(0.303, 0.204), (0.4541, 0.1913), (0.5017, 0.3377), (0.3132, 0.3511)]],
)
PIXELS = shapely.box(
    *(
        PITCH * part
        for row, column in [np.indices((ROWS, COLUMNS)).reshape(2, -1)]
        for part in (column, ROWS - 1 - row, column + 1, ROWS - row)
    )
)


def cells(count: int, within: shapely.Polygon) -> list[shapely.Geometry]:
    """Cells about places strewn at random, cut at the wall's rim; they tile it."""
    rng = np.random.default_rng(count)
    places = shapely.MultiPoint(rng.uniform([-0.3, -0.3], [1.9, 1.2], (count, 2)))
    made = shapely.get_parts(shapely.voronoi_polygons(places, extend_to=within))
    return [one for one in shapely.intersection(made, within) if not one.is_empty]


def picture(
    faces: list[shapely.Geometry], labels: NDArray[np.intp], colours: Mapping[int, str]
) -> NDArray[np.float64]:
    none = np.array([], dtype=int)
    wall = Coverage(
        faces=np.array(faces),
        labels=labels,
        edges=np.array([], dtype=object),
        left=none,
        right=none,
    )
    pixels = np.zeros((ROWS, COLUMNS, 4), dtype=np.uint8)
    draw_regions(pixels, RegionPaths(wall), colours, TO_PIXELS, VIEW)
    return opaque(pixels).astype(float)


def shares(
    faces: list[shapely.Geometry],
) -> tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]:
    """Pixel, face and the share of the pixel that the face covers, by shapely."""
    pixel, face = shapely.STRtree(faces).query(PIXELS, predicate="intersects")
    share = shapely.area(shapely.intersection(PIXELS[pixel], np.array(faces)[face])) / PITCH**2
    some = share > 1e-9
    return pixel[some], face[some], share[some]


@pytest.mark.parametrize("paints", [2, 12, 400])
def test_each_pixel_is_the_sum_of_its_regions_by_share(paints: int) -> None:
    """Truth by shapely: areas of regions cut with pixels. 400 paints are more than one byte tells.

    Skia knows the share of one region to about 1/16 (16 levels of 255; more at corners, where
    adding up its own shares is off by up to 96). Where more than two paints meet in a pixel or
    beside it, what one edge over another lacks, at most 1/4 (64 levels), may be given to the
    wrong one of them.
    """
    faces = cells(400, WALL)
    labels = 7 + np.arange(len(faces)) % paints
    rng = np.random.default_rng(5)
    values = rng.integers(0, 256, (paints, 3))
    colours = {7 + k: f"#{r:02x}{g:02x}{b:02x}" for k, (r, g, b) in enumerate(values.tolist())}
    pixel, face, share = shares(faces)
    truth = np.zeros((ROWS * COLUMNS, 3))
    np.add.at(truth, pixel, share[:, None] * values[labels[face] - 7])
    covered = np.bincount(pixel, share, ROWS * COLUMNS)
    meeting = np.bincount(pixel, minlength=ROWS * COLUMNS) + (covered < 1 - 1e-9)
    off = np.abs(picture(faces, labels, colours).reshape(-1, 3) - truth).max(axis=1)
    assert (meeting == 2).sum() > 2000
    assert (meeting > 2).sum() > 300
    alone, pair, more = off[meeting == 1], off[meeting == 2], off[meeting > 2]
    assert np.percentile(alone, 99.5) == pytest.approx(0.0, abs=1e-6)
    assert alone.max() <= 8
    assert pair.mean() <= 5
    assert np.percentile(pair, 95) <= 16
    assert pair.max() <= 64 + 16
    assert more.mean() <= 15
    assert more.max() <= 64 + 32


def test_regions_of_one_colour_show_no_seam() -> None:
    """Known by construction: a tiled picture in white is white, to the last level."""
    faces = cells(400, shapely.box(-0.5, -0.5, 2.1, 1.4))
    labels = np.arange(len(faces)) % 12
    white = picture(faces, labels, dict.fromkeys(range(12), "#ffffff"))
    assert white.min() == 255


def test_the_rim_is_lit_by_its_share() -> None:
    """Light of the wall's own area; a rim lit whole or not at all would be off by half a pixel.

    Worked by hand: the wall within the view has an outline of some 4 m, so half a pixel of 0.01 m
    along it would be 0.02 m², 2 % of the area.
    """
    seen = shapely.intersection(WALL, shapely.box(*VIEW))
    white = picture([WALL], np.array([1]), {1: "#ffffff"})
    assert white[:, :, 0].sum() / 255 * PITCH**2 == pytest.approx(seen.area, rel=5e-4)


def test_a_picture_of_any_number_of_pixels_is_whole() -> None:
    # 5 × 7 px, a seam across them: by hand, each pixel is white altogether.
    left = shapely.Polygon([(-2, -2), (3.4, -2), (3.7, 7), (-2, 7)])
    right = shapely.Polygon([(3.4, -2), (9, -2), (9, 7), (3.7, 7)])
    pixels = np.zeros((5, 7, 4), dtype=np.uint8)
    upright = readonly(np.eye(3))
    shapes = [Shape(paint, region_path(area, upright)) for paint, area in enumerate((left, right))]
    fill_shapes(pixels, shapes, {0: "#ffffff", 1: "#ffffff"})
    assert (pixels == 255).all()
