"""Take-off of many overlapping shapes against one bare GEOS union of the same shapes.

A wall of 180 × 3 m is covered three deep with wavy blobs of log-normal size in twelve paints, each
with 200 vertices, over a ground; the wall has two openings. In the same run: GEOS joins the same
polygons into one (the bare union), GEOS nodes their boundaries (the least that any exact partition
needs), Skia counts pixels of 5 mm without antialiasing (areas alone, no edges), and giornata goes
the whole road: visible regions, paints, placing on the wall, take-off with roller share and narrow
places. Times are processor seconds; memory is the peak of a process that only goes the road.

    python bench/takeoff.py [shapes]
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
import shapely
import skia
from made_wall import COLOURS, DEPTH, HEIGHT, LENGTH, PAINTS, blobs, drawing, peak_memory

from giornata.core import artwork, setting_out, takeoff
from giornata.core.artwork import Drawing
from giornata.core.foundation import given
from giornata.core.setting_out import ArtworkPlacement
from giornata.core.takeoff import BrushAndRoller, TakeOff

GATES = (("Gate", shapely.box(40, 0, 44, 3)), ("Window", shapely.box(120, 1, 122, 2)))
PIXEL = 0.005


class Clock:
    """Processor seconds of each stage."""

    def __init__(self) -> None:
        self.stages: list[tuple[str, float]] = []

    def timed(self, name: str, work: Callable[[], Any]) -> Any:
        start = time.process_time()
        result = work()
        self.stages.append((name, time.process_time() - start))
        return result


def road(art: Drawing, clock: Clock) -> TakeOff:
    """From the drawing to the quantities."""
    net = shapely.box(0, 0, LENGTH, HEIGHT).difference(shapely.union_all([g for _, g in GATES]))
    flat = clock.timed("visible regions", lambda: artwork.flattened(art))
    coverage, _ = clock.timed("paints", lambda: artwork.painted(flat, PAINTS))
    placed = clock.timed(
        "placing on the wall",
        lambda: setting_out.place(
            coverage,
            canvas=(LENGTH, HEIGHT),
            placement=ArtworkPlacement(scale=1.0),
            net=net,
            paints=PAINTS,
            openings=GATES,
        ),
    )
    return clock.timed(
        "take-off",
        lambda: takeoff.take_off(
            placed,
            net_area=given("net area", net.area, "m²", source="made for the measurement"),
            paints=PAINTS,
            tools=BrushAndRoller(),
        ),
    )


def counted(art: Drawing) -> np.ndarray:
    """Areas on the wall of each paint by counting pixels. [m²]"""
    width, height = round(LENGTH / PIXEL), round(HEIGHT / PIXEL)
    surface = skia.Surface(width, height)
    with surface as canvas:
        canvas.clear(skia.Color(1, 0, 0))
        canvas.scale(1 / PIXEL, 1 / PIXEL)
        for shape in art.shapes:
            path = skia.Path()
            for part in shapely.get_parts(shape.area):
                for ring in (part.exterior, *part.interiors):
                    path.addPoly([skia.Point(x, y) for x, y in ring.coords[:-1]], True)
            path.setFillType(skia.PathFillType.kEvenOdd)
            number = 2 + COLOURS.index(shape.colour)
            canvas.drawPath(path, skia.Paint(Color=skia.Color(number, 0, 0), AntiAlias=False))
        for _, gate in GATES:
            x0, y0, x1, y1 = gate.bounds
            gap = skia.Rect.MakeLTRB(x0, HEIGHT - y1, x1, HEIGHT - y0)
            canvas.drawRect(gap, skia.Paint(Color=skia.Color(0, 0, 0), AntiAlias=False))
    labels = surface.toarray(colorType=skia.kRGBA_8888_ColorType)[..., 0]
    return np.bincount(labels.ravel(), minlength=14)[1:] * PIXEL**2


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    shapes, paints = blobs(count)
    art = drawing(shapes, paints)
    if "--memory" in sys.argv:
        before = peak_memory()
        road(art, Clock())
        print(f"{peak_memory():.0f} MB, {before:.0f} MB of it before the road begins")
        return

    vertices = int(shapely.get_num_coordinates(shapes).sum())
    print(f"{count:,} shapes, {vertices:,} vertices, {LENGTH:g} × {HEIGHT:g} m, {DEPTH:g} deep\n")
    clock = Clock()
    clock.timed("bare GEOS union of the polygons", lambda: shapely.unary_union(shapes))
    rings = shapely.get_rings(shapely.get_parts(shapes))
    clock.timed("bare GEOS noding of the outlines", lambda: shapely.union_all(rings))
    pixels = clock.timed("areas alone, by Skia's pixels", lambda: counted(art))
    own = Clock()
    taken = road(art, own)
    total = sum(seconds for _, seconds in own.stages)

    union = clock.stages[0][1]
    print(f"{'':36}{'s':>8}{'ratio to the union':>20}")
    for name, seconds in (*clock.stages, *own.stages, ("giornata, the whole road", total)):
        print(f"{name:36}{seconds:8.2f}{seconds / union:20.2f}")
    areas = np.array([float(paint.area) for paint in taken.paints])
    off = areas.sum() / float(taken.net_area) - 1
    regions = sum(paint.shapes for paint in taken.paints)
    print(f"\nregions {regions:,}, edges {taken.edge.value:,.1f} m")
    print(f"areas sum to the net wall within {abs(off):.1e}")
    print(f"worst paint against the pixels {100 * np.abs(areas / pixels - 1).max():.3f} %")
    done = subprocess.run(
        [sys.executable, __file__, str(count), "--memory"],
        capture_output=True,
        text=True,
        check=True,
    )
    print(f"peak memory of the road {done.stdout.strip()}")


if __name__ == "__main__":
    main()
