"""Seams: the regions of bays side by side, and how they are joined across the bay lines."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.dissolve import Bounded, bounded, coverage_of
from giornata.core.geometry.joining import joined_rows
from giornata.core.geometry.merging import at_index, label_of, linked
from giornata.core.geometry.overlay import Overlay
from giornata.core.geometry.slivers import slivers_given_away

__all__ = ["Bay", "bay_of", "joined_bays", "renamed", "unmatched_lines"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bay:
    """What of a coverage lies between two bay lines.

    Parameters
    ----------
    regions : Bounded
        Its edges leave out those along the bay lines.
    seams : ndarray, shape (k, 3)
        The single segments by which regions end at a bay line: abscissa of the line, ordinates of
        the lower and of the upper end; rising. [unit of the coordinates]
    ending : ndarray of int, shape (k,)
        The region that ends at each. [-]
    """

    regions: Bounded
    seams: Floats
    ending: Labels


def bay_of(laid: Overlay, labels: Labels, ends: Floats, *, sliver: float = 0.0) -> Bay:
    """Regions of one bay: neighbouring faces of one label.

    Parameters
    ----------
    laid : Overlay
        Of the areas' parts in the bay.
    labels : ndarray, shape (n,)
        Of its faces; faces labelled OUTSIDE are left out. [-]
    ends : ndarray
        Abscissae at which the bay ends; infinite ones are none. [unit of the coordinates]
    sliver : float
        As in `dissolved`. [unit of the coordinates]
    """
    edges, of, seam = _parted(laid.edges, ends)
    left, right = laid.left[of], laid.right[of]
    if sliver > 0:
        labels = slivers_given_away(laid.faces, labels, edges, left, right, sliver, seam=seam)
    regions, kept = bounded(labels, edges, left, right)
    seam = seam[kept]
    at_seam = np.repeat(seam, regions.size)
    xy, size, first = joined_rows(regions.xy[~at_seam], regions.size[~seam], ends)
    start, end, edge = _segments(regions.xy[at_seam], regions.size[seam])
    low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    order = np.lexsort((high, low, start[:, 0]))
    return Bay(
        regions=replace(
            regions,
            xy=xy,
            size=size,
            left=regions.left[~seam][first],
            right=regions.right[~seam][first],
        ),
        seams=np.stack([start[:, 0], low, high], axis=1)[order],
        ending=np.maximum(regions.left, regions.right)[seam][edge][order],
    )


def _parted(edges: Geometries, ends: Floats) -> tuple[Geometries, Labels, NDArray[np.bool_]]:
    """Edges, those that turn off a bay line into another in single segments; seams are marked.

    The second array is the index of the edge each is part of.
    """
    start, _, end, _ = shapely.bounds(edges).reshape(-1, 4).T
    at_end = np.isin(start, ends) | np.isin(end, ends)
    turning = np.flatnonzero(at_end & (start != end))
    size = shapely.get_num_coordinates(edges[turning])
    here, there, owner = _segments(shapely.get_coordinates(edges[turning]), size)
    along = (here[:, 0] == there[:, 0]) & np.isin(here[:, 0], ends)
    cut = np.zeros(len(edges), dtype=bool)
    cut[turning[owner[along]]] = True
    pieces = cut[turning[owner]]
    whole = np.flatnonzero(~cut)
    segments = shapely.linestrings(np.stack([here[pieces], there[pieces]], axis=1))
    return (
        np.concatenate([edges[whole], np.asarray(segments, dtype=object).reshape(-1)]),
        np.concatenate([whole, turning[owner[pieces]]]),
        np.concatenate([(at_end & (start == end))[whole], along[pieces]]),
    )


def _segments(xy: Floats, size: Labels) -> tuple[Floats, Floats, Labels]:
    """Both ends of the single segments of lines, and the line each is part of."""
    line = np.repeat(np.arange(len(size)), size)
    runs = line[1:] == line[:-1]
    return xy[:-1][runs], xy[1:][runs], line[:-1][runs]


def unmatched_lines(bays: list[Bay], lines: Floats) -> Floats:
    """Lines at which the regions on both sides do not end by the same segments.

    Parameters
    ----------
    bays : list of Bay
        From left to right.
    lines : ndarray
        Abscissae of the lines between them. [unit of the coordinates]
    """
    wrong = []
    for number, line in enumerate(lines):
        before, after = (bays[side].seams for side in (number, number + 1))
        if not np.array_equal(before[before[:, 0] == line], after[after[:, 0] == line]):
            wrong.append(line)
    return np.array(wrong)


def renamed(bay: Bay, names: Labels) -> Bay:
    """The bay with label ``i`` renamed to ``names[i]``, which keeps the order of the labels.

    Parameters
    ----------
    names : ndarray of int
        New label of each old one, rising. [-]
    """
    return replace(bay, regions=replace(bay.regions, labels=at_index(names, bay.regions.labels)))


def joined_bays(bays: list[Bay]) -> Coverage:
    """One coverage of bays side by side, with regions of one label merged across the bay lines.

    Parameters
    ----------
    bays : list of Bay
        From left to right. Their seams match: see `unmatched_lines`.

    Raises
    ------
    ValueError
        If a seam has a region on one side only.
    """
    counts = [len(bay.regions.labels) for bay in bays]
    offsets = np.cumsum([0, *counts])
    numbers = [
        np.append(np.arange(offset, offset + count), OUTSIDE)
        for offset, count in zip(offsets[:-1], counts, strict=True)
    ]  # OUTSIDE is -1: the last one
    labels = np.concatenate([bay.regions.labels for bay in bays])
    rows = np.concatenate([bay.seams for bay in bays])
    ending = np.concatenate([own[bay.ending] for own, bay in zip(numbers, bays, strict=True)])
    order = np.lexsort((rows[:, 2], rows[:, 1], rows[:, 0]))
    rows, ending = rows[order], ending[order]
    if len(rows) % 2 or not np.array_equal(rows[::2], rows[1::2]):
        raise ValueError("a seam has a region on one side only")
    rows, before, after = rows[::2], ending[::2], ending[1::2]
    alike = labels[before] == labels[after]
    region = linked(before[alike], after[alike], len(labels))
    rows, before, after = rows[~alike], before[~alike], after[~alike]
    # Run upwards, a seam has the bay before it on its left; the lower label is to be there.
    upwards = labels[before] < labels[after]
    low, high = rows[:, [0, 1]], rows[:, [0, 2]]
    up = upwards[:, None]
    seams = np.stack([np.where(up, low, high), np.where(up, high, low)], axis=1)
    left = [own[bay.regions.left] for own, bay in zip(numbers, bays, strict=True)]
    right = [own[bay.regions.right] for own, bay in zip(numbers, bays, strict=True)]
    return coverage_of(
        Bounded(
            xy=np.concatenate([*(bay.regions.xy for bay in bays), seams.reshape(-1, 2)]),
            size=np.concatenate(
                [*(bay.regions.size for bay in bays), np.full(len(seams), 2, dtype=np.intp)]
            ),
            left=at_index(region, np.concatenate([*left, np.where(upwards, before, after)])),
            right=at_index(region, np.concatenate([*right, np.where(upwards, after, before)])),
            labels=label_of(region, labels),
        )
    )
