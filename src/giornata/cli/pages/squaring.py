"""How a set-up's picture stands on its marks."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.cli.report import Column, Report, Table
from giornata.core.job import JobResults
from giornata.core.projection import SetUp
from giornata.desk import MarksSeen

__all__ = ["square_page"]


def square_page(
    results: JobResults, one: SetUp, readings: Sequence[MarksSeen], *, history: bool = False
) -> Report:
    """Marks seen in a set-up's picture: the last reading of it, or all of them."""
    shown = readings if history else readings[-1:]
    marks = Table(
        key="marks",
        title="Marks seen, in the projector's own pixels",
        columns=(
            Column(key="event", head="event"),
            Column(key="at", head="when"),
            Column(key="means", head="how"),
            Column(key="mark", head="mark"),
            Column(key="x_px", head="x", unit="px", digits=1),
            Column(key="y_px", head="y", unit="px", digits=1),
            Column(key="px_sigma", head="known to", unit="px", digits=1),
        ),
        rows=tuple(
            (
                reading.event, reading.at.isoformat(sep=" ", timespec="minutes"),
                str(reading.means), mark.name, mark.x_px, mark.y_px, mark.px_sigma,
            )
            for reading in shown
            for mark in reading.marks
        ),
        none="None yet. Type where each cross fell: giornata square SET-UP --fell 'MARK RIGHT, UP'",
    )  # fmt: skip
    return Report(
        title=f"{results.inputs.title.name}: set-up {one.number}",
        sections=(marks,),
    )
