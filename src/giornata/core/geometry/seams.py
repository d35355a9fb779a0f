"""Seams: the regions of bays side by side, and how they are joined across the bay lines."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.dissolve import Bounded, bounded, coverage_of, merged
from giornata.core.geometry.joining import joined_rows
from giornata.core.geometry.merging import at_index, linked
from giornata.core.geometry.overlay import Overlay
from giornata.core.geometry.slivers import judged_slivers, thin_as_rounding, thin_faces

__all__ = ["Bay", "bay_of", "joined_bays", "renamed", "unmatched_lines"]

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bay:
    """What of a coverage lies between two bay lines.

    Parameters
    ----------
    regions : Bounded
        Its edges leave out those along the bay lines. What cannot be judged before the bays are
        joined is a region of its own: slivers, and all that ends at a bay line. A region as thin
        as the rounding, of which nothing is known, has the label OUTSIDE.
    twice : ndarray, shape (n,)
        Twice the area of each region that is to be judged; infinite for the others.
        [square unit of the coordinates]
    around : ndarray, shape (n,)
        Length of its boundary without the bay lines; 0 for the others. [unit of the coordinates]
    seams : ndarray, shape (k, 3)
        The single segments by which regions end at a bay line: abscissa of the line, ordinates of
        the lower and of the upper end; rising. [unit of the coordinates]
    ending : ndarray of int, shape (k,)
        The region that ends at each. [-]
    """

    regions: Bounded
    twice: Floats
    around: Floats
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
    side = np.concatenate([left[seam], right[seam]])
    cut = np.tile(shapely.length(edges[seam]), 2)
    cut, side = cut[side != OUTSIDE], side[side != OUTSIDE]
    twice = 2 * shapely.area(laid.faces)
    around = shapely.length(laid.faces) - _sums(side, cut, len(twice))
    alone = np.zeros(len(labels), dtype=bool)
    alone[side] = labels[side] != OUTSIDE
    alone |= np.logical_or(*thin_faces(labels, twice, around, sliver))
    regions, kept, region = bounded(labels, edges, left, right, alone=alone)
    seam = seam[kept]
    at_seam = np.repeat(seam, regions.size)
    xy, size, first = joined_rows(regions.xy[~at_seam], regions.size[~seam], ends)
    start, end, edge = _segments(regions.xy[at_seam], regions.size[seam])
    low, high = np.minimum(start[:, 1], end[:, 1]), np.maximum(start[:, 1], end[:, 1])
    order = np.lexsort((high, low, start[:, 0]))
    own_twice, own_around = np.full(len(regions.labels), np.inf), np.zeros(len(regions.labels))
    own_twice[region[alone]], own_around[region[alone]] = twice[alone], around[alone]
    return Bay(
        regions=replace(
            regions,
            xy=xy,
            size=size,
            left=regions.left[~seam][first],
            right=regions.right[~seam][first],
        ),
        twice=own_twice,
        around=own_around,
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

    A region of which nothing is known may lie beyond the coverage, and end alone.

    Parameters
    ----------
    bays : list of Bay
        From left to right.
    lines : ndarray
        Abscissae of the lines between them. [unit of the coordinates]
    """
    wrong = []
    for number, line in enumerate(lines):
        sides = bays[number], bays[number + 1]
        rows = [side.seams[side.seams[:, 0] == line] for side in sides]
        known = [
            at_index(side.regions.labels, side.ending[side.seams[:, 0] == line]) != OUTSIDE
            for side in sides
        ]
        if np.array_equal(*rows):
            continue
        there = [set(map(tuple, own.tolist())) for own in rows]
        for own, sure, other in zip(rows, known, there[::-1], strict=True):
            if not other.issuperset(map(tuple, own[sure].tolist())):
                wrong.append(line)
                break
    return np.array(wrong)


def renamed(bay: Bay, names: Labels) -> Bay:
    """The bay with label ``i`` renamed to ``names[i]``, which keeps the order of the labels.

    Parameters
    ----------
    names : ndarray of int
        New label of each old one, rising. [-]
    """
    return replace(bay, regions=replace(bay.regions, labels=at_index(names, bay.regions.labels)))


def joined_bays(bays: list[Bay], *, sliver: float = 0.0) -> Coverage:
    """One coverage of bays side by side, with regions of one label merged across the bay lines.

    Parameters
    ----------
    bays : list of Bay
        From left to right. Their seams match: see `unmatched_lines`.
    sliver : float
        As in `bay_of`. [unit of the coordinates]

    Raises
    ------
    ValueError
        If a seam has a region on one side only.

    Notes
    -----
    What the bay lines cut is put together again before slivers are judged, so that they are judged
    as in one piece: by the whole of each, with all its neighbours.
    """
    counts = [len(bay.regions.labels) for bay in bays]
    offsets = np.cumsum([0, *counts])
    numbers = [
        np.append(np.arange(offset, offset + count), OUTSIDE)
        for offset, count in zip(offsets[:-1], counts, strict=True)
    ]  # OUTSIDE is -1: the last one
    labels = np.concatenate([bay.regions.labels for bay in bays])
    twice = np.concatenate([bay.twice for bay in bays])
    around = np.concatenate([bay.around for bay in bays])
    rows, before, after = _across(bays, numbers, labels)

    thin = thin_as_rounding(twice, around, sliver)
    one = (labels[before] == labels[after]) | thin[before] | thin[after]
    whole = linked(before[one], after[one], len(labels))
    labels = _of_greatest(whole, labels, twice)
    twice, around = _sums(whole, twice), _sums(whole, around)
    xy = np.concatenate([bay.regions.xy for bay in bays])
    size = np.concatenate([bay.regions.size for bay in bays])
    left = np.concatenate([own[bay.regions.left] for own, bay in zip(numbers, bays, strict=True)])
    right = np.concatenate([own[bay.regions.right] for own, bay in zip(numbers, bays, strict=True)])
    # Run upwards, a seam has the bay before it on its left.
    xy = np.concatenate([xy, rows[~one][:, [0, 1, 0, 2]].reshape(-1, 2)])
    size = np.concatenate([size, np.full(np.count_nonzero(~one), 2, dtype=np.intp)])
    left = at_index(whole, np.concatenate([left, before[~one]]))
    right = at_index(whole, np.concatenate([right, after[~one]]))
    if sliver > 0:
        length = _lengths(xy, size)
        labels = judged_slivers(labels, twice, around, left, right, length, sliver)
    return coverage_of(merged(Bounded(xy=xy, size=size, left=left, right=right, labels=labels)))


def _across(
    bays: list[Bay], numbers: list[Labels], labels: Labels
) -> tuple[Floats, Labels, Labels]:
    """Each segment at which a region of one bay ends at one of the next, and both regions."""
    rows = np.concatenate([bay.seams for bay in bays])
    ending = np.concatenate([own[bay.ending] for own, bay in zip(numbers, bays, strict=True)])
    order = np.lexsort((rows[:, 2], rows[:, 1], rows[:, 0]))
    rows, ending = rows[order], ending[order]
    pair = np.flatnonzero((rows[1:] == rows[:-1]).all(axis=1))
    lone = np.ones(len(rows), dtype=bool)
    lone[pair] = lone[pair + 1] = False
    if np.any(np.diff(pair) < 2) or np.any(labels[ending[lone]] != OUTSIDE):
        raise ValueError("a seam has a region on one side only")
    return rows[pair], ending[pair], ending[pair + 1]


def _of_greatest(whole: Labels, labels: Labels, twice: Floats) -> Labels:
    """Label of each whole: that of its greatest part."""
    own = np.empty(int(whole.max(initial=-1)) + 1, dtype=np.intp)
    order = np.argsort(twice, kind="stable")
    own[whole[order]] = labels[order]
    return own


def _lengths(xy: Floats, size: Labels) -> Floats:
    """Length of lines given by their vertices, one line after the other."""
    here, there, line = _segments(xy, size)
    step = there - here
    return _sums(line, np.hypot(step[:, 0], step[:, 1]), len(size))


def _sums(of: Labels, values: Floats, count: int = 0) -> Floats:
    """Sum of the values of each thing."""
    return np.asarray(np.bincount(of, weights=values, minlength=count), dtype=np.float64)
