"""Joining: edges that run on into one another become one edge."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core.geometry.adjacency import nodes_of
from giornata.core.geometry.coverage import Geometries, Labels

__all__ = ["chains", "joined", "joined_rows"]

_NONE = -1


def joined(edges: Geometries) -> tuple[Geometries, Labels]:
    """Edges joined at each node where just two meet and one runs on into the other.

    Parameters
    ----------
    edges : ndarray of shapely.LineString, shape (m,)
        Noded: they meet at their ends only; the joined ones do so too.

    Returns
    -------
    tuple
        The joined edges, and for each the index of the edge it begins with.

    Examples
    --------
    >>> ends = [[(0, 0), (1, 0)], [(1, 0), (2, 0)], [(2, 0), (3, 1)], [(2, 0), (3, -1)]]
    >>> lines, first = joined(shapely.linestrings(ends))
    >>> [line.wkt for line in lines][0], first.tolist()
    ('LINESTRING (0 0, 1 0, 2 0)', [0, 2, 3])
    """
    xy, owner = shapely.get_coordinates(edges, return_index=True)
    xy, size, first = joined_rows(xy, np.bincount(owner, minlength=len(edges)))
    if np.array_equal(first, np.arange(len(edges))):
        return edges, first
    return np.asarray(shapely.linestrings(xy, indices=np.repeat(np.arange(len(size)), size))), first


def joined_rows(
    xy: NDArray[np.float64], size: Labels, ends: NDArray[np.float64] | None = None
) -> tuple[NDArray[np.float64], Labels, Labels]:
    """As `joined`, of edges given by their vertices.

    Parameters
    ----------
    xy : ndarray, shape (k, 2)
        Vertices of the edges, one edge after the other.
    size : ndarray of int, shape (m,)
        Vertices of each edge. [-]
    ends : ndarray, optional
        Abscissae at which nothing is joined: other edges may meet there that are not given.
        [unit of the coordinates]
    """
    if not len(size):
        return xy, size, np.empty(0, dtype=np.intp)
    begin = np.cumsum(size) - size
    following = _following(xy[begin], xy[begin + size - 1])
    if ends is not None:
        following[np.isin(xy[begin + size - 1, 0], ends)] = _NONE
    if np.all(following == _NONE):
        return xy, size, np.arange(len(size), dtype=np.intp)
    order, chain_first = chains(following)

    # Each edge of a chain but the first leaves out its first point, which is the last one's last.
    inner = np.ones(len(order), dtype=bool)
    inner[chain_first] = False
    taken = size[order] - inner
    source = np.repeat(begin[order] + inner - (np.cumsum(taken) - taken), taken)
    return (
        xy[source + np.arange(len(source))],
        np.bincount(np.cumsum(~inner) - 1, weights=taken).astype(np.intp),
        order[chain_first],
    )


def _following(start: NDArray[np.float64], end: NDArray[np.float64]) -> Labels:
    """The edge that each edge runs on into, _NONE where it does not."""
    node = nodes_of(np.concatenate([start, end]))
    first, last = node[: len(start)], node[len(start) :]
    nodes = int(node.max()) + 1
    begins, stops = np.bincount(first, minlength=nodes), np.bincount(last, minlength=nodes)
    through = (begins == 1) & (stops == 1)
    beginning = np.full(nodes, _NONE, dtype=np.intp)
    beginning[first] = np.arange(len(start))
    return np.where(through[last], beginning[last], _NONE)


def chains(following: Labels) -> tuple[Labels, Labels]:
    """Edges in the order of their chains, and where in that order each chain begins.

    Parameters
    ----------
    following : ndarray of int, shape (m,)
        The edge that follows each; -1 for none. Each follows one at most. [-]
    """
    heads = np.ones(len(following), dtype=bool)
    heads[following[following != _NONE]] = False
    after = following.tolist()
    seen = bytearray(len(after))
    order: list[int] = []
    first: list[int] = []
    # Chains with a beginning come first; what is left are closed loops.
    for start in (*np.flatnonzero(heads).tolist(), *range(len(after))):
        if seen[start]:
            continue
        first.append(len(order))
        edge = start
        while edge != _NONE and not seen[edge]:
            seen[edge] = 1
            order.append(edge)
            edge = after[edge]
    return np.array(order, dtype=np.intp), np.array(first, dtype=np.intp)
