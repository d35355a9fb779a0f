"""A window of the wall as a projector's picture: seam-free, at 1080p and at 4K.

A wall of 180 × 3 m with 10,000 wavy blobs in twelve paints (as in bench/takeoff.py) is cut into
its visible regions once. Then a window of 4.0 × 2.25 m is drawn at five places along it. giornata
gives each pixel its regions by the share they cover of it: no seam shows between two paints;
beside it, in the same run, the general libraries fill the same polygons: Skia with smooth edges
(one region over another: seams), Skia without smooth edges, OpenCV and Pillow (no smooth edges, no
holes). The memory of the picture is kept from one window to the next and cleared for each, as for
a picture that is shown; fetching it anew takes about 10 ms at 4K. Pixels are left as each library
writes them: a PNG is made of either order (putting blue, green, red, alpha in the order of red,
green, blue would take about 3 ms more at 4K). They are held against Skia's
picture without smooth edges at three times the size, averaged down. Times are processor
milliseconds, the median of five places, paths already built; building them is beside.

    python bench/windows.py [shapes]
"""

from __future__ import annotations

import statistics
import sys
import time
from collections.abc import Callable
from typing import Any

import cv2
import numpy as np
import shapely
import skia
from PIL import Image, ImageDraw
from takeoff import COLOURS, HEIGHT, LENGTH, PAINTS, blobs, drawing

from giornata.core import artwork
from giornata.core.foundation import affine_applied, readonly
from giornata.files.region_pixels import RegionPaths, canvas_on, draw_regions, opaque

WIDE, HIGH = 4.0, 2.25
SIZES = ((1920, 1080), (3840, 2160))
PLACES = tuple(LENGTH * (k + 0.5) / 5 for k in range(5))
RGB = {1: "#f4efe3", **{2 + k: colour for k, colour in enumerate(COLOURS)}}


def matrix_to(columns: int, place: float) -> Any:
    """From the wall to the pixels of a window that begins at a place."""
    scale = columns / WIDE
    return readonly([[scale, 0, -place * scale], [0, -scale, (0.3 + HIGH) * scale], [0, 0, 1]])


class Rival:
    """The same polygons, in view of one window, filled by a general library."""

    def __init__(self, coverage: Any, columns: int, rows: int, place: float) -> None:
        self.size = (columns, rows)
        self.kept = np.empty((rows, columns, 4), dtype=np.uint8)
        box = shapely.box(place, 0.3, place + WIDE, 0.3 + HIGH)
        seen = np.flatnonzero(shapely.intersects(coverage.faces, box))
        matrix = matrix_to(columns, place)
        self.regions = []
        for index in seen:
            rings = [
                affine_applied(matrix, shapely.get_coordinates(ring)[:-1])
                for ring in shapely.get_rings(shapely.get_parts(coverage.faces[index]))
            ]
            colour = int(RGB[int(coverage.labels[index])][1:], 16)
            path = skia.Path()
            path.setFillType(skia.PathFillType.kEvenOdd)
            for ring in rings:
                path.addPoly([skia.Point(x, y) for x, y in ring.tolist()], True)
            self.regions.append((colour, path, rings))

    def by_skia(self, *, smooth: bool, times: int = 1) -> np.ndarray:
        columns, rows = self.size
        pixels = self.kept
        if times > 1:
            pixels = np.empty((rows * times, columns * times, 4), dtype=np.uint8)
        canvas = canvas_on(pixels)
        canvas.clear(0xFF000000)
        canvas.scale(times, times)
        for colour, path, _ in self.regions:
            canvas.drawPath(path, skia.Paint(AntiAlias=smooth, Color=0xFF000000 | colour))
        return pixels

    def by_opencv(self) -> np.ndarray:
        pixels = np.zeros((self.size[1], self.size[0], 3), dtype=np.uint8)
        for colour, _, rings in self.regions:
            whole = [np.round(16 * ring).astype(np.int32) for ring in rings]
            cv2.fillPoly(pixels, whole, _rgb(colour), shift=4)
        return pixels

    def by_pillow(self) -> np.ndarray:
        picture = Image.new("RGB", self.size)
        draw = ImageDraw.Draw(picture)
        for colour, _, rings in self.regions:
            draw.polygon([tuple(point) for point in rings[0].tolist()], fill=_rgb(colour))
        return np.asarray(picture)


def _rgb(colour: int) -> tuple[int, int, int]:
    return (colour >> 16, colour >> 8 & 255, colour & 255)


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Processor milliseconds of the third of three goes, and what came of it."""
    for _ in range(3):
        start = time.process_time()
        made = work()
        spent = 1000 * (time.process_time() - start)
    return spent, made


def off(picture: np.ndarray, truth: np.ndarray) -> float:
    """Share of pixels that are off by more than 8 levels. [%]"""
    if picture.shape[2] == 4:
        picture = opaque(picture)
    far = np.abs(picture.astype(np.int16) - truth.astype(np.int16)).max(axis=2) > 8
    return 100 * float(far.mean())


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    coverage, _ = artwork.painted(artwork.flattened(drawing(*blobs(count))), PAINTS)
    # Artwork units are metres, y down; the wall's y runs up.
    up = shapely.transform(coverage.faces, lambda xy: xy * [1, -1] + [0, HEIGHT])
    faces = np.asarray(up, dtype=object)
    wall = type(coverage)(
        faces=faces, labels=coverage.labels, edges=coverage.edges, left=coverage.left,
        right=coverage.right,
    )  # fmt: skip
    start = time.process_time()
    paths = RegionPaths(wall)
    paths.build()
    built = time.process_time() - start
    vertices = int(shapely.get_num_coordinates(faces).sum())
    print(f"{len(faces):,} regions, {vertices:,} vertices; their paths {built:.2f} s, once\n")
    for columns, rows in SIZES:
        spent: dict[str, list[float]] = {}
        seams: dict[str, list[float]] = {}
        for place in PLACES:
            rival = Rival(wall, columns, rows, place)
            large = opaque(rival.by_skia(smooth=False, times=3))
            truth = cv2.resize(large, (columns, rows), interpolation=cv2.INTER_AREA)

            def ours(one: Rival = rival, columns: int = columns, place: float = place) -> Any:
                pixels = one.kept
                pixels.fill(0)
                window = (place, 0.3, place + WIDE, 0.3 + HIGH)
                draw_regions(pixels, paths, RGB, matrix_to(columns, place), window)
                return pixels

            ways = {
                "giornata": ours,
                "Skia, smooth": lambda one=rival: one.by_skia(smooth=True),
                "Skia, not smooth": lambda one=rival: one.by_skia(smooth=False),
                "OpenCV": rival.by_opencv,
                "Pillow": rival.by_pillow,
            }
            for name, way in ways.items():
                milliseconds, picture = timed(way)
                spent.setdefault(name, []).append(milliseconds)
                seams.setdefault(name, []).append(off(picture, truth))
        mine = statistics.median(spent["giornata"])
        print(f"{f'{columns} × {rows}':20}{'ms':>8}{'ratio':>8}{'pixels off by > 8 levels':>28}")
        for name in spent:
            one = statistics.median(spent[name])
            print(f"{name:20}{one:8.1f}{one / mine:8.2f}{statistics.median(seams[name]):26.3f} %")
        print()


if __name__ == "__main__":
    main()
