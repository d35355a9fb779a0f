"""Fitting: the artwork brought to the wall's length, the difference taken by empty ground alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from giornata.core import geometry
from giornata.core.artwork import Paint
from giornata.core.foundation import Assumption, Finding, Floats
from giornata.core.geometry import Coverage, Labels
from giornata.core.setting_out.fit_findings import fit_findings
from giornata.core.setting_out.fit_records import Anchor, ArtworkFit, GapChange, Move, Span
from giornata.core.setting_out.gap_fit import fit_gaps
from giornata.core.setting_out.placement import FitTerms

__all__ = ["fitted"]

BAND = Assumption(
    name="length of a band over its mean height",
    value=10.0,
    unit="-",
    source="house default, no source: a figure is seldom ten times as long as it is high",
    usual=(5.0, 20.0),
)
_TOUCH = 0.0005  # m: anchors that ask for moves so near one another agree


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Blocks:
    """Stretches of wall that rigid shapes or anchors take, and the moves anchors ask of them.

    ``fixed`` are the stretches with an anchor, ``shift`` its move, ``spread`` by how much the
    anchors of that stretch disagree.
    """

    start: Floats
    end: Floats
    shapes: Labels
    fixed: NDArray[np.intp]
    shift: Floats
    spread: Floats


def fitted(
    whole: Coverage,
    terms: FitTerms,
    anchors: Sequence[Anchor],
    paints: Sequence[Paint],
    *,
    ground: int,
) -> tuple[Coverage, ArtworkFit | None, tuple[Finding, ...]]:
    """The artwork with its anchors where they belong; None and as it was where that cannot be.

    Parameters
    ----------
    whole : geometry.Coverage
        The artwork in the wall frame, not yet cut to the wall.
    terms : FitTerms
        What may give.
    anchors : sequence of Anchor
        At least one.
    ground : int
        Number of the ground paint, whose regions are no shapes. [-]

    Raises
    ------
    ValueError
        If there is no anchor.

    Notes
    -----
    Shapes that share a chainage, at whatever levels, move as one. Only along the wall: nothing
    moves up or down.
    """
    if not anchors:
        raise ValueError("a fit has an anchor")
    figure = whole.labels != ground
    band = figure & _bands(whole, terms, paints)
    rigid = figure & ~band
    blocks = _blocks(whole, rigid, anchors)
    spans, changes, residual = _spans(blocks, terms.least_gap)
    if not all(span.possible for span in spans):
        return whole, None, fit_findings(None, spans, whole, rigid, paints)
    shift = np.empty(len(blocks.start))
    shift[: blocks.fixed[0]] = blocks.shift[0]
    shift[blocks.fixed[-1] :] = blocks.shift[-1]
    first, last = blocks.fixed[0], blocks.fixed[-1]
    shift[first : last + 1] = blocks.shift[0] + np.append(0.0, np.cumsum(changes))
    shift[blocks.fixed] = blocks.shift
    knots = np.stack([blocks.start, blocks.end], axis=1).ravel()
    moved = np.repeat(shift, 2)
    single = np.append(True, np.diff(knots) > 0)
    made = geometry.stretched(whole, knots[single], moved[single])
    grown = shapely.area(made.faces[band]).sum() - shapely.area(whole.faces[band]).sum()
    anchored = np.isin(np.arange(len(shift)), blocks.fixed)
    fit = ArtworkFit(
        moves=tuple(
            Move(start=a, end=b, shift=t, shapes=n, anchored=held)
            for a, b, t, n, held in zip(
                blocks.start.tolist(), blocks.end.tolist(), shift.tolist(),
                blocks.shapes.tolist(), anchored.tolist(), strict=True,
            )
            if n
        ),
        gaps=tuple(
            GapChange(start=a, end=b, change=d)
            for a, b, d in zip(
                blocks.end[:-1].tolist(), blocks.start[1:].tolist(), np.diff(shift).tolist(),
                strict=True,
            )
        ),
        bands=tuple(np.unique(whole.labels[band]).tolist()),
        stretched=float(grown),
        residual=residual,
    )  # fmt: skip
    return made, fit, fit_findings(fit, spans, whole, rigid, paints)


def _bands(whole: Coverage, terms: FitTerms, paints: Sequence[Paint]) -> NDArray[np.bool_]:
    """Which faces are bands that may be stretched."""
    numbers = [paint.number for paint in paints if paint.key in terms.bands]
    listed = np.isin(whole.labels, numbers)
    bounds = shapely.bounds(whole.faces)
    length = bounds[:, 2] - bounds[:, 0]
    if terms.band_length is not None:
        return np.asarray(listed & (length >= terms.band_length))
    return np.asarray(listed & (length**2 >= BAND.value * shapely.area(whole.faces)))


def _blocks(whole: Coverage, rigid: NDArray[np.bool_], anchors: Sequence[Anchor]) -> _Blocks:
    bounds = shapely.bounds(whole.faces[rigid])
    places = np.array([anchor.at for anchor in anchors])
    start = np.concatenate([bounds[:, 0], places])
    end = np.concatenate([bounds[:, 2], places])
    order = np.lexsort((end, start))
    reach = np.maximum.accumulate(end[order])
    opens = np.append(True, start[order][1:] > reach[:-1])
    block = np.empty(len(order), dtype=np.intp)
    block[order] = np.cumsum(opens) - 1
    firsts = np.flatnonzero(opens)
    holds = block[len(bounds) :]
    asked = np.array([anchor.to - anchor.at for anchor in anchors])
    fixed = np.unique(holds)
    each = [asked[holds == k] for k in fixed]
    return _Blocks(
        start=start[order][firsts],
        end=np.append(reach[firsts[1:] - 1], reach[-1]),
        shapes=np.bincount(block[: len(bounds)], minlength=len(firsts)).astype(np.intp),
        fixed=fixed,
        shift=np.array([moves[0] for moves in each]),
        spread=np.array([moves[-1] - moves[0] for moves in each]),
    )


def _spans(blocks: _Blocks, least: float) -> tuple[tuple[Span, ...], Floats, float]:
    """What each span between anchors asks, the changes of the gaps, and the residual."""
    spans = [
        Span(start=float(blocks.start[k]), end=float(blocks.end[k]), wanted=float(wanted),
             room=0.0, gaps=0, possible=False)
        for k, wanted in zip(blocks.fixed, blocks.spread, strict=True)
        if abs(wanted) > _TOUCH
    ]  # fmt: skip
    gaps = blocks.start[1:] - blocks.end[:-1]
    inside = gaps[blocks.fixed[0] : blocks.fixed[-1]]
    if not len(inside):
        return tuple(spans), inside, 0.0
    first = blocks.fixed[:-1] - blocks.fixed[0]
    wanted = np.diff(blocks.shift)
    fit = fit_gaps(inside, least, first, wanted)
    room = np.add.reduceat(np.maximum(inside - least, 0.0), first)
    count = np.diff(blocks.fixed)
    spans += [
        Span(start=float(blocks.start[a]), end=float(blocks.end[b]), wanted=float(w),
             room=float(r), gaps=int(n), possible=bool(ok))
        for a, b, w, r, n, ok in zip(
            blocks.fixed[:-1], blocks.fixed[1:], wanted, room, count, fit.possible, strict=True
        )
    ]  # fmt: skip
    return tuple(sorted(spans, key=lambda span: span.start)), fit.changes, fit.residual
