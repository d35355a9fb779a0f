"""Clip: a coverage moved by an affine transform and cut to a window."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import faces_beside, parts_of, rings_of
from giornata.core.geometry.coverage import OUTSIDE, Coverage, Geometries, Labels
from giornata.core.geometry.dissolve import dissolved

__all__ = ["aligned", "clipped", "transformed"]


def transformed(coverage: Coverage, matrix: NDArray[np.float64]) -> Coverage:
    """The coverage taken through a ``(3, 3)`` affine matrix without shear.

    Parameters
    ----------
    matrix : ndarray, shape (3, 3)
        Old coordinates to new, for columns ``(x, y, 1)``.

    Raises
    ------
    ValueError
        If the matrix shears.

    Notes
    -----
    Each coordinate is computed on its own, so points that are equal stay equal. A reflection
    reverses the edges, which keeps the lower label on their left.
    """
    (a, b, c), (d, e, f) = matrix[:2].tolist()
    if abs(a * b + d * e) > 1e-9 * (a * a + b * b + d * d + e * e):
        raise ValueError("the transform shears")

    def moved(geometries: Geometries) -> Geometries:
        return np.asarray(shapely.transform(geometries, placed))

    def placed(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        x, y = xy.T
        return np.stack([a * x + b * y + c, d * x + e * y + f], axis=1)

    edges = moved(coverage.edges)
    return Coverage(
        faces=moved(coverage.faces),
        labels=coverage.labels.copy(),
        edges=shapely.reverse(edges) if a * e - b * d < 0 else edges,
        left=coverage.left.copy(),
        right=coverage.right.copy(),
    )


def aligned(coverage: Coverage, window: Any, *, reach: float) -> Coverage:
    """The coverage with coordinates that almost equal one of the window's made equal to it.

    Parameters
    ----------
    window : shapely.Polygon or shapely.MultiPolygon
        Its vertices give the columns and rows to align with.
    reach : float
        Greatest difference made good; 0 or more. [unit of the coordinates]

    Notes
    -----
    Meant for the rounding of a transform: an edge along the window's rim would otherwise leave
    a strip as thin as the rounding. Each coordinate is moved on its own, so points that are
    equal stay equal. Edges that shrink to nothing are left out.
    """
    corners = shapely.get_coordinates(window)
    columns, rows = np.unique(corners[:, 0]), np.unique(corners[:, 1])

    def moved(geometries: Geometries) -> Geometries:
        return np.asarray(
            shapely.transform(
                geometries,
                lambda xy: np.stack(
                    [_nearest(xy[:, 0], columns, reach), _nearest(xy[:, 1], rows, reach)], axis=1
                ),
            )
        )

    edges = moved(coverage.edges)
    kept = shapely.length(edges) > 0
    return Coverage(
        faces=moved(coverage.faces),
        labels=coverage.labels.copy(),
        edges=edges[kept],
        left=coverage.left[kept],
        right=coverage.right[kept],
    )


def _nearest(
    values: NDArray[np.float64], marks: NDArray[np.float64], reach: float
) -> NDArray[np.float64]:
    """The values, each within reach of a mark put on it."""
    after = np.searchsorted(marks, values).clip(1, len(marks) - 1)
    before = marks[after - 1]
    nearest = np.where(values - before <= marks[after] - values, before, marks[after])
    return np.where(np.abs(values - nearest) <= reach, nearest, values)


def clipped(coverage: Coverage, window: Any, *, beyond: int, sliver: float = 0.0) -> Coverage:
    """The coverage inside a window; what it leaves of the window is labelled ``beyond``.

    Parameters
    ----------
    window : shapely.Polygon or shapely.MultiPolygon
        Valid.
    beyond : int
        Label of the window's part outside the coverage, 0 or above. [-]
    sliver : float
        As in `dissolved`. [unit of the coordinates]

    Notes
    -----
    Only edges that meet the window's boundary are noded again. Faces are labelled by the uncut
    edges around them; those without any are looked up by a point inside.
    """
    lower = np.where(coverage.left == OUTSIDE, beyond, coverage.left)
    inner = lower != coverage.right
    edges, lower, upper = coverage.edges[inner], lower[inner], coverage.right[inner]

    rim = rings_of(window)
    rim_line = shapely.multilinestrings(rim)
    shapely.prepare(rim_line)
    meets = shapely.intersects(rim_line, edges)
    whole = np.flatnonzero(~meets)
    start = shapely.get_coordinates(shapely.get_point(edges[whole], 0))
    shapely.prepare(window)
    whole = whole[shapely.contains_xy(window, start[:, 0], start[:, 1])]
    cut = parts_of(shapely.union_all(np.concatenate([edges[meets], rim])))

    lines = np.concatenate([edges[whole], cut])
    polygons, bridges, _, _ = shapely.polygonize_full(lines)
    if not shapely.is_empty(bridges):
        # Rounding has laid two edges on one another at a node: all are noded again.
        lines = parts_of(shapely.union_all(np.concatenate([edges[whole], edges[meets], rim])))
        whole = whole[:0]
        polygons = shapely.polygonize(lines)
    faces = parts_of(polygons)
    inside = shapely.point_on_surface(faces)
    held = shapely.contains_xy(window, shapely.get_x(inside), shapely.get_y(inside))
    faces, inside = faces[held], inside[held]
    left, right = faces_beside(lines, faces)
    labels = _labels_from_edges(len(faces), left, right, lower[whole], upper[whole])
    unknown = np.flatnonzero(labels == OUTSIDE)
    labels[unknown] = _labels_from_points(coverage, inside[unknown], beyond)
    return dissolved(faces, labels, lines, left, right, sliver=sliver)


def _labels_from_edges(
    count: int, left: Labels, right: Labels, lower: Labels, upper: Labels
) -> Labels:
    """Labels of faces beside the first edges, whose labels are known; else OUTSIDE."""
    labels: Labels = np.full(count, OUTSIDE, dtype=np.intp)
    left, right = left[: len(lower)], right[: len(upper)]
    labels[left[left != OUTSIDE]] = lower[left != OUTSIDE]
    labels[right[right != OUTSIDE]] = upper[right != OUTSIDE]
    return labels


def _labels_from_points(coverage: Coverage, points: Geometries, beyond: int) -> Labels:
    """Label of the face over each point, ``beyond`` where there is none."""
    labels: Labels = np.full(len(points), beyond, dtype=np.intp)
    if len(points) and len(coverage.faces):
        faces = coverage.faces
        point, face = shapely.STRtree(faces).query(points)
        shapely.prepare(faces)
        hit = shapely.contains_xy(
            faces[face], shapely.get_x(points)[point], shapely.get_y(points)[point]
        )
        labels[point[hit]] = coverage.labels[face[hit]]
    return labels
