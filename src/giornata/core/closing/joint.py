"""All set-ups, marks and check measurements of a wall in one adjustment."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import chi2

from giornata.core.closing.equations import (
    Equations,
    InSpace,
    Source,
    SourceKind,
    Standing,
    System,
)
from giornata.core.closing.observed import Measure, PictureSeen, PlacedMark
from giornata.core.foundation import Floats
from giornata.core.geometry import SparseSquares, open_unknowns, sparse_least_squares
from giornata.core.projection import WallMap

__all__ = ["Joint", "joined"]

_SETTLED = 1e-7  # m: steps of marks smaller than this change nothing that is written down
_MOST_STEPS = 30
_HALVED = 8
# A mark that was set wrong is somewhere near all the same: so many times its stated deviation.
_SOMEWHERE = 250.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Joint:
    """One adjustment of everything.

    Parameters
    ----------
    equations : Equations
        What went in, but for what is left out.
    standing : Standing
        Marks, tape scale, maps and lines as adjusted.
    fit : SparseSquares
        The last step, with its residuals. [unit]
    covariance : ndarray, shape (u, u)
        Of the unknowns. [unit²]
    sources : tuple of Source
        Where each of its equations comes from.
    freedom : int
        Readings beyond those needed. [-]
    settled : bool
        Whether the steps came to rest.
    open_marks : tuple of str
        Marks that nothing fixes; they were left out.
    open_set_ups : tuple of int
        Set-ups of which too few marks are seen; they were left out. [-]
    """

    equations: Equations
    standing: Standing
    fit: SparseSquares
    covariance: Floats
    sources: tuple[Source, ...]
    freedom: int
    settled: bool
    open_marks: tuple[str, ...]
    open_set_ups: tuple[int, ...]

    @property
    def misfit(self) -> float:
        """Weighted sum of squares. [-]"""
        return self.fit.weighted_square

    @property
    def chance(self) -> float:
        """Chance that right readings misfit at least so much; 1 where nothing checks them. [-]"""
        return float(chi2.sf(self.misfit, self.freedom)) if self.freedom > 0 else 1.0

    @property
    def names(self) -> tuple[str, ...]:
        """Of the marks, in order."""
        return tuple(mark.name for mark in self.equations.marks)

    def place(self, name: str) -> Floats:
        """Chainage and level of a mark as adjusted, shape (2,). [m]"""
        found: Floats = self.standing.places[self.equations.mark_of[name]]
        return found

    def mark_covariance(self, name: str) -> Floats:
        """Covariance of a mark's chainage and level, shape (2, 2). [m²]"""
        first = 2 * self.equations.mark_of[name]
        found: Floats = self.covariance[first : first + 2, first : first + 2]
        return found

    @property
    def scale_sigma(self) -> float:
        """Standard deviation of the tape's scale. [-]"""
        column = self.equations.scale_column
        return float(np.sqrt(self.covariance[column, column]))

    @property
    def maps(self) -> Mapping[int, WallMap]:
        """Map of each set-up's picture, from the wall."""
        return {
            one.set_up: made
            for one, made in zip(self.equations.pictures, self.standing.maps, strict=True)
        }

    def light_moves(self, set_up: int, places: Floats) -> Floats:
        """Change of where a picture's light falls with all unknowns, shape (n, 2, u). [m]

        Parameters
        ----------
        set_up : int
            Its number. [-]
        places : ndarray, shape (n, 2)
            Chainage and level. [m]
        """
        number = [one.set_up for one in self.equations.pictures].index(set_up)
        by_wall, by_map = self.standing.maps[number].slopes(places)
        moves = np.zeros((len(places), 2, self.equations.unknowns))
        moves[:, :, self.equations.map_columns[number]] = np.linalg.solve(by_wall, by_map)
        return moves


def joined(
    marks: Sequence[PlacedMark],
    pictures: Sequence[PictureSeen],
    measures: Sequence[Measure],
    *,
    scale_sigma: float,
    in_space: InSpace | None = None,
    without: Sequence[Source] = (),
) -> Joint | None:
    """Everything adjusted together by least squares; None where nothing is left to adjust.

    Parameters
    ----------
    marks : sequence of PlacedMark
        Each name once.
    pictures : sequence of PictureSeen
        Each set-up once.
    measures : sequence of Measure
        Those on marks that are not there are passed over.
    scale_sigma : float
        Standard deviation of the tape's scale; above 0. [-]
    in_space : callable or None
        None: the wall is flat.
    without : sequence of Source
        Readings that are set aside. Of a mark or line it is still believed that it is near.

    Notes
    -----
    Steps of Gauss and Newton, halved where they do not lower the misfit. Unknown are two
    coordinates of each mark, each picture's map, where each of its lines is and one tape scale;
    readings are independent. What the readings leave open is left out and named.
    """
    aside = set(without)
    equations = Equations(marks, pictures, _known(measures, marks), scale_sigma=scale_sigma,
                          in_space=in_space)  # fmt: skip
    open_marks: list[str] = []
    open_set_ups: list[int] = []
    while equations.marks:
        open_ones = _left_open(equations, aside)
        if not any(open_ones):
            return _settled(equations, aside, open_marks, open_set_ups)
        lost = [
            one.set_up
            for one, own in zip(equations.pictures, equations.map_columns, strict=True)
            if any(open_ones[own])
        ]
        # A mark may be open only because the picture that sees it is.
        gone = [] if lost else [
            mark.name
            for number, mark in enumerate(equations.marks)
            if any(open_ones[2 * number : 2 * number + 2])
        ]  # fmt: skip
        open_set_ups += lost
        open_marks += gone
        kept = [mark for mark in equations.marks if mark.name not in gone]
        equations = Equations(
            kept,
            [one for one in equations.pictures if one.set_up not in lost],
            _known(equations.measures, kept),
            scale_sigma=scale_sigma,
            in_space=in_space,
        )
    return None


def _known(measures: Sequence[Measure], marks: Sequence[PlacedMark]) -> list[Measure]:
    names = {mark.name for mark in marks}
    return [one for one in measures if names.issuperset(one.marks)]


def _left_open(equations: Equations, aside: set[Source]) -> tuple[bool, ...]:
    system = _without(equations.system(equations.begun()), aside)
    fit = sparse_least_squares(system.design, system.missed, system.sigma)
    if fit is not None:
        return ()
    return open_unknowns(system.design, system.sigma)


def _without(system: System, aside: set[Source]) -> System:
    """The equations without readings set aside; a mark or line set wrong still stands near."""
    if not aside:
        return system
    as_set = (SourceKind.SET, SourceKind.LINE)
    near = np.array([s in aside and s.kind in as_set for s in system.sources])
    keep = near | np.array([source not in aside for source in system.sources])
    sources = [
        source._replace(kind=SourceKind.NEAR) if is_near else source
        for source, is_near in zip(system.sources, near.tolist(), strict=True)
    ]
    return System(
        design=system.design[keep],
        missed=system.missed[keep],
        sigma=np.where(near, _SOMEWHERE * system.sigma, system.sigma)[keep],
        sources=tuple(source for source, kept in zip(sources, keep, strict=True) if kept),
    )


def _settled(
    equations: Equations, aside: set[Source], open_marks: list[str], open_set_ups: list[int]
) -> Joint | None:
    standing, settled = equations.begun(), False
    system = _without(equations.system(standing), aside)
    fit = sparse_least_squares(system.design, system.missed, system.sigma)
    for _ in range(_MOST_STEPS):
        if fit is None:
            return None
        standing, after, size = _stepped(equations, standing, system, fit.values, aside)
        settled = size < _SETTLED or abs(system.misfit - after.misfit) <= 1e-9 * (1 + after.misfit)
        system = after
        fit = sparse_least_squares(system.design, system.missed, system.sigma)
        if settled:
            break
    if fit is None:
        return None
    covariance = fit.covariance()
    near = [row for row, one in enumerate(system.sources) if one.kind == SourceKind.NEAR]
    # What merely says that a mark is near checks nothing where others say where it is.
    idle = float(np.trace(fit.left_in(near, covariance))) if near else 0.0
    return Joint(
        equations=equations,
        standing=standing,
        fit=fit,
        covariance=covariance,
        sources=system.sources,
        freedom=fit.freedom - round(idle),
        settled=settled,
        open_marks=tuple(open_marks),
        open_set_ups=tuple(open_set_ups),
    )


def _stepped(
    equations: Equations, standing: Standing, before: System, step: Floats, aside: set[Source]
) -> tuple[Standing, System, float]:
    """Values after a step that does not raise the misfit, their equations, and its size. [m]"""
    for _ in range(_HALVED):
        tried = equations.moved(standing, step)
        with np.errstate(all="ignore"):
            after = _without(equations.system(tried), aside)
        if np.isfinite(after.missed).all() and after.misfit <= before.misfit * (1 + 1e-9) + 1e-9:
            return tried, after, float(np.abs(step[: equations.scale_column]).max())
        step = step / 2
    return standing, before, 0.0
