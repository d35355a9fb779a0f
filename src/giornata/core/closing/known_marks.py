"""Marks of one set-up as all other readings adjust them, to square its picture on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

from giornata.core.closing.doubts import sifted
from giornata.core.closing.equations import InSpace, Source, SourceKind
from giornata.core.closing.joint import Joint, joined
from giornata.core.closing.observed import Measure, PictureSeen, PlacedMark
from giornata.core.foundation import Finding, Floats, Severity, number_of, readonly

__all__ = ["KnownMarks", "known_marks", "known_marks_findings"]

_BELIEVED = 0.05  # chance of the misfit from which stated deviations are believed
_NOTHING = 0.01  # of a mark's own deviation: what is shared by less is left out
_TOLD = 0.001  # m: marks that are moved by less are not worth a word


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KnownMarks:
    """Where marks are, by everything but the picture that is squared on them.

    Parameters
    ----------
    names : tuple of str
    places : ndarray, shape (n, 2)
        Chainage and level. [m]
    moved : ndarray, shape (n, 2)
        From where they were to be set, to the right and up. [m]
    covariance : ndarray, shape (2 n, 2 n)
        Of the places, the tape's scale given. [m²]
    aside : tuple of str
        Marks of these that were set wrong, by the other readings.
    measures, pictures : int
        How many readings beside the setting out they rest on. [-]
    """

    names: tuple[str, ...]
    places: Floats
    moved: Floats
    covariance: Floats
    aside: tuple[str, ...]
    measures: int
    pictures: int

    def deviations(self) -> tuple[float, tuple[tuple[tuple[str, float, float], ...], ...]]:
        """The covariance as deviations: each mark's own [m], and of each what it shares.

        Returns
        -------
        own : float
            The same for each mark, each way. [m]
        shared : tuple of tuple
            For each mark causes, and how far one standard deviation of them moves it along and
            up. [m]
        """
        values, ways = np.linalg.eigh(self.covariance)
        own = max(float(values[0]), 0.0)
        rest = np.sqrt(np.maximum(values - own, 0.0))
        count = len(self.names)
        keep = rest > _NOTHING * math.sqrt(max(own, 1e-12))
        moves = (ways[:, keep] * rest[keep]).reshape(count, 2, -1)
        return math.sqrt(own), tuple(
            tuple(
                (f"adjustment {k + 1}", float(moves[mark, 0, k]), float(moves[mark, 1, k]))
                for k in range(moves.shape[2])
            )
            for mark in range(count)
        )


def known_marks(
    names: Sequence[str],
    marks: Sequence[PlacedMark],
    pictures: Sequence[PictureSeen],
    measures: Sequence[Measure],
    *,
    scale_sigma: float,
    in_space: InSpace | None = None,
) -> KnownMarks | None:
    """Where marks are by all other readings; None where these say nothing of them.

    Parameters
    ----------
    names : sequence of str
        Of the marks that are asked for.
    marks : sequence of PlacedMark
        Each name once.
    pictures : sequence of PictureSeen
        Of other set-ups: the one that is to be squared would count twice.
    measures : sequence of Measure
        Check measurements.
    scale_sigma : float
        Standard deviation of the tape's scale; above 0. [-]
    in_space : callable or None
        None: the wall is flat.

    Notes
    -----
    The tape's scale moves all marks of a picture together; as in squaring, how well it is known
    is left out of the covariance (Schur complement), while the places have it in. Where readings
    scatter more than they should, the covariance is widened by as much.
    """

    def adjust(aside: Sequence[Source]) -> Joint | None:
        return joined(
            marks, pictures, measures, scale_sigma=scale_sigma, in_space=in_space, without=aside
        )

    found = sifted(adjust)
    if found is None:
        return None
    joint = found.joint
    kept = tuple(name for name in names if name in joint.equations.mark_of)
    if not kept:
        return None
    rows = np.array(
        [2 * joint.equations.mark_of[name] + axis for name in kept for axis in (0, 1)], np.intp
    )
    scale = joint.equations.scale_column
    with_scale = joint.covariance[rows, scale]
    spread = joint.covariance[np.ix_(rows, rows)] - np.outer(with_scale, with_scale) / float(
        joint.covariance[scale, scale]
    )
    if joint.freedom and float(chi2.sf(joint.misfit, joint.freedom)) < _BELIEVED:
        spread = spread * (joint.misfit / joint.freedom)
    set_at = {mark.name: (mark.chainage, mark.level) for mark in marks}
    places = np.array([joint.place(name) for name in kept])
    wrong = {one.source.name for one in found.named if one.source.kind == SourceKind.SET}
    return KnownMarks(
        names=kept,
        places=readonly(places),
        moved=readonly(places - np.array([set_at[name] for name in kept])),
        covariance=readonly((spread + spread.T) / 2),
        aside=tuple(name for name in kept if name in wrong),
        measures=len(joint.equations.measures),
        pictures=len(joint.equations.pictures),
    )


def known_marks_findings(known: KnownMarks, subject: str) -> tuple[Finding, ...]:
    """That a picture is squared on marks elsewhere than the job has them, where it matters.

    Parameters
    ----------
    known : KnownMarks
    subject : str
        The set-up.
    """
    far = np.hypot(*known.moved.T)
    worst = int(np.argmax(far))
    if far[worst] < _TOLD:
        return ()
    wrong = ""
    if known.aside:
        wrong = f" Set wrong by the other readings: {', '.join(known.aside)}."
    return (
        Finding(
            code="closing.marks_adjusted",
            severity=Severity.NOTE,
            subject=subject,
            message=f"Squared on its marks as {number_of(known.measures, 'check measurement')} and "
            f"{number_of(known.pictures, 'picture of another set-up', 'pictures of other set-ups')}"
            f" {'adjusts' if known.measures + known.pictures == 1 else 'adjust'} them; the "
            f"farthest, {known.names[worst]}, stands "
            f"{_aside(*known.moved[worst].tolist())} where the job has it.{wrong}",
            remedy="Nothing to do: crosses of the squared picture fall on the chalk as it stands, "
            "lines where the design has them. See the adjustment with: giornata close",
        ),
    )


def _aside(along: float, up: float) -> str:
    """Which way a mark is moved; a way in which it is not, to the millimetre, is not named."""
    ways = (
        (along, "right of" if along > 0 else "left of"),
        (up, "above" if up > 0 else "below"),
    )
    named = [f"{1000 * abs(by):.0f} mm {way}" for by, way in ways if round(1000 * abs(by))]
    return " and ".join(named)
