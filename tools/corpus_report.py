"""Compares drawings as read with an independent renderer's picture of the same files.

Run over a folder of foreign SVG files::

    python tools/corpus_report.py FOLDER [--index INDEX.tsv] [--side 1200] [--every 1] [--list]

For each file the renderer (resvg) paints the source without antialiasing, and the shapes as read
are painted the same way, both on a canvas of ``side`` pixels along its larger side. A file is

right    if no STOP finding was made, the areas of the colours differ by at most 0.1 % of the
         canvas (total variation), and at most 0.15 % of the pixels still differ after those
         within a pixel of an edge are left out;
         A drawing whose areas alone differ is painted again 4 and 8 times as fine: pixels on
         edges count for less and less, a true difference stays.
flagged  if a STOP finding or an error says that it cannot be read as drawn;
refused  if the renderer itself refuses it;
wrong    otherwise.
"""

from __future__ import annotations

import argparse
import io
import re
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
import resvg_py
import shapely
import skia
from numpy.typing import NDArray
from PIL import Image

from giornata.core.foundation import Severity
from giornata.files.artwork.child import read_vector
from giornata.files.artwork.display import Flat, Picture
from giornata.files.artwork.kinds import Kind

AREA_LIMIT = 0.001  # of the canvas, total variation over colours
PLACE_LIMIT = 0.0015  # of the pixels, edges left out
FINER = (1, 4, 8)  # times the side: edges alone may exceed the limit where pixels are coarse
ALIKE = 4  # levels by which two renderers may round one colour apart

Pixels = NDArray[np.uint8]
NOT_VECTOR = ("<image", "<filter", "Gradient", "<pattern", "<text", "feImage", "<flowRoot")


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of one file."""

    name: str
    outcome: str
    area_error: float = 0.0
    place_error: float = 0.0
    seconds: float = 0.0
    why: str = ""


def is_flat_vector(source: str) -> bool:
    """Whether a source has no element that is never a flat shape."""
    return not any(word in source for word in NOT_VECTOR)


def rendered(source: str, side: int) -> tuple[Pixels, float] | None:
    """The independent renderer's picture, premultiplied RGBA, and its pixels to the unit.

    None where it refuses.
    """
    options = {
        "dpi": 96.0,
        "languages": ["en"],
        "skip_system_fonts": True,
        "shape_rendering": "crisp_edges",
    }
    source = re.sub(r"shape-rendering\s*[=:]\s*[\"']?\w+[\"']?", "", source)
    try:
        small = Image.open(io.BytesIO(resvg_py.svg_to_bytes(svg_string=source, **options)))
        zoom = side / max(small.size)
        data = resvg_py.svg_to_bytes(svg_string=source, zoom=zoom, **options)
    except (ValueError, OSError):
        return None
    image = np.asarray(Image.open(io.BytesIO(data)).convert("RGBA"), dtype=np.uint16)
    alpha = image[..., 3:]
    colour = (image[..., :3] * alpha + 127) // 255
    return np.concatenate((colour, alpha), axis=2).astype(np.uint8), zoom


def _path(area: shapely.Geometry, scale: float) -> skia.Path:
    path = skia.Path()
    path.setFillType(skia.PathFillType.kEvenOdd)
    for polygon in shapely.get_parts(area):
        for ring in (polygon.exterior, *polygon.interiors):
            corners = shapely.get_coordinates(ring)[:-1] * scale
            path.addPoly([skia.Point(*corner) for corner in corners.tolist()], True)
    return path


def painted(picture: Picture, width: int, height: int, scale: float) -> Pixels:
    """Shapes as read, painted without antialiasing, premultiplied RGBA."""
    pixels = np.zeros((height, width, 4), dtype=np.uint8)
    surface = skia.Surface.MakeRasterDirect(
        skia.ImageInfo.Make(width, height, skia.kRGBA_8888_ColorType, skia.kPremul_AlphaType),
        pixels,
    )
    open_veils: tuple[tuple[int, float], ...] = ()
    with surface as canvas:
        for flat in (*picture.shapes, None):
            veils = flat.veils if isinstance(flat, Flat) else ()
            common = 0
            while common < min(len(veils), len(open_veils)) and (
                veils[common] == open_veils[common]
            ):
                common += 1
            for _ in open_veils[common:]:
                canvas.restore()
            for _, opacity in veils[common:]:
                canvas.saveLayerAlpha(None, round(255 * opacity))
            open_veils = veils
            if flat is not None:
                red, green, blue = bytes.fromhex(flat.colour[1:])
                paint = skia.Paint(AntiAlias=False)
                paint.setColor4f(skia.Color4f(red / 255, green / 255, blue / 255, flat.opacity))
                canvas.drawPath(_path(flat.area, scale), paint)
    return pixels


def errors(ours: Pixels, theirs: Pixels) -> tuple[float, float]:
    """Total variation of colour areas, and share of pixels that differ away from edges.

    Pixels alike within the rounding count on both sides alike, so only the others are told
    apart by colour.
    """
    gap = np.abs(ours.astype(np.int16) - theirs.astype(np.int16)).max(axis=2)
    differs = gap > ALIKE
    size = differs.size
    both = np.concatenate((ours[differs], theirs[differs])).astype(np.uint32)
    packed = both @ np.array([1, 256, 65536, 16777216], dtype=np.uint32)
    values, inverse, counts = np.unique(packed, return_inverse=True, return_counts=True)
    colours = np.stack([(values >> shift) & 255 for shift in (0, 8, 16, 24)], axis=1).astype(int)
    label = np.full(len(values), -1)
    for index in np.argsort(-counts, kind="stable"):
        if label[index] < 0:
            near = (np.abs(colours - colours[index]).max(axis=1) <= ALIKE) & (label < 0)
            label[near] = index
    named = label[inverse]
    half = len(named) // 2
    areas = np.bincount(named[:half], minlength=len(values)) - np.bincount(
        named[half:], minlength=len(values)
    )
    apart = cv2.erode(differs.astype(np.uint8), np.ones((3, 3), np.uint8))
    return float(np.abs(areas).sum() / 2 / size), float(apart.mean())


def judged(path: Path, side: int = 1200) -> Verdict:
    """One file read and compared."""
    data = path.read_bytes()
    begun = time.perf_counter()
    reading = read_vector(data, path.name, Kind.SVG)
    seconds = time.perf_counter() - begun
    stops = sorted({f.code for f in reading.findings if f.severity is Severity.STOP})
    # A file in which nothing shows is right if the renderer shows nothing either.
    stops = [code for code in stops if code != "artwork.empty"]
    if stops:
        return Verdict(path.name, "flagged", seconds=seconds, why=" ".join(stops))
    if reading.picture is None:
        return Verdict(path.name, "wrong", seconds=seconds, why="nothing read, nothing said")
    source = data.decode("utf-8", "replace")
    area = place = 0.0
    for finer in FINER:
        picture = rendered(source, side * finer)
        if picture is None:
            return Verdict(path.name, "refused", seconds=seconds)
        theirs, zoom = picture
        ours = painted(reading.picture, theirs.shape[1], theirs.shape[0], zoom)
        area, place = errors(ours, theirs)
        if area <= AREA_LIMIT and place <= PLACE_LIMIT:
            return Verdict(path.name, "right", area, place, seconds)
        if place > PLACE_LIMIT:
            break
    return Verdict(path.name, "wrong", area, place, seconds)


def main() -> int:
    """Judge a folder and print the counts."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--index", type=Path, help="table of file and kind; only 'flat' is judged")
    parser.add_argument("--side", type=int, default=1200)
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--list", action="store_true", help="name every file that is not right")
    options = parser.parse_args()
    files = sorted(options.folder.rglob("*.svg"))
    if options.index:
        rows = [line.split("\t") for line in options.index.read_text().splitlines()]
        flat = {row[0] for row in rows if row[1] == "flat"}
        files = [file for file in files if file.name in flat]
    groups: dict[str, list[Verdict]] = {"flat vector": [], "others": []}
    for file in files[:: options.every]:
        flat_vector = is_flat_vector(file.read_text("utf-8", "replace"))
        groups["flat vector" if flat_vector else "others"].append(judged(file, options.side))
    for name, verdicts in groups.items():
        counts = Counter(verdict.outcome for verdict in verdicts)
        compared = sum(counts.values()) - counts["refused"]
        print(f"{name}: {len(verdicts)} files, {dict(counts)}", end="")
        if compared:
            print(f", right {counts['right'] / compared:.2%} of {compared}", end="")
            right = [v.area_error for v in verdicts if v.outcome == "right"]
            if right:
                print(f"; area error median {np.median(right):.1e}, worst {max(right):.1e}", end="")
            times = sorted(v.seconds for v in verdicts)
            print(f"; {np.median(times) * 1000:.0f} ms median, {times[-1]:.2f} s worst", end="")
        print()
        if options.list:
            for v in verdicts:
                if v.outcome != "right":
                    print(
                        f"  {v.outcome:8} {v.name}  area {v.area_error:.3%}"
                        f"  place {v.place_error:.3%}  {v.why}"
                    )
    return 0


if __name__ == "__main__":
    sys.exit(main())
