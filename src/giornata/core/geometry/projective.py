"""Projective maps by the direct linear transformation."""

from __future__ import annotations

import numpy as np

from giornata.core.foundation import Floats

__all__ = ["direct_linear"]


def direct_linear(features: Floats, places: Floats) -> Floats:
    """Matrix that takes features to places, up to its size: ``place ~ matrix @ feature``.

    Parameters
    ----------
    features : ndarray, shape (n, k)
        Of each point, the last one usually 1; best of size 1. [-]
    places : ndarray, shape (n, 2)
        Where each point is seen; best of size 1. [-]

    Returns
    -------
    ndarray, shape (3, k)
        Of length 1, its third row positive at the first point. [-]

    Raises
    ------
    ValueError
        If there are fewer than (3 k - 1) / 2 points.

    References
    ----------
    Hartley and Zisserman 2004, Multiple View Geometry in Computer Vision, 2nd ed., section 4.1.

    Examples
    --------
    >>> square = np.array([[0, 0, 1], [1, 0, 1], [1, 1, 1], [0, 1, 1.0]])
    >>> seen = np.array([[10, 20], [110, 30], [100, 90], [5, 100.0]])
    >>> found = direct_linear(square, seen)
    >>> (found / found[2, 2]).round(3).tolist()[0]
    [138.304, -4.554, 10.0]
    """
    count, size = features.shape
    if 2 * count < 3 * size - 1:
        raise ValueError(f"{size} features need {-(-(3 * size - 1) // 2)} points")
    nothing = np.zeros_like(features)
    x, y = places[:, :1], places[:, 1:]
    rows = np.vstack(
        [
            np.hstack([features, nothing, -x * features]),
            np.hstack([nothing, features, -y * features]),
        ]
    )
    # The smallest eigenvector of the small square matrix: the rows may be many thousands.
    _, vectors = np.linalg.eigh(rows.T @ rows)
    found: Floats = vectors[:, 0].reshape(3, size)
    return found if float(found[2] @ features[0]) > 0 else -found
