"""Adjustment: coordinates of named points from all readings at once, and the worst reading named.

References
----------
Baarda 1968, A testing procedure for use in geodetic networks, Netherlands Geodetic Commission,
Publications on Geodesy, New Series 2(5): data snooping and the smallest error that it finds.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from scipy.special import chdtri, ndtri

from giornata.core.foundation import Assumption, Floats
from giornata.core.survey.adjusted import (
    AdjustedCoursing,
    AdjustedPoint,
    AdjustedReading,
    Adjustment,
)
from giornata.core.survey.network import Axis, Network, Unknown, solved, would_miss
from giornata.core.survey.taken import Kind, Taken

__all__ = ["GLOBAL_ALPHA", "adjust", "critical_test"]

GLOBAL_ALPHA = Assumption(
    name="chance that sound readings fail the test of them all",
    value=0.05,
    unit="-",
    source="common practice of surveyors",
    usual=(0.01, 0.1),
)
SNOOPING_ALPHA = Assumption(
    name="chance that one sound reading is doubted",
    value=0.001,
    unit="-",
    source="Baarda 1968",
    usual=(0.001, 0.01),
)
SNOOPING_POWER = Assumption(
    name="chance that an error of the smallest detectable size is found",
    value=0.80,
    unit="-",
    source="Baarda 1968",
    usual=(0.8, 0.9),
)

_CHECKED = 1e-4  # redundancy above which a reading is checked by others at all
_ALIKE = 0.999  # correlation of two tests from which they cannot be told apart


def critical_test() -> float:
    """Test above which one reading is doubted, either way. [-]

    Examples
    --------
    >>> round(critical_test(), 2)   # Baarda 1968
    3.29
    """
    return float(-ndtri(SNOOPING_ALPHA.value / 2))


def _least_found() -> float:
    """Error in standard deviations of a fully checked reading that is found with the power. [-]"""
    return critical_test() + float(ndtri(SNOOPING_POWER.value))


def adjust(
    readings: Sequence[Taken],
    sigma: Sequence[float],
    *,
    same_chainage: Mapping[str, str] | None = None,
) -> Adjustment | None:
    """The readings adjusted together by least squares; None where all are set aside.

    Parameters
    ----------
    readings : sequence of Taken
        Those marked doubtful are held against the others only.
    sigma : sequence of float
        Standard deviation of each; above 0. [m]
    same_chainage : mapping of str to str
        Points that stand at the chainage of another, each with that other.

    Notes
    -----
    Readings are taken as independent. Standard deviations come from the stated ones, not scaled
    by the residuals. The global test is one-sided: chi-square of the weighted square at 5 %.
    """
    counted = [index for index, reading in enumerate(readings) if not reading.doubtful]
    used = [readings[index] for index in counted]
    weights = np.array([sigma[index] for index in counted], dtype=np.float64)
    network = solved(used, weights, same_chainage)
    if network is None:
        return None
    left_open = network.left_open()
    looked_at = dict(zip(counted, _snooped(network, used), strict=True))
    for index, reading in enumerate(readings):
        if reading.doubtful:
            looked_at[index] = _set_aside(network, reading, sigma[index], same_chainage or {})
    tests = np.array([abs(looked_at[index].test or 0.0) for index in counted])
    worst = int(tests.argmax()) if network.fit.freedom and tests.max() > 0 else None
    alike: tuple[int, ...] = ()
    agrees = True
    if worst is not None:
        like = np.abs(network.fit.likeness(worst)) > _ALIKE
        others = [i for i in range(len(used)) if i != worst and like[i]]
        alike = tuple(counted[i] for i in [worst, *others])
        sound = network.fit.weighted_square <= _critical(network.fit.freedom)
        if not sound or tests[worst] > critical_test():
            agrees = _agrees_without(used, weights, worst, same_chainage)
    return Adjustment(
        points=_points(used, network, left_open, same_chainage or {}),
        coursings=_coursings(network, left_open),
        readings=tuple(looked_at[index] for index in range(len(readings))),
        freedom=network.fit.freedom,
        weighted_square=network.fit.weighted_square,
        critical=_critical(network.fit.freedom),
        worst=None if worst is None else counted[worst],
        alike=alike,
        agrees_without=agrees,
        unknowns=network.unknowns,
        values=network.values,
        open=left_open,
        gain=network.fit.gain,
        sigma=weights,
        settled=network.settled,
    )


def _critical(freedom: int) -> float:
    return float(chdtri(freedom, GLOBAL_ALPHA.value)) if freedom else 0.0


def _snooped(network: Network, readings: Sequence[Taken]) -> list[AdjustedReading]:
    fit = network.fit
    found = []
    for reading, error, residual, part in zip(
        readings, fit.sigma, fit.residuals, fit.redundancy, strict=True
    ):
        checked = part > _CHECKED
        found.append(
            AdjustedReading(
                reading=reading,
                sigma=float(error),
                adjusted=_adjusted(network, reading, float(residual)),
                residual=float(residual),
                redundancy=float(part),
                test=float(residual / (error * math.sqrt(part))) if checked else None,
                error=float(-residual / part) if checked else None,
                detectable=float(_least_found() * error / math.sqrt(part)) if checked else None,
            )
        )
    return found


def _adjusted(network: Network, reading: Taken, residual: float) -> float:
    """What a reading should have read: a length, or a count of courses."""
    if reading.kind is Kind.COURSES:
        course = network.values[(Axis.COURSE, reading.course)]
        return reading.value + residual / course if course > 0 else reading.value
    return reading.value + residual


def _set_aside(
    network: Network, reading: Taken, sigma: float, same_chainage: Mapping[str, str]
) -> AdjustedReading:
    """A reading left out, against what the others say of it."""
    off = would_miss(network, reading, same_chainage)
    return AdjustedReading(
        reading=reading,
        sigma=sigma,
        adjusted=None if off is None else _adjusted(network, reading, off),
        residual=off,
        redundancy=0.0 if off is None else 1.0,
        test=None,
        error=None if off is None else -off,
        detectable=None,
    )


def _agrees_without(
    readings: Sequence[Taken],
    weights: Floats,
    worst: int,
    same_chainage: Mapping[str, str] | None,
) -> bool:
    others = [reading for index, reading in enumerate(readings) if index != worst]
    network = solved(others, np.delete(weights, worst), same_chainage)
    if network is None:
        return True
    tests = [abs(one.test or 0.0) for one in _snooped(network, others)]
    limit = _critical(network.fit.freedom)
    whole = network.fit.freedom == 0 or network.fit.weighted_square <= limit
    return whole and max(tests) <= critical_test()


def _points(
    readings: Sequence[Taken],
    network: Network,
    left_open: tuple[Unknown, ...],
    same_chainage: Mapping[str, str],
) -> tuple[AdjustedPoint, ...]:
    deviations = np.sqrt(((network.fit.gain * network.fit.sigma) ** 2).sum(axis=1))
    sigma = dict(zip(network.unknowns, deviations.tolist(), strict=True))
    points = []
    for name in dict.fromkeys(point for r in readings for point in (r.start, r.end)):
        known: dict[str, float] = {}
        undetermined = []
        for axis in (Axis.CHAINAGE, Axis.LEVEL, Axis.OFFSET):
            key = (axis, same_chainage.get(name, name) if axis is Axis.CHAINAGE else name)
            if key in left_open:
                undetermined.append(axis)
            elif key in sigma or key in network.values:
                known[str(axis)] = network.values[key]
                known[f"{axis}_sigma"] = sigma.get(key, 0.0)
        points.append(AdjustedPoint(name=name, undetermined=tuple(undetermined), **known))
    return tuple(points)


def _coursings(network: Network, left_open: tuple[Unknown, ...]) -> tuple[AdjustedCoursing, ...]:
    deviations = np.sqrt(((network.fit.gain * network.fit.sigma) ** 2).sum(axis=1))
    return tuple(
        AdjustedCoursing(
            name=unknown[1], height=network.values[unknown], sigma=float(deviations[column])
        )
        for column, unknown in enumerate(network.unknowns)
        if unknown[0] is Axis.COURSE and unknown not in left_open
    )
