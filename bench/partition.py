"""Partition of large drawings: in bays shared out to two processes, against one piece and GEOS.

A wall of 180 × 3 m is covered three deep with wavy blobs of log-normal size in twelve paints. In
one run: GEOS nodes all outlines (what a partition that leaves nothing out begins with), giornata
makes the visible regions in bays on two processes (this one and another), and areas and the edge
by pair of paints are compared with the regions made in one piece. Wall seconds are those of the
whole call, the start of the other process and the joining included; processor seconds are of both
processes, and the ratio is of processor seconds. Memory is the peak of the other process, which
holds nothing but its bays.

    python bench/partition.py            1,000 to 100,000 shapes, 20 and 200 vertices
    python bench/partition.py 10000 200  one size, compared with one piece
    python bench/partition.py clipart    Debian's openclipart-svg forced into bays of 3,000 vertices

The last takes every drawing of more vertices than that, or those whose path holds one of the
words that follow, and prints each whose edges by pair of paints, in bays and in one piece, differ
by more than 1e-6 of all edges.
"""

from __future__ import annotations

import hashlib
import os
import resource
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import shapely
from made_wall import HEIGHT, LENGTH, blobs, drawing, peak_memory

from giornata.core import artwork
from giornata.core.artwork import Drawing, FlatArtwork, in_bays, regions

CLIPART = Path("/usr/share/openclipart/svg")
FORCED = 3_000  # vertices in a bay of a piece of clip art
EDGE, AREA = 1e-6, 1e-9  # of all edges, and of the canvas, as promised
SIZES = ((1_000, 20), (1_000, 200), (10_000, 20), (10_000, 200), (100_000, 20))


def spent() -> float:
    """Processor seconds of this process and of those that it has ended. [s]"""
    each = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(one.ru_utime + one.ru_stime for one in each)


def timed(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """Result, wall seconds and processor seconds."""
    wall, processor = time.perf_counter(), spent()
    result = work()
    return result, time.perf_counter() - wall, spent() - processor


def with_memory(function: Callable[[Any], Any], item: Any) -> tuple[Any, int, float]:
    """The function's result, and the process it ran in with its peak memory. [MB]"""
    result = function(item)
    return result, os.getpid(), peak_memory()


class Watched:
    """Shares out like the desk, on two processes, and keeps the other's peak memory. [MB]"""

    def __init__(self) -> None:
        self.peak = 0.0
        self.bays = 0
        self.given = 0

    def __call__(self, function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
        from giornata.desk import sharing  # not above: the other process reads this file too

        sharing.MOST_PROCESSES = 2
        done = sharing.shared_out(partial(with_memory, function), items)
        others = [memory for _, process, memory in done if process != os.getpid()]
        self.peak = max([self.peak, *others])
        self.bays += len(done)
        self.given += len(others)
        return [result for result, _, _ in done]


def quantities(flat: FlatArtwork) -> tuple[dict[str, float], dict[tuple[str, str], float]]:
    """Area by colour, and edge by pair of colours."""
    cover, names = flat.coverage, (*flat.colours, "outside")
    pairs: dict[tuple[str, str], float] = {}
    for left, right, length in zip(
        cover.left.tolist(), cover.right.tolist(), shapely.length(cover.edges), strict=True
    ):
        key = names[left], names[right]
        pairs[key] = pairs.get(key, 0.0) + float(length)
    return flat.areas(), pairs


def compared(one: FlatArtwork, bays: FlatArtwork) -> str:
    (area, pair), (own_area, own_pair) = quantities(one), quantities(bays)
    total = sum(pair.values())
    worst_area = max(abs(own_area[name] / area[name] - 1) for name in area)
    worst_pair = max(abs(own_pair.get(key, 0.0) - pair[key]) / total for key in pair)
    return (
        f"one piece: paints' areas within {worst_area:.1e}, pairs' edges within {worst_pair:.1e} "
        f"of all edges; regions {len(one.coverage.faces):,} and {len(bays.coverage.faces):,}"
    )


def measured(count: int, vertices: int, *, beside_one_piece: bool) -> None:
    shapes, paints = blobs(count, vertices)
    art = drawing(shapes, paints)
    rings = shapely.get_rings(shapely.get_parts(shapes))
    _, _, bare = timed(lambda: shapely.union_all(rings))
    watched = Watched()
    flat, wall, processor = timed(lambda: artwork.flattened(art, mapped=watched))
    off = sum(flat.areas().values()) / (LENGTH * HEIGHT) - 1
    bays = f"{watched.bays} bays" if watched.bays else "one piece"
    if watched.given:
        bays += f", {watched.given} in the other process, {watched.peak:.0f} MB"
    print(
        f"{count:8,} × {vertices:<4}{bare:8.2f}{wall:8.2f}{processor:8.2f}{processor / bare:8.2f}"
        f"{1e6 * processor / (count * vertices):12.2f}   {abs(off):.1e}   {bays}"
    )
    if beside_one_piece:
        regions.ONE_PIECE = replace(regions.ONE_PIECE, value=1e12)
        one, wall, processor = timed(lambda: artwork.flattened(art))
        print(f"in one piece: {wall:.2f} s wall, {processor:.2f} s of the processor")
        print(compared(one, flat))


@contextmanager
def forced_into_bays() -> Iterator[None]:
    """Every drawing in bays of few vertices."""
    most, each = regions.ONE_PIECE, in_bays.BAY_VERTICES
    regions.ONE_PIECE = replace(most, value=0.0)
    in_bays.BAY_VERTICES = replace(each, value=float(FORCED))
    try:
        yield
    finally:
        regions.ONE_PIECE, in_bays.BAY_VERTICES = most, each


def apart(one: dict[Any, float], other: dict[Any, float]) -> float:
    """Greatest difference; what is missing counts as 0."""
    return max(abs(one.get(key, 0.0) - other.get(key, 0.0)) for key in one.keys() | other.keys())


def forced(path: Path) -> tuple[float, float, float] | None:
    """Edges by pair and areas in bays against one piece, and areas in bays against the canvas.

    Shares of all edges and of the canvas; None for a drawing that is not read or has few vertices.
    It is read in this process: another one for each takes longer than all else.
    """
    from giornata.files.artwork.child import read_vector
    from giornata.files.artwork.kinds import Kind
    from giornata.files.artwork.things import shape_of

    picture = read_vector(path.read_bytes(), path.name, Kind.SVG).picture
    if picture is None:
        return None
    shapes = tuple(map(shape_of, picture.shapes))
    if sum(shapely.get_num_coordinates(shape.area) for shape in shapes) <= FORCED:
        return None
    art = Drawing(
        name=path.name,
        width=picture.width,
        height=picture.height,
        shapes=shapes,
        groups=picture.groups,
        hidden=picture.hidden,
    )
    (area, pair) = quantities(artwork.flattened(art))
    with forced_into_bays():
        (own_area, own_pair) = quantities(artwork.flattened(art))
    canvas, edges = art.width * art.height, sum(pair.values())
    return (
        apart(pair, own_pair) / edges,
        apart(area, own_area) / canvas,
        abs(sum(own_area.values()) / canvas - 1),
    )


def clipart(words: list[str]) -> None:
    """All drawings of the package, or those whose path holds one of the words; copies once."""
    off: dict[str, tuple[float, float, float]] = {}
    known: set[bytes] = set()
    for path in sorted(CLIPART.rglob("*.svg")):
        name = str(path.relative_to(CLIPART))
        if words and not any(word in name for word in words):
            continue
        digest = hashlib.sha256(path.read_bytes()).digest()
        if digest in known:
            continue
        known.add(digest)
        found = forced(path)
        if found is None:
            continue
        off[name] = found
        if words or found[0] > EDGE or max(found[1:]) > AREA:
            print("pairs {:.1e}   areas {:.1e}   sum {:.1e}".format(*found), " ", name, flush=True)
    pairs, areas, sums = zip(*off.values(), strict=True)
    print(
        f"{len(off)} drawings of more than {FORCED:,} vertices: in {sum(p <= EDGE for p in pairs)} "
        f"pairs' edges agree within {EDGE:.0e} of all edges, worst {max(pairs):.1e}; in "
        f"{sum(a <= AREA for a in areas)} paints' areas within {AREA:.0e} of the canvas, worst "
        f"{max(areas):.1e}; areas in bays sum to the canvas within {max(sums):.1e}"
    )


def main() -> None:
    if sys.argv[1:2] == ["clipart"]:
        clipart(sys.argv[2:])
        return
    import giornata.desk.sharing  # noqa: F401, before any time is taken

    chosen = len(sys.argv) > 2
    print(
        f"{'shapes × vertices':15}{'noding':>8}{'wall':>8}{'proc.':>8}{'ratio':>8}"
        f"{'µs/vertex':>12}   sum of areas"
    )
    for count, vertices in ((int(sys.argv[1]), int(sys.argv[2])),) if chosen else SIZES:
        measured(count, vertices, beside_one_piece=chosen)


if __name__ == "__main__":
    main()
