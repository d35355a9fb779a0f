"""Plane to plane: the straight-line mapping of the wall into a photo, from points alone."""

from __future__ import annotations

import numpy as np

from giornata.core.foundation import Floats

__all__ = ["direct_linear", "mapped"]


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


def direct_linear(source: Floats, target: Floats) -> Floats:
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
    ones, none = np.ones(len(s)), np.zeros(len(s))
    u, v, x, y = s[:, 0], s[:, 1], t[:, 0], t[:, 1]
    rows = np.concatenate(
        [
            np.stack([u, v, ones, none, none, none, -x * u, -x * v, -x], axis=1),
            np.stack([none, none, none, u, v, ones, -y * u, -y * v, -y], axis=1),
        ]
    )
    least = np.linalg.svd(rows)[2][-1].reshape(3, 3)
    found: Floats = np.linalg.inv(from_target) @ least @ from_source
    weight = float(found[2, :2] @ source.mean(axis=0) + found[2, 2])
    return found / (weight if weight else 1.0)
