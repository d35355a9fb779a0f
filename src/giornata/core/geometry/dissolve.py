"""Dissolve: neighbouring faces of one label become one region."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import faces_beside
from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.joining import joined_rows
from giornata.core.geometry.merging import at_index, label_of, same_label
from giornata.core.geometry.slivers import slivers_given_away
from giornata.core.geometry.tracing import traced

__all__ = ["Bounded", "bounded", "coverage_of", "dissolved", "merged", "relabelled"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bounded:
    """Regions, each given by the edges around it.

    Parameters
    ----------
    xy : ndarray, shape (k, 2)
        Vertices of the edges, one edge after the other.
    size : ndarray of int, shape (m,)
        Vertices of each edge. [-]
    left, right : ndarray of int, shape (m,)
        Region on either side of each edge, unlike ones; OUTSIDE (-1) for none. The region of the
        lower label is on the left. [-]
    labels : ndarray of int, shape (n,)
        Of the regions, 0 or above; neighbours are of unlike labels, but where one of them is a
        region by itself that is yet to be judged. [-]
    """

    xy: NDArray[np.float64]
    size: Labels
    left: Labels
    right: Labels
    labels: Labels


def dissolved(
    faces: Geometries,
    labels: Labels,
    edges: Geometries,
    left: Labels,
    right: Labels,
    *,
    sliver: float = 0.0,
) -> Coverage:
    """Coverage of the faces, with neighbours of one label merged.

    Parameters
    ----------
    faces, labels : ndarray, shape (n,)
        Faces that tile an area, and their labels; faces labelled OUTSIDE are left out. [-]
    edges, left, right : ndarray, shape (m,)
        Each edge once, with the face on its left and on its right. [-]
    sliver : float
        Faces whose mean width is below this take the label of the neighbour with the longest
        common edge; 0 for none. [unit of the coordinates]
    """
    if sliver > 0:
        labels = slivers_given_away(faces, labels, edges, left, right, sliver)
    return coverage_of(bounded(labels, edges, left, right)[0])


def relabelled(coverage: Coverage, labels: Labels) -> Coverage:
    """The coverage with label ``i`` renamed to ``labels[i]``; new neighbours alike are merged.

    Parameters
    ----------
    labels : ndarray of int
        New label of each old one, 0 or above. [-]
    """
    own = at_index(labels, coverage.labels)
    on_left, on_right = at_index(labels, coverage.left), at_index(labels, coverage.right)
    if np.any(on_left == on_right):
        return coverage_of(
            bounded(own, coverage.edges, *faces_beside(coverage.edges, coverage.faces))[0]
        )
    edges, backward = coverage.edges.copy(), on_left > on_right
    edges[backward] = shapely.reverse(edges[backward])
    return Coverage(
        faces=coverage.faces,
        labels=own,
        edges=edges,
        left=np.minimum(on_left, on_right),
        right=np.maximum(on_left, on_right),
    )


def bounded(
    labels: Labels,
    edges: Geometries,
    left: Labels,
    right: Labels,
    *,
    alone: NDArray[np.bool_] | None = None,
) -> tuple[Bounded, Labels, Labels]:
    """Regions of neighbouring faces of one label, which edges are around them, and whose they are.

    Parameters
    ----------
    labels : ndarray of int, shape (n,)
        Of the faces; those labelled OUTSIDE are left out. [-]
    edges, left, right : ndarray, shape (m,)
        Each edge once, with the face on its left and on its right. [-]
    alone : ndarray of bool, shape (n,), optional
        Faces that are a region each, whatever their label and that of their neighbours.

    Returns
    -------
    tuple
        The regions; the index of the edge that each of their edges is; the region that each face
        belongs to, OUTSIDE for none.
    """
    region = same_label(labels, left, right, alone)
    own = label_of(region, labels)
    covered = own != OUTSIDE
    if alone is not None:
        covered[region[alone]] = True
    region = np.where(covered, np.cumsum(covered) - 1, OUTSIDE)[region]
    own = own[covered]
    on_left, on_right = at_index(region, left), at_index(region, right)
    kept = np.flatnonzero(on_left != on_right)
    edges, on_left, on_right = edges[kept], on_left[kept], on_right[kept]
    backward = at_index(own, on_left) > at_index(own, on_right)
    edges[backward] = shapely.reverse(edges[backward])
    xy, owner = shapely.get_coordinates(edges, return_index=True)
    regions = Bounded(
        xy=xy,
        size=np.bincount(owner, minlength=len(edges)),
        left=np.where(backward, on_right, on_left),
        right=np.where(backward, on_left, on_right),
        labels=own,
    )
    return regions, kept, region


def merged(regions: Bounded) -> Bounded:
    """Regions with neighbours of one label merged; those labelled OUTSIDE are left out.

    Parameters
    ----------
    regions : Bounded
        Of any labels, on either side of its edges.
    """
    region = same_label(regions.labels, regions.left, regions.right)
    own = label_of(region, regions.labels)
    covered = own != OUTSIDE
    region = np.where(covered, np.cumsum(covered) - 1, OUTSIDE)[region]
    own = own[covered]
    left, right = at_index(region, regions.left), at_index(region, regions.right)
    kept = left != right
    xy, size = regions.xy[np.repeat(kept, regions.size)], regions.size[kept]
    left, right = left[kept], right[kept]
    backward = at_index(own, left) > at_index(own, right)
    begin, edge = np.cumsum(size) - size, np.repeat(np.arange(len(size)), size)
    at = np.arange(len(xy))
    turned = backward[edge]
    at[turned] = (2 * begin + size - 1)[edge[turned]] - at[turned]
    return Bounded(
        xy=xy[at],
        size=size,
        left=np.where(backward, right, left),
        right=np.where(backward, left, right),
        labels=own,
    )


def coverage_of(regions: Bounded) -> Coverage:
    """The regions as polygons, with edges that run on into one another joined."""
    xy, size, first = joined_rows(regions.xy, regions.size)
    left, right = regions.left[first], regions.right[first]
    edges = shapely.linestrings(xy, indices=np.repeat(np.arange(len(size)), size))
    return Coverage(
        faces=traced(xy, size, left, right, len(regions.labels)),
        labels=regions.labels,
        edges=np.asarray(edges, dtype=object).reshape(-1),
        left=at_index(regions.labels, left),
        right=at_index(regions.labels, right),
    )
