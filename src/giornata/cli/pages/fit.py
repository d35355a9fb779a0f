"""What a fit to the wall moved, and the gaps that took it."""

from __future__ import annotations

from giornata.cli.report import Column, Table
from giornata.core.setting_out import ArtworkFit

__all__ = ["fit_sections"]

_MOST = 12  # rows shown unless all are asked for


def fit_sections(fit: ArtworkFit | None) -> tuple[Table, ...]:
    """Moves of shapes and changes of gaps; nothing where nothing was fitted."""
    if fit is None:
        return ()
    moves = Table(
        key="moves",
        title="Shapes moved along the wall as one, the farthest first",
        columns=(
            Column(key="from", head="from", unit="m", digits=3, taped=True),
            Column(key="to", head="to", unit="m", digits=3, taped=True),
            Column(key="shapes", head="shapes"),
            Column(key="shift", head="moved", unit="m", digits=3),
            Column(key="held", head="held by"),
        ),
        rows=tuple(
            (one.start, one.end, one.shapes, one.shift, "an anchor" if one.anchored else "")
            for one in sorted(fit.moves, key=lambda one: -abs(one.shift))
        ),
        most=_MOST,
        none="None.",
    )
    gaps = Table(
        key="gaps",
        title="Strips of ground that took the difference, the most first",
        columns=(
            Column(key="from", head="from", unit="m", digits=3, taped=True),
            Column(key="to", head="to", unit="m", digits=3, taped=True),
            Column(key="before", head="wide", unit="m", digits=3),
            Column(key="change", head="change", unit="m", digits=3),
            Column(key="after", head="then", unit="m", digits=3),
        ),
        rows=tuple(
            (one.start, one.end, one.end - one.start, one.change,
             one.end - one.start + one.change)
            for one in sorted(fit.gaps, key=lambda one: -abs(one.change))
        ),
        most=_MOST,
        none="None.",
    )  # fmt: skip
    return (moves, gaps)
