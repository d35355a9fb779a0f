"""Weighted least squares with its redundancy, and what the equations leave open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import qr
from scipy.linalg.lapack import dtrtri
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from giornata.core.foundation import Floats, readonly

__all__ = ["LeastSquares", "least_squares"]

# A column that adds less than this to those before it, both of length 1, adds nothing.
_DEPENDENT = 1e-11
# A share in an open combination below this is rounding.
_OPEN = 1e-7

_Places = NDArray[np.intp]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeastSquares:
    """Solution of n weighted equations in u unknowns.

    Parameters
    ----------
    values : ndarray, shape (u,)
        The unknowns; those left open are 0 or follow from one that is. [unit]
    residuals : ndarray, shape (n,)
        Adjusted less observed. [unit]
    gain : ndarray, shape (u, n)
        Change of each unknown for a unit change of each observation. [-]
    sigma : ndarray, shape (n,)
        Standard deviations that the equations were weighted with. [unit]
    redundancy : ndarray, shape (n,)
        Part of an error of each observation that shows in its own residual, 0 to 1. [-]
    hats : ndarray, shape (n, r)
        Orthonormal columns that span the weighted equations; r is their rank. [-]
    open : ndarray, shape (u, u - r)
        Combinations of the unknowns that no equation holds. [-]
    """

    values: Floats
    residuals: Floats
    gain: Floats
    sigma: Floats
    redundancy: Floats
    hats: Floats
    open: Floats

    def __post_init__(self) -> None:
        for name in ("values", "residuals", "gain", "sigma", "redundancy", "hats", "open"):
            object.__setattr__(self, name, readonly(getattr(self, name)))

    @property
    def freedom(self) -> int:
        """Equations beyond those needed. [-]"""
        return int(self.hats.shape[0] - self.hats.shape[1])

    @property
    def weighted_square(self) -> float:
        """Sum of the squares of residual over standard deviation. [-]"""
        return float(np.sum((self.residuals / self.sigma) ** 2))

    def covariance(self) -> Floats:
        """Covariance of the unknowns, shape (u, u), from the stated deviations. [unit²]"""
        spread = self.gain * self.sigma
        found: Floats = spread @ spread.T
        return found

    def is_open(self) -> tuple[bool, ...]:
        """Whether each unknown is left open by the equations."""
        return tuple(bool(row.any()) for row in np.abs(self.open) > _OPEN)

    def likeness(self, index: int) -> Floats:
        """Correlation of each weighted residual with that of one observation, shape (n,). [-]

        Parameters
        ----------
        index : int
            The one observation. [-]
        """
        shared: Floats = -self.hats @ self.hats[index]
        shared[index] += 1.0
        size = np.sqrt(np.maximum(self.redundancy * self.redundancy[index], 0.0))
        alike: Floats = np.divide(shared, size, out=np.zeros_like(shared), where=size > _OPEN)
        return alike


def least_squares(design: Floats, observed: Floats, sigma: Floats) -> LeastSquares:
    """Unknowns that leave the least sum of squared residual over deviation.

    Parameters
    ----------
    design : ndarray, shape (n, u)
        Change of each observation for a unit change of each unknown. [-]
    observed : ndarray, shape (n,)
        Observations. [unit]
    sigma : ndarray, shape (n,)
        Their standard deviations, independent of one another; above 0. [unit]

    Raises
    ------
    ValueError
        If shapes do not fit, a number is not finite or a deviation is not above 0.

    Notes
    -----
    Householder QR with column pivoting on the weighted design, its columns scaled to length 1:
    normal equations would square the condition. Columns that depend on those before them are
    left out, and the combinations that they leave open are returned. Blocks of equations that
    share no unknown are solved apart.

    References
    ----------
    Golub and Van Loan 2013, Matrix Computations, 4th ed., section 5.5.

    Examples
    --------
    >>> found = least_squares(np.ones((2, 1)), np.array([10.0, 10.4]), np.array([0.1, 0.2]))
    >>> round(float(found.values[0]), 3), found.freedom   # weights 4 to 1
    (10.08, 1)
    """
    rows, columns = design.shape
    if observed.shape != (rows,) or sigma.shape != (rows,):
        raise ValueError("each equation has one observation and one deviation")
    if not (np.isfinite(design).all() and np.isfinite(observed).all()):
        raise ValueError("equations are finite")
    if not (np.isfinite(sigma).all() and (sigma > 0).all()):
        raise ValueError("deviations are above 0")
    found = _Assembled(rows, columns)
    touched = design != 0
    pattern = csr_array(touched.astype(np.int64))
    count, label = connected_components(pattern.T @ pattern, directed=False)
    own = [np.flatnonzero(label == number) for number in range(count)]
    for block in own:
        within = np.flatnonzero(touched[:, block].any(axis=1))
        found.add(within, block, design[np.ix_(within, block)] / sigma[within, None])
    hats = np.column_stack([np.zeros((rows, 0)), *found.hats])
    left_open = np.column_stack([np.zeros((columns, 0)), *found.open])
    gain = found.gain / sigma
    values = gain @ observed
    return LeastSquares(
        values=values,
        residuals=design @ values - observed,
        gain=gain,
        sigma=sigma,
        redundancy=np.clip(1 - (hats**2).sum(axis=1), 0.0, 1.0),
        hats=hats,
        open=left_open / np.sqrt((left_open**2).sum(axis=0)),
    )


class _Assembled:
    """Solutions of blocks that share no unknown, put together."""

    def __init__(self, rows: int, columns: int) -> None:
        self.gain: Floats = np.zeros((columns, rows))
        self.hats: list[Floats] = []
        self.open: list[Floats] = []

    def add(self, rows: _Places, columns: _Places, weighted: Floats) -> None:
        """One block, its equations weighted."""
        length = np.sqrt((weighted**2).sum(axis=0))
        length[length == 0] = 1.0
        basis, upper, order = qr(weighted / length, mode="economic", pivoting=True)
        rank = int((np.abs(np.diag(upper)) > _DEPENDENT).sum())
        inverse = np.zeros((0, 0))
        if rank:
            inverse, _ = dtrtri(upper[:rank, :rank])  # no diagonal element is near 0
            inverse = np.triu(inverse)
        held, free = columns[order[:rank]], columns[order[rank:]]
        scale = length[order[:rank], None]
        self.gain[np.ix_(held, rows)] = inverse @ basis[:, :rank].T / scale
        hats = np.zeros((self.gain.shape[1], rank))
        hats[rows] = basis[:, :rank]
        self.hats.append(hats)
        left_open = np.zeros((len(self.gain), len(free)))
        left_open[held] = -inverse @ upper[:rank, rank:] / scale
        left_open[free, np.arange(len(free))] = 1 / length[order[rank:]]
        self.open.append(left_open)
