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
"""

from __future__ import annotations

import os
import resource
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import Any

import shapely
from made_wall import HEIGHT, LENGTH, blobs, drawing, peak_memory

from giornata.core import artwork
from giornata.core.artwork import FlatArtwork, regions

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


def main() -> None:
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
