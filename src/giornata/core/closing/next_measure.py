"""Which measurement would help most: by how much each makes the closing gap surer."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from giornata.core.closing.joint import Joint
from giornata.core.closing.observed import LEVEL_READ, TAPE_READ_AGAIN, Measure, MeasureKind
from giornata.core.foundation import Floats

__all__ = ["Worth", "worth_measuring"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """A measurement that could be taken, and what it would do.

    Parameters
    ----------
    kind : MeasureKind
    marks : tuple of str
    before, after : float
        Standard deviation of the gap along the wall, without and with it. [m]
    """

    kind: MeasureKind
    marks: tuple[str, ...]
    before: float
    after: float


def worth_measuring(joint: Joint, gap: Floats, marks: Iterable[str]) -> tuple[Worth, ...]:
    """Measurements on marks by how much surer they make a gap, the best first.

    Parameters
    ----------
    joint : Joint
        What is known so far.
    gap : ndarray, shape (u,)
        Change of the gap with each unknown. [m]
    marks : iterable of str
        That can be reached; others are passed over.

    Notes
    -----
    One more reading takes (c' a)² / (σ² + a' C a) off the variance, a its shares, C a the
    covariance with them: the update of a covariance by one equation. No adjustment is run.
    """
    known = [name for name in marks if name in joint.equations.mark_of]
    known.sort(key=lambda name: float(joint.place(name)[0]))
    tried = [
        Measure(name=name, kind=MeasureKind.CHAINAGE, marks=(name,), value=0.0,
                sigma=LEVEL_READ.value)
        for name in known
    ]  # fmt: skip
    tried += [
        Measure(name=f"{a} {b}", kind=MeasureKind.DISTANCE, marks=(a, b), value=1.0,
                sigma=TAPE_READ_AGAIN.value)
        for number, a in enumerate(known)
        for b in known[number + 1 :]
        if 0.5 < math.dist(joint.place(a), joint.place(b)) < 30.0
    ]  # fmt: skip
    by_all = joint.covariance @ gap
    before = float(gap @ by_all)
    found = []
    for one in tried:
        columns, shares, _ = joint.equations.sighted(joint.standing, one)
        a = np.asarray(shares)
        spread = float(a @ joint.covariance[np.ix_(columns, columns)] @ a)
        gained = float(a @ by_all[columns]) ** 2 / (one.sigma**2 + spread)
        found.append(
            Worth(
                kind=one.kind,
                marks=one.marks,
                before=math.sqrt(max(before, 0.0)),
                after=math.sqrt(max(before - gained, 0.0)),
            )
        )
    return tuple(sorted(found, key=lambda one: one.after))
