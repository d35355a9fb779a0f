"""Reading flat raster art against general libraries: time, paints found, areas and lengths.

One picture is made (ellipses as polygons of 400 points on a ground, antialiased by Skia, whose own
ovals come out 0.2 % too small; saved as PNG and as JPEG of three qualities). It is read in the same
run by giornata, by Pillow's quantisers and by OpenCV's k-means; these two are told how many paints
there are, and outlined by OpenCV's contours. Times are processor seconds of this process; memory is
the peak of a process that does nothing else.

    python bench/raster.py [megapixels] [figures]    # 20, and one figure for each 220 × 220 px
    python bench/raster.py half                      # 173,205 × 2,887 px, 1,500 figures, ours alone
    python bench/raster.py lossy [megapixels] [figures]    # 100; JPEG alone, each paint, ours alone
    python bench/raster.py corners           # edge length of shapes with corners, ours alone
"""

from __future__ import annotations

import io
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
import shapely
import skia
from PIL import Image

from giornata.files.artwork.raster import read_raster

PAINTS = ("#f4efe3", "#1e3d59", "#2b4c6f", "#17a398", "#ff6e40", "#ffc13b", "#8b2635", "#1b1b1e",
          "#6b7a8f", "#d8cfc0", "#4f6d3a", "#b56576", "#e5e5e5")  # fmt: skip
CELL = 220  # px; one figure in each


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """A picture, and area and edge length of each paint."""

    pixels: np.ndarray
    area: np.ndarray
    length: np.ndarray


def rgb(colour: str) -> tuple[int, int, int]:
    return tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))  # type: ignore[return-value]


def made(megapixels: float, figures: int | None = None, *, rows: int | None = None) -> World:
    """Ellipses in a grid, each turned and moved at random."""
    cells = max(15, figures or round(megapixels * 1e6 / CELL**2))
    cell = round((megapixels * 1e6 / cells) ** 0.5)
    rows = rows or max(5, -(-cells * cell // 60_000))  # JPEG has at most 65,500 px a side
    columns = cells // rows
    width, height = columns * cell, rows * cell
    surface = np.zeros((height, width, 4), np.uint8)
    canvas = skia.Surface(surface).getCanvas()
    canvas.clear(skia.Color(*rgb(PAINTS[0])))
    rng = np.random.default_rng(1)
    area, length = np.zeros(len(PAINTS)), np.zeros(len(PAINTS))
    for row in range(rows):
        for column in range(columns):
            paint = int(rng.integers(1, len(PAINTS)))
            a, b = np.sort(rng.uniform(0.07 * cell, 0.43 * cell, 2))[::-1]
            x, y = (column + 0.5) * cell + rng.uniform(-9, 9), (row + 0.5) * cell
            turn, t = rng.uniform(0, np.pi), np.linspace(0, 2 * np.pi, 400, endpoint=False)
            points = np.stack([a * np.cos(t), b * np.sin(t)], axis=1) @ np.array(
                [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]
            ) + (x, y + rng.uniform(-9, 9))
            path = skia.Path()
            path.addPoly([skia.Point(*point) for point in points.tolist()], True)
            colour = skia.Color(*rgb(PAINTS[paint]))
            canvas.drawPath(path, skia.Paint(AntiAlias=True, Color=colour))
            figure = shapely.Polygon(points)
            area[paint] += figure.area
            length[paint] += figure.length
    area[0] = width * height - area.sum()
    length[0] = length.sum() + 2 * (width + height)
    return World(pixels=surface[:, :, :3].copy(), area=area, length=length)


def by_paint(colours: list[tuple[int, int, int]], values: np.ndarray) -> tuple[np.ndarray, int]:
    """Sums by the nearest paint, and how many colours are further than 2 levels from any."""
    known = np.array([rgb(c) for c in PAINTS])
    total, false = np.zeros(len(PAINTS)), 0
    for colour, value in zip(colours, values, strict=True):
        apart = np.abs(known - colour).max(axis=1)
        false += int(apart.min() > 2)
        total[apart.argmin()] += value
    return total, false


Answer = tuple[list[tuple[int, int, int]], np.ndarray, np.ndarray]


def ours(path: Path) -> Answer:
    drawing, findings = read_raster(path)
    if drawing is None:
        raise SystemExit(f"not read: {findings}")
    areas = np.array([shape.area.area for shape in drawing.shapes])
    lengths = np.array([shape.area.length for shape in drawing.shapes])
    return [rgb(shape.colour) for shape in drawing.shapes], areas, lengths


def contours(label: np.ndarray, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Pixels of each label, and length of its contours."""
    areas, lengths = np.zeros(count), np.zeros(count)
    for at in range(count):
        mask = (label == at).astype(np.uint8)
        areas[at] = int(mask.sum())
        found, _ = cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)
        lengths[at] = sum(cv2.arcLength(line, True) for line in found)
    return areas, lengths


def pillow(method: Image.Quantize) -> Callable[[Path], Answer]:
    def answer(path: Path) -> Answer:
        image = (
            Image.open(path)
            .convert("RGB")
            .quantize(len(PAINTS), method=method, dither=Image.Dither.NONE)
        )
        palette = np.array(image.getpalette()).reshape(-1, 3)
        label = np.asarray(image)
        used = np.unique(label)
        areas, lengths = contours(label, int(used.max()) + 1)
        return [tuple(palette[at]) for at in used], areas[used], lengths[used]

    return answer


def kmeans(path: Path) -> Answer:
    pixels = np.asarray(Image.open(path).convert("RGB"))
    sample = pixels.reshape(-1, 3)[:: max(1, pixels[..., 0].size // 200_000)].astype(np.float32)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.5)
    cv2.setRNGSeed(1)
    _, _, centres = cv2.kmeans(sample, len(PAINTS), None, stop, 3, cv2.KMEANS_PP_CENTERS)
    label = np.empty(pixels.shape[:2], np.uint8)
    for top in range(0, len(pixels), 64):
        part = pixels[top : top + 64].astype(np.float32)
        score = (centres**2).sum(axis=1) - 2 * part @ centres.T
        label[top : top + 64] = score.argmin(axis=2)
    areas, lengths = contours(label, len(centres))
    return [tuple(np.rint(c).astype(int)) for c in centres], areas, lengths


def peak_memory(path: Path) -> float:
    """Peak memory of a process that reads the picture and nothing else. [MB]"""
    script = (
        "import re, sys; from pathlib import Path;"
        "from giornata.files.artwork.raster import read_raster; read_raster(Path(sys.argv[1]));"
        # not getrusage, which counts this process before it became that one
        "status = Path('/proc/self/status').read_text();"
        "print(int(re.search(r'VmHWM:\\s*(\\d+)', status)[1]) / 1024)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(path)], capture_output=True, text=True, check=True
    )
    return float(done.stdout)


HALF = """
import re, sys, time
from pathlib import Path
import numpy as np, shapely
from giornata.core import artwork
from giornata.files.artwork.processors import on_all_processors as each
from giornata.files.artwork.raster_pixels import read_pixels
def lap(what):
    peak = int(re.search("VmHWM:[^0-9]*([0-9]+)", Path("/proc/self/status").read_text())[1]) / 1024
    print(f"{what:18} {time.time() - wall:6.1f} s  {time.process_time() - cpu:6.1f} CPU-s"
          f"  peak {peak:5.0f} MB", flush=True)
wall, cpu = time.time(), time.process_time()
(pixels,), _ = read_pixels(Path(sys.argv[1]), pixel_limit=10**9)
palette, findings = artwork.flat_palette(pixels.rows, name="half", each=each)
lap(f"{len(palette.levels)} paints")
traced = artwork.traced(pixels.rows, palette, each=each)
lap("areas")
known = np.load(sys.argv[2])
order = [int(np.abs(known["paints"] - l.astype(int)).sum(1).argmin()) for l in palette.levels]
def worst(values): return 100 * np.abs(values / known["area"][order] - 1).max()
print(f"worst paint by its shares {worst(traced.total.areas):.4f} %", flush=True)
found = traced.outlines()
lap("outlines")
drawn = np.bincount(found.paint, shapely.area(found.regions))
edge = np.bincount(found.paint, shapely.length(found.regions))
length = known["length"][order]
print(f"worst paint by its outlines {worst(drawn):.4f} %, edge length "
      f"{100 * (edge.sum() / length.sum() - 1):+.3f} %")
"""


def half_a_gigapixel(folder: Path) -> None:
    """A picture 173,205 px long: the time and memory of a process that reads it."""
    world = made(500.0, 1_500, rows=5)
    height, width = world.pixels.shape[:2]
    Image.fromarray(world.pixels).save(folder / "half.png")
    paints = np.array([rgb(c) for c in PAINTS])
    np.savez(folder / "half.npz", area=world.area, length=world.length, paints=paints)
    del world
    print(f"{width} × {height} px, {width * height / 1e6:.0f} MP", flush=True)
    command = [sys.executable, "-c", HALF, str(folder / "half.png"), str(folder / "half.npz")]
    subprocess.run(command, check=True)


def lossy(folder: Path, megapixels: float, figures: int | None) -> None:
    """JPEG of three qualities: worst paint by area and by its own edges, without other methods."""
    world = made(megapixels, figures)
    image = Image.fromarray(world.pixels)
    paints = np.array([rgb(c) for c in PAINTS])
    ground = np.sqrt(((paints - paints[0]) ** 2).sum(axis=1))
    size = world.pixels[..., 0].size / 1e6
    area, length = world.area, world.length
    del world
    print(f"{image.width} × {image.height} px, {size:.1f} MP, {len(PAINTS)} paints", flush=True)
    for quality in (60, 75, 85):
        path = folder / f"quality-{quality}.jpg"
        image.save(path, quality=quality)
        start = time.process_time()
        colours, areas, lengths = ours(path)
        taken = time.process_time() - start
        found, false = by_paint(colours, areas)
        edges, _ = by_paint(colours, lengths)
        off, own = 100 * (found / area - 1), 100 * (edges / length - 1)
        every = 100 * (edges[1:].sum() / length[1:].sum() - 1)
        worst, longest = int(np.abs(off).argmax()), 1 + int(np.abs(own[1:]).argmax())
        print(
            f"quality {quality}: {taken / size:.3f} s/MP, worst paint {PAINTS[worst]} "
            f"{off[worst]:+.3f} %, all edges {every:+.3f} %, edges of {PAINTS[longest]} "
            f"({ground[longest]:.0f} levels off the ground) {own[longest]:+.2f} %, "
            f"false paints {false}",
            flush=True,
        )
        print("   by levels off the ground, own edges:", end=" ")
        order = 1 + np.argsort(ground[1:], kind="stable")
        print(", ".join(f"{ground[at]:.0f}: {own[at]:+.2f} %" for at in order), flush=True)


LETTERS = {
    "E": "0 0 70 0 70 18 20 18 20 41 60 41 60 59 20 59 20 82 70 82 70 100 0 100",
    "K": "0 0 20 0 20 42 55 0 80 0 40 48 82 100 58 100 27 61 20 69 20 100 0 100",
    "M": "0 0 22 0 50 50 78 0 100 0 100 100 80 100 80 35 50 87 20 35 20 100 0 100",
    "A": "40 0 60 0 100 100 79 100 70 77 30 77 21 100 0 100",
}


def cornered(size: float) -> dict[str, list[np.ndarray]]:
    """Shapes of one width, each at some angles."""

    def turned(points: np.ndarray, degrees: float) -> np.ndarray:
        turn = np.radians(degrees)
        return size * points @ [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]]

    bar = np.array([[-0.5, -0.15], [0.5, -0.15], [0.5, 0.15], [-0.5, 0.15]])
    round_bar = shapely.Polygon(size * bar).buffer(-5).buffer(5, quad_segs=64)
    around = np.arange(10) * np.pi / 5
    out = np.where(np.arange(10) % 2, 0.382, 1.0)
    star = 0.5 * np.stack([out * np.cos(around), out * np.sin(around)], axis=1)
    half = np.radians(25)
    bow = np.linspace(-half, half, 400)
    arc = 0.5 * np.stack([np.sin(bow), np.cos(bow) - np.cos(half)], axis=1) / np.sin(half)
    shapes = {"bars 10 : 3": bar, "stars, tips of 36°": star}
    for name, points in LETTERS.items():
        shapes[name] = np.array(points.split(), float).reshape(-1, 2) / 100 - 0.5
    shapes["leaves, tips of 50°"] = np.concatenate([arc[:-1], -arc[:-1]])
    shapes["bars, corners of 5 px"] = np.array(round_bar.exterior.coords[:-1]) / size
    return {name: [turned(p, d) for d in (0, 7, 17, 30, 45)] for name, p in shapes.items()}


def corners(folder: Path) -> None:
    """Edge length and area of shapes with corners: the mean of three of a kind in a picture."""
    for size in (100, 200, 300):
        cell = int(1.5 * size) + 40
        print(f"{size} px wide: edge length in the mean over angles, (worst angle), area so")
        for name, turns in cornered(size).items():
            line = f"  {name:24}"
            for quality in (None, 60, 75, 85):
                off, area = [], []
                for points in turns:
                    surface = np.zeros((cell, 3 * cell, 4), np.uint8)
                    canvas = skia.Surface(surface).getCanvas()
                    canvas.clear(skia.Color(*rgb(PAINTS[0])))
                    for at, part in enumerate((0.0, 0.31, 0.57)):
                        x, y = (at + 0.5) * cell + 3.3 * part, 0.5 * cell - 2.3 * part
                        moved = points + np.array([x, y])
                        path = skia.Path()
                        path.addPoly([skia.Point(*point) for point in moved.tolist()], True)
                        colour = skia.Color(*rgb(PAINTS[1]))
                        canvas.drawPath(path, skia.Paint(AntiAlias=True, Color=colour))
                    file = folder / ("corners.png" if quality is None else "corners.jpg")
                    Image.fromarray(surface[:, :, :3]).save(file, quality=quality or 100)
                    colours, areas, lengths = ours(file)
                    true = shapely.Polygon(points)
                    off.append(100 * (by_paint(colours, lengths)[0][1] / true.length / 3 - 1))
                    area.append(100 * (by_paint(colours, areas)[0][1] / true.area / 3 - 1))
                worst = max(off, key=abs)
                line += f"{quality or 'PNG':>5} {np.mean(off):+.2f} ({worst:+.2f})"
                line += f" {np.mean(area):+.3f} %"
            print(line, flush=True)


def main() -> None:
    Image.MAX_IMAGE_PIXELS = None  # made here, so no bomb
    folder = Path(tempfile.mkdtemp())
    if sys.argv[1:] == ["half"]:
        half_a_gigapixel(folder)
        return
    if sys.argv[1:] == ["corners"]:
        corners(folder)
        return
    if sys.argv[1:2] == ["lossy"]:
        megapixels = float(sys.argv[2]) if len(sys.argv) > 2 else 100.0
        lossy(folder, megapixels, int(sys.argv[3]) if len(sys.argv) > 3 else None)
        return
    megapixels = float(sys.argv[1]) if len(sys.argv) > 1 else 20.0
    world = made(megapixels, int(sys.argv[2]) if len(sys.argv) > 2 else None)
    image = Image.fromarray(world.pixels)
    size = world.pixels[..., 0].size / 1e6
    print(f"{image.width} × {image.height} px, {size:.1f} MP, {len(PAINTS)} paints\n")
    for name, settings in (
        ("wall.png", {}),
        *((f"quality-{quality}.jpg", {"quality": quality}) for quality in (60, 75, 85)),
    ):
        path = folder / name
        file = io.BytesIO()
        image.save(file, "PNG" if name.endswith("png") else "JPEG", **settings)
        path.write_bytes(file.getvalue())
        start = time.process_time()
        np.asarray(Image.open(path))
        decoding = time.process_time() - start
        print(f"{name}: decoding alone {decoding:.2f} s; times below are with decoding")
        print(f"{'':34}{'s':>7}{'s/MP':>7}{'ratio':>7}{'worst area':>12}{'length':>9}{'false':>7}")
        methods: list[tuple[str, Callable[[Path], Answer]]] = [
            ("giornata, paints not told", ours),
            ("Pillow median cut + cv2 contours", pillow(Image.Quantize.MEDIANCUT)),
            ("Pillow coverage + cv2 contours", pillow(Image.Quantize.MAXCOVERAGE)),
            ("Pillow octree + cv2 contours", pillow(Image.Quantize.FASTOCTREE)),
            ("cv2 k-means + cv2 contours", kmeans),
        ]
        own = 0.0
        for title, method in methods if name in ("wall.png", "quality-85.jpg") else methods[:1]:
            start = time.process_time()
            colours, areas, lengths = method(path)
            taken = time.process_time() - start
            own = own or taken
            found, false = by_paint(colours, areas)
            edges, _ = by_paint(colours, lengths)
            worst = np.abs(found / world.area - 1).max()
            length = edges[1:].sum() / world.length[1:].sum() - 1
            print(
                f"{title:34}{taken:7.2f}{taken / size:7.3f}{taken / own:7.2f}"
                f"{100 * worst:11.3f}%{100 * length:+8.2f}%{false:7d}"
            )
        print(f"giornata's peak memory {peak_memory(path):.0f} MB\n")


if __name__ == "__main__":
    main()
