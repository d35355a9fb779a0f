"""Weighted least squares of many equations of which each holds few unknowns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.linalg.lapack import dpotrf, dpotri
from scipy.sparse import csc_array, csr_array, dia_array
from scipy.sparse.linalg import splu

from giornata.core.foundation import Floats, readonly
from giornata.core.geometry.least_squares import least_squares

__all__ = ["SparseSquares", "open_unknowns", "sparse_least_squares"]

# A pivot of the normal equations, columns of length 1, below this is rounding.
_SINGULAR = 1e-13


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SparseSquares:
    """Solution of n weighted equations in u unknowns, all of them held.

    Parameters
    ----------
    values : ndarray, shape (u,)
        The unknowns. [unit]
    residuals : ndarray, shape (n,)
        Adjusted less observed. [unit]
    sigma : ndarray, shape (n,)
        Standard deviations that the equations were weighted with. [unit]
    weighted : csr_array, shape (n, u)
        The equations, each divided by its deviation. [-]
    """

    values: Floats
    residuals: Floats
    sigma: Floats
    weighted: csr_array

    def __post_init__(self) -> None:
        for name in ("values", "residuals", "sigma"):
            object.__setattr__(self, name, readonly(getattr(self, name)))

    @property
    def freedom(self) -> int:
        """Equations beyond those needed. [-]"""
        return int(self.weighted.shape[0] - self.weighted.shape[1])

    @property
    def weighted_square(self) -> float:
        """Sum of the squares of residual over standard deviation. [-]"""
        return float(np.sum((self.residuals / self.sigma) ** 2))

    def covariance(self) -> Floats:
        """Covariance of the unknowns, shape (u, u), from the stated deviations. [unit²]

        Notes
        -----
        Dense, and the slowest part of a solution: asked for once, at the end of an iteration.
        """
        scaled, length = _scaled(self.weighted)
        factor, fault = dpotrf((scaled.T @ scaled).toarray())
        inverse, also = (factor, fault) if fault else dpotri(factor)
        if fault or also:
            raise ValueError("the equations leave something open")
        upper = np.triu(inverse)
        whole = upper + np.triu(upper, 1).T
        return readonly(whole / np.outer(length, length))

    def left_in(self, rows: Sequence[int], covariance: Floats) -> Floats:
        """How errors of some observations show in their own residuals, shape (k, k). [-]

        Parameters
        ----------
        rows : sequence of int
            Of the observations. [-]
        covariance : ndarray, shape (u, u)
            Of the unknowns. [unit²]

        Notes
        -----
        Both in units of the observations' deviations; the diagonal is the redundancy of each.
        """
        some = self.weighted[list(rows)]
        taken: Floats = some @ (some @ covariance).T
        left: Floats = np.eye(len(rows)) - taken
        return left


def sparse_least_squares(
    design: csr_array, observed: Floats, sigma: Floats
) -> SparseSquares | None:
    """Unknowns that leave the least sum of squared residual over deviation; None if some are open.

    Parameters
    ----------
    design : csr_array, shape (n, u)
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
    Normal equations, columns of the design scaled to length 1, factored sparse. They square the
    condition, which `least_squares` does not; so they are for a step of an iteration that is
    taken again from its own residuals. `open_unknowns` says what is open where None is returned.

    References
    ----------
    Björck 1996, Numerical Methods for Least Squares Problems, SIAM, sections 2.2 and 6.

    Examples
    --------
    >>> found = sparse_least_squares(
    ...     csr_array(np.ones((2, 1))), np.array([10.0, 10.4]), np.array([0.1, 0.2])
    ... )
    >>> round(float(found.values[0]), 3), found.freedom   # weights 4 to 1
    (10.08, 1)
    """
    rows, columns = design.shape
    if observed.shape != (rows,) or sigma.shape != (rows,):
        raise ValueError("each equation has one observation and one deviation")
    if not (np.isfinite(design.data).all() and np.isfinite(observed).all()):
        raise ValueError("equations are finite")
    if not (np.isfinite(sigma).all() and (sigma > 0).all()):
        raise ValueError("deviations are above 0")
    weighted = csr_array(_diagonal(1 / sigma) @ design)
    scaled, length = _scaled(weighted)
    if rows < columns:
        return None
    try:
        factor = splu(csc_array(scaled.T @ scaled), permc_spec="MMD_AT_PLUS_A",
                      diag_pivot_thresh=0.0, options={"SymmetricMode": True})  # fmt: skip
    except RuntimeError:  # exactly singular
        return None
    pivots = np.abs(factor.U.diagonal())
    if not (np.isfinite(pivots).all() and pivots.min() > _SINGULAR):
        return None
    right = observed / sigma
    values = factor.solve(scaled.T @ right)
    values = values + factor.solve(scaled.T @ (right - scaled @ values))
    return SparseSquares(
        values=values / length,
        residuals=design @ (values / length) - observed,
        sigma=sigma,
        weighted=weighted,
    )


def _scaled(weighted: csr_array) -> tuple[csr_array, Floats]:
    """The equations with columns of length 1, and the lengths they had; 1 for an empty column."""
    length = np.sqrt(np.asarray(weighted.power(2).sum(axis=0)).ravel())
    length[length == 0] = 1.0
    return csr_array(weighted @ _diagonal(1 / length)), length


def open_unknowns(design: csr_array, sigma: Floats) -> tuple[bool, ...]:
    """Whether each unknown is left open by the equations.

    Parameters
    ----------
    design : csr_array, shape (n, u)
        Change of each observation for a unit change of each unknown. [-]
    sigma : ndarray, shape (n,)
        Standard deviations of the observations; above 0. [unit]
    """
    whole: Floats = design.toarray()
    return least_squares(whole, np.zeros(len(whole)), sigma).is_open()


def _diagonal(values: Floats) -> dia_array:
    return dia_array((values[None, :], [0]), shape=(len(values), len(values)))
