"""What a seam costs, against a shortest path by scipy and by construction."""

import numpy as np
import pytest
import shapely
from scipy.sparse import coo_array
from scipy.sparse.csgraph import dijkstra

from giornata.core.geometry import Coverage
from giornata.core.projection.band import WallBand
from giornata.core.projection.seam_costs import (
    EdgeGrid,
    edge_grid,
    level_costs,
    seam_costs,
    seam_path,
)


def _grid(seed=3, rows=20, columns=60):
    edge = np.random.default_rng(seed).exponential(0.05, (rows, columns))
    return EdgeGrid(foot=0.0, step=0.05, edge=edge)


def _by_dijkstra(grid, column, reach):
    """Least way from the top row to the foot within reach of a column, by a library."""
    rows, columns = grid.edge.shape
    inside = range(max(column - reach, 0), min(column + reach, columns - 1) + 1)
    name = {(r, c): n for n, (r, c) in enumerate((r, c) for r in range(rows) for c in inside)}
    start, end = len(name), len(name) + 1
    links = [(start, name[rows - 1, c], grid.edge[rows - 1, c]) for c in inside]
    links += [(name[0, c], end, 1.0) for c in inside]
    for (r, c), n in name.items():
        for beside in (c - 1, c, c + 1):
            if (r - 1, beside) in name:
                links.append((n, name[r - 1, beside], grid.edge[r - 1, beside]))
    a, b, w = zip(*links, strict=True)
    return (
        dijkstra(coo_array((w, (a, b)), shape=(end + 1, end + 1)).tocsr(), indices=start)[end] - 1
    )


def test_n54_seam_costs_equal_shortest_ways() -> None:
    grid = _grid()
    at = np.array([0.02, 0.51, 1.26, 2.01, 2.99])
    found = seam_costs(grid, at, 0.30)
    expected = [_by_dijkstra(grid, int(x / 0.05), 6) for x in at]
    np.testing.assert_allclose(found, expected, rtol=1e-12)
    for x, cost in zip(at, found, strict=True):
        way = seam_path(grid, x, 0.30)
        fields = np.floor(way / 0.05).astype(int)
        assert grid.edge[fields[:, 1], fields[:, 0]].sum() == pytest.approx(cost)
        assert (np.abs(np.diff(fields[:, 0])) <= 1).all()
        assert (np.diff(fields[:, 1]) == -1).all()
        assert (np.abs(fields[:, 0] - int(x / 0.05)) <= 6).all()


def _wall(*outlines):
    """Edges between two paints; the faces play no part in what a seam costs."""
    return Coverage(
        faces=np.array([shapely.box(0, 0, 10, 2)], dtype=object),
        labels=np.array([1]),
        edges=np.array(outlines, dtype=object),
        left=np.full(len(outlines), 1),
        right=np.full(len(outlines), 2),
    )


def test_n54_a_seam_goes_round_a_leaf_and_not_through_it() -> None:
    # Known by construction: a shape 0.4 m wide about 5 m; 0.3 m aside a seam is free of it.
    band = WallBand(length=10.0, top=np.array([[0, 2.0]]), ground=np.array([[0, 0.0]]))
    grid = edge_grid(_wall(shapely.Point(5.0, 1.0).buffer(0.2).exterior), band)
    at = np.array([3.0, 5.0])
    straight = seam_costs(grid, at, 0.0)
    assert straight[0] == 0.0
    # Straight down the middle it crosses two edges, each about as long as a field is wide.
    assert straight[1] == pytest.approx(2 * 0.05, abs=0.03)
    np.testing.assert_allclose(seam_costs(grid, at, 0.30), 0.0)


def test_n54_the_grid_holds_all_the_edge() -> None:
    # Circumference of a ring of 0.6 m radius, worked: 2π × 0.6 = 3.770 m (its polygon: 3.7669).
    ring = shapely.Point(5.0, 1.0).buffer(0.6).exterior
    band = WallBand(length=10.0, top=np.array([[0, 2.0]]), ground=np.array([[0, 0.0]]))
    assert edge_grid(_wall(ring), band).edge.sum() == pytest.approx(ring.length, rel=1e-9)


def test_n54_a_straight_level_edge_counts_a_metre() -> None:
    # A band's edge from end to end: no seam can miss it, and each field of it counts 1 m.
    band = WallBand(length=10.0, top=np.array([[0, 2.0]]), ground=np.array([[0, 0.0]]))
    grid = edge_grid(_wall(shapely.LineString([(0, 0.52), (10, 0.52)])), band)
    assert seam_costs(grid, [5.02], 0.0)[0] == pytest.approx(1.0, rel=1e-6)
    assert level_costs(grid, 0.0, 10.0, [0.52, 1.2]) == pytest.approx([200.0, 0.0])


def test_a_seam_that_wanders_less_than_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or more"):
        seam_costs(_grid(), [1.0], -0.1)
    with pytest.raises(ValueError, match="ends after"):
        level_costs(_grid(), 1.0, 1.0, [0.5])
