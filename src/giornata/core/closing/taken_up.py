"""What is left over, taken up by empty ground between the fronts, along the wall and upwards."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from giornata.core.artwork import Paint
from giornata.core.closing.joins import RowJoin
from giornata.core.foundation import Finding, Floats
from giornata.core.geometry import Coverage, RowShift, shifted_in_rows
from giornata.core.setting_out import Anchor, ArtworkFit, FitTerms, fitted

__all__ = ["RowTaken", "ShapesMoved", "TakenUp", "taken_up"]

_ACROSS = 0.001  # m that a shape reaches into both rows to be one of both


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapesMoved:
    """Shapes of a row that share a stretch of wall and move as one.

    Parameters
    ----------
    start, end : float
        Chainages before the move. [m]
    along, up : float
        Above 0 to the right and upwards. [m]
    shapes : int
        [-]
    held : bool
        Whether a front of the row says where they go: it has drawn a part of them.
    """

    start: float
    end: float
    along: float
    up: float
    shapes: int
    held: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RowTaken:
    """A row's stretch brought to both of its fronts.

    Parameters
    ----------
    join : RowJoin
        The fronts.
    moves : tuple of ShapesMoved or None
        In order along the wall; None where the ground between has no room.
    knots : ndarray, shape (k, 3)
        Chainages between the fronts, with how far everything there moves right and up; straight
        between, and beyond as at the fronts. [m]
    """

    join: RowJoin
    moves: tuple[ShapesMoved, ...] | None
    knots: Floats

    def at(self, chainage: float) -> tuple[float, float]:
        """How far the design is moved at a chainage, right and up. [m]

        Parameters
        ----------
        chainage : float
            [m]
        """
        x, along, up = self.knots.T
        return float(np.interp(chainage, x, along)), float(np.interp(chainage, x, up))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TakenUp:
    """The design of the set-ups still to come, brought to where the fronts are.

    Parameters
    ----------
    rows : tuple of RowTaken
        From the lowest up.
    coverage : geometry.Coverage
        The design as it is to be drawn from here on; as it was where a row has no room.
    parted : float
        By how much shapes that reach into two rows are parted at a front that is drawn. [m]
    findings : tuple of Finding
        Of the fit.
    """

    rows: tuple[RowTaken, ...]
    coverage: Coverage
    parted: float
    findings: tuple[Finding, ...]

    @property
    def possible(self) -> bool:
        """Whether every row has room."""
        return all(row.moves is not None for row in self.rows)

    def shifts(self, start: float, end: float, row: int) -> tuple[tuple[float, float, float], ...]:
        """Chainages from start to end, each with how far the design is moved right and up. [m]

        Parameters
        ----------
        start, end : float
            Chainages; it ends after it starts. [m]
        row : int
            Of the set-up. [-]
        """
        own = next((one for one in self.rows if one.join.row == row), None)
        if own is None or not self.possible:
            return ()
        wanted = [start, *(x for x in own.knots[:, 0].tolist() if start < x < end), end]
        return tuple((x, *own.at(x)) for x in wanted)


def taken_up(
    coverage: Coverage,
    joins: Sequence[RowJoin],
    terms: FitTerms,
    paints: Sequence[Paint],
    *,
    ground: int,
) -> TakenUp:
    """The design between the fronts, each shape whole, the difference taken by empty ground alone.

    Parameters
    ----------
    coverage : geometry.Coverage
        The artwork on the wall, by paint number. [m]
    joins : sequence of RowJoin
        At least one; from the lowest row up.
    terms : FitTerms
        What may give.
    ground : int
        Number of the ground paint. [-]

    Notes
    -----
    Along the wall by the fit of the setting out, row by row. Upwards, shapes that share a stretch
    of wall move as one, and from one to the next the lift changes in proportion to the ground
    between them, which is the least sum of squared changes over the widths. Shapes that reach
    into several rows move alike in all of them: as the rows would move them on average, or as a
    row that has drawn them did.
    """
    bands = [paint.number for paint in paints if paint.key in terms.bands]
    shape = (coverage.labels != ground) & ~np.isin(coverage.labels, bands)
    bounds = shapely.bounds(coverage.faces)
    findings: list[Finding] = []

    def fit_of(join: RowJoin, held: Sequence[_Held]) -> ArtworkFit | None:
        beside = bounds[:, 3] > join.low + _ACROSS, bounds[:, 1] < join.top - _ACROSS
        own = (coverage.labels != ground) & beside[0] & beside[1]
        part = Coverage(faces=coverage.faces[own], labels=coverage.labels[own],
                        edges=coverage.edges[:0], left=coverage.left[:0],
                        right=coverage.right[:0])  # fmt: skip
        anchors = [
            Anchor(name=f"{side} front", at=one.chainage, to=one.chainage + one.along)
            for side, one in (("left", join.left), ("right", join.right))
        ]
        anchors += [Anchor(name="shape of two rows", at=h.at, to=h.at + h.along) for h in held]
        _, fit, said = fitted(part, terms, anchors, paints, ground=ground)
        findings.extend(one for one in said if one not in findings)
        return fit

    free = [_row(join, fit_of(join, ()), ()) for join in joins]
    groups = _across(bounds[shape], joins, free)
    rows, parted = free, 0.0
    if groups and all(one.moves is not None for one in free):
        held, parted = _held(groups, free)
        findings.clear()
        rows = [_row(join, fit_of(join, own), own) for join, own in zip(joins, held, strict=True)]
    made = TakenUp(rows=tuple(rows), coverage=coverage, parted=parted, findings=tuple(findings))
    if not made.possible:
        return made
    moved = shifted_in_rows(
        coverage,
        [
            RowShift(top=one.join.top, knots=one.knots[:, 0], shifts=one.knots[:, 1],
                     lifts=one.knots[:, 2])
            for one in rows
        ],
    )  # fmt: skip
    return TakenUp(rows=made.rows, coverage=moved, parted=parted, findings=made.findings)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Held:
    """A place of a shape of two rows, and how far it goes."""

    at: float
    along: float
    up: float


def _row(join: RowJoin, fit: ArtworkFit | None, held: Sequence[_Held]) -> RowTaken:
    left, right = join.left, join.right
    none = RowTaken(join=join, moves=None, knots=np.zeros((1, 3)))
    if fit is None:
        return none
    lines = [(left.chainage, left.chainage, left.along, 0), *(
        (max(one.start, left.chainage), min(one.end, right.chainage), one.shift, one.shapes)
        for one in fit.moves
        if one.end > left.chainage and one.start < right.chainage
    ), (right.chainage, right.chainage, right.along, 0)]  # fmt: skip
    fronts = (left.chainage, left.up), (right.chainage, right.up)
    at_fronts, across = (
        {
            number: up
            for at, up in places
            for number, (start, end, _, _) in enumerate(lines)
            if start <= at <= end
        }
        for places in (fronts, [(one.at, one.up) for one in held])
    )
    fixed = at_fronts | across
    starts, ends = (np.array([line[k] for line in lines]) for k in (0, 1))
    through = np.append(0.0, np.cumsum(np.maximum(starts[1:] - ends[:-1], 0.0)))
    known = sorted(fixed)
    for a, b in itertools.pairwise(known):
        if through[b] <= through[a] and abs(fixed[a] - fixed[b]) > _ACROSS:
            return none
    ups = np.interp(through, through[known], [fixed[k] for k in known])
    ups[known] = [fixed[k] for k in known]
    moves = tuple(
        ShapesMoved(start=start, end=end, along=along, up=float(up), shapes=count,
                    held=number in at_fronts)
        for number, ((start, end, along, count), up) in enumerate(zip(lines, ups, strict=True))
        if count
    )  # fmt: skip
    knots = {
        x: (along, float(up))
        for (start, end, along, _), up in zip(lines, ups, strict=True)
        for x in (start, end)
    }
    table = np.array([(x, *knots[x]) for x in sorted(knots)])
    return RowTaken(join=join, moves=moves, knots=table)


def _across(
    bounds: Floats, joins: Sequence[RowJoin], rows: Sequence[RowTaken]
) -> list[list[tuple[float, float]]]:
    """Shapes that reach into several rows, from and to; in one list those that must move alike."""
    into = np.array([
        (bounds[:, 1] < join.top - _ACROSS) & (bounds[:, 3] > join.low + _ACROSS) for join in joins
    ])  # fmt: skip
    shapes = [(float(a), float(b)) for a, b in bounds[into.sum(axis=0) > 1][:, [0, 2]]]
    groups = [[one] for one in sorted(shapes)]
    for row in rows:
        for move in row.moves or ():
            hit = [g for g in groups if any(a <= move.end and b >= move.start for a, b in g)]
            if len(hit) > 1:
                groups = [g for g in groups if g not in hit] + [[one for g in hit for one in g]]
    return groups


def _held(
    groups: Sequence[Sequence[tuple[float, float]]], rows: Sequence[RowTaken]
) -> tuple[list[list[_Held]], float]:
    """For each row where shapes of several rows go, and by how much the worst are parted."""
    held: list[list[_Held]] = [[] for _ in rows]
    parted = 0.0
    for group in groups:
        middle = (group[0][0] + group[-1][1]) / 2
        drawn, wanted, open_ = [], [], []
        for number, row in enumerate(rows):
            ends = row.join.left.chainage, row.join.right.chainage
            blocks = [(m.start, m.end) for m in row.moves or ()
                      if any(a <= m.end and b >= m.start for a, b in group)]  # fmt: skip
            stuck = [x for x in ends if any(a <= x <= b for a, b in (*group, *blocks))]
            if stuck or not ends[0] < middle < ends[1]:
                drawn.append(row.at(stuck[0] if stuck else middle))
            else:
                wanted.append(row.at(middle))
                open_.append(number)
        along, up = np.mean(drawn or wanted, axis=0).tolist()
        if len(drawn) > 1:
            parted = max(parted, float(np.hypot(*np.ptp(drawn, axis=0))))
        for number in open_:
            held[number] += [_Held(at=(a + b) / 2, along=along, up=up) for a, b in group]
    return held, parted
