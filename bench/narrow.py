"""Narrow places of every paint at 10,000 shapes, against Delaunay triangulations.

The wall of `made_wall.py`. In one run: narrow places under 25 mm of each paint, and, for the paint
with the most boundary, scipy's (Qhull) and GEOS's Delaunay triangulation of samples of the same
outlines at the same spacing, which methods by a medial axis begin with. Processor seconds.
Then bars, gaps between discs and rings of widths known by construction, turned and moved about.

    python bench/narrow.py [shapes]
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
from made_wall import PAINTS, blobs, drawing
from scipy.spatial import Delaunay
from shapely import affinity

from giornata.core import artwork, geometry

LIMIT = 0.025
SPACING = LIMIT / 3  # as narrow_places samples


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    start = time.process_time()
    result = work()
    return result, time.process_time() - start


def known_widths() -> list[tuple[str, float]]:
    """Greatest error of the narrowest width found, by kind of shape. [m]"""
    rng = np.random.default_rng(1)
    worst = {"bars": 0.0, "gaps": 0.0, "rings": 0.0}
    for width in np.repeat(np.geomspace(0.002, 0.024, 25), 4).tolist():
        plates = [shapely.box(-0.6, -0.2, -0.2, 0.2), shapely.box(0.2, -0.2, 0.6, 0.2)]
        bar = shapely.union_all([*plates, shapely.box(-0.3, -width / 2, 0.3, width / 2)])
        discs = shapely.buffer(shapely.points([(0, 0), (0.6 + width, 0)]), 0.3, quad_segs=64)
        gap = shapely.box(-3, -3, 3, 3).difference(shapely.union_all(discs))
        centre = shapely.Point(0, 0)
        ring = centre.buffer(0.3 + width, quad_segs=256).difference(
            centre.buffer(0.3, quad_segs=256)
        )
        true = {"bars": width, "gaps": discs[0].distance(discs[1]), "rings": width}
        angle, move = rng.uniform(0, 180), rng.uniform(-50, 50, 2)
        for kind, shape in zip(worst, (bar, gap, ring), strict=True):
            placed = affinity.translate(affinity.rotate(shape, angle, origin=(0, 0)), *move)
            found = geometry.narrow_places(np.array([placed]), LIMIT)
            error = abs(min(place.width for place in found) - true[kind])
            worst[kind] = max(worst[kind], error)
    return list(worst.items())


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    flat = artwork.flattened(drawing(*blobs(count)))
    coverage, _ = artwork.painted(flat, PAINTS)
    own: dict[int, float] = {}
    found: dict[int, int] = {}
    for paint in PAINTS:
        faces = coverage.faces[coverage.labels == paint.number]
        places, own[paint.number] = timed(lambda faces=faces: geometry.narrow_places(faces, LIMIT))
        found[paint.number] = len(places)
    lengths = {
        paint.number: shapely.length(coverage.faces[coverage.labels == paint.number]).sum()
        for paint in PAINTS
    }
    most = max(lengths, key=lambda number: lengths[number])
    rings = shapely.get_rings(coverage.faces[coverage.labels == most])
    dense = shapely.segmentize(rings, SPACING)
    points = np.unique(shapely.get_coordinates(dense), axis=0)
    _, qhull = timed(lambda: Delaunay(points))
    _, geos = timed(lambda: shapely.delaunay_triangles(shapely.multipoints(points)))
    print(f"{count:,} shapes, limit {1000 * LIMIT:.0f} mm, {sum(found.values()):,} narrow places")
    print(f"each paint: mean {np.mean(list(own.values())):.2f} s, worst {max(own.values()):.2f} s")
    print(f"paint {most}: {own[most]:.2f} s for {found[most]:,} places")
    print(
        f"  Qhull Delaunay of {len(points):,} points {qhull:.2f} s, ratio {own[most] / qhull:.2f}"
    )
    print(f"  GEOS Delaunay of the same {geos:.2f} s, ratio {own[most] / geos:.2f}")
    for kind, error in known_widths():
        print(f"100 {kind} of known width: {1000 * error:.5f} mm off at most")


if __name__ == "__main__":
    main()
