"""Projective maps by the direct linear transformation."""

from __future__ import annotations

import numpy as np

from giornata.core.foundation import Floats

__all__ = ["direct_linear", "mapped", "plane_to_plane"]


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
    # First a triangle as small as the matrix, since there may be many thousand rows. The product
    # of the rows with themselves would be smaller yet, and lose half the digits.
    _, _, across = np.linalg.svd(np.linalg.qr(rows, mode="r"))
    found: Floats = across[-1].reshape(3, size)
    return found if float(found[2] @ features[0]) > 0 else -found


def plane_to_plane(source: Floats, target: Floats) -> Floats:
    """The mapping that takes the source points nearest to the targets, by linear algebra; (3, 3).

    Parameters
    ----------
    source, target : ndarray, shape (n, 2)
        At least four points in either frame, not all at one place.

    Raises
    ------
    ValueError
        If there are fewer than four points, they do not pair off, or all lie at one place.

    Notes
    -----
    The normalised direct linear transformation: exact for four points, a start for refinement
    with more. Its scale is fixed so that the centre of the source points has the weight 1.

    References
    ----------
    Hartley, R. 1997. In defense of the eight-point algorithm. IEEE Transactions on Pattern
    Analysis and Machine Intelligence 19(6): 580-593. doi:10.1109/34.601246.
    Hartley, R. and Zisserman, A. 2004. Multiple View Geometry in Computer Vision, 2nd edition,
    algorithm 4.2. doi:10.1017/CBO9780511811685.
    """
    if len(source) < 4 or len(source) != len(target):
        raise ValueError("a plane is carried by four points or more, each in both frames")
    if not (np.ptp(source, axis=0).any() and np.ptp(target, axis=0).any()):
        raise ValueError("points that all lie at one place carry no plane")
    from_source, from_target = _normalising(source), _normalising(target)
    s, t = mapped(from_source, source), mapped(from_target, target)
    least = direct_linear(np.column_stack([s, np.ones(len(s))]), t)
    found: Floats = np.linalg.inv(from_target) @ least @ from_source
    weight = float(found[2, :2] @ source.mean(axis=0) + found[2, 2])
    return found / (weight if weight else 1.0)


def mapped(matrix: Floats, points: Floats) -> Floats:
    """Points taken through a plane-to-plane mapping, shape (n, 2).

    Parameters
    ----------
    matrix : ndarray, shape (3, 3)
        On column vectors (x, y, 1).
    points : ndarray, shape (n, 2)
        In the frame the matrix takes from.
    """
    made = points @ matrix[:, :2].T + matrix[:, 2]
    taken: Floats = made[:, :2] / made[:, 2:]
    return taken


def _normalising(points: Floats) -> Floats:
    """Moves the points' centre to 0 and their root mean square distance from it to sqrt 2."""
    centre = points.mean(axis=0)
    spread = float(np.sqrt(((points - centre) ** 2).sum(axis=1).mean()))
    scale = np.sqrt(2.0) / spread
    return np.array(
        [[scale, 0.0, -scale * centre[0]], [0.0, scale, -scale * centre[1]], [0.0, 0.0, 1.0]]
    )
