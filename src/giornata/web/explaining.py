"""Explaining: a figure with its parts, one level at a time."""

from __future__ import annotations

from collections.abc import Mapping

from giornata.core.foundation import Basis, Figure, System, in_units, shown, shown_figure
from giornata.web.records import Cell, Explanation, Part

__all__ = ["MARKS", "explanation", "figure_cell"]

MARKS = {Basis.MEASURED: "↔", Basis.GIVEN: "»", Basis.ASSUMED: "≈", Basis.DERIVED: "="}


def figure_cell(figures: Mapping[str, Figure], name: str, system: System, text: str = "") -> Cell:
    """The entry of a figure; "–" where the job has none of that name.

    Parameters
    ----------
    text : str
        Printed instead of value and unit, where the unit stands in the column's head.
    """
    figure = figures.get(name)
    if figure is None:
        return Cell(text="–")
    return Cell(
        text=text or shown_figure(figure, system),
        figure=name,
        basis=str(figure.basis),
        mark=MARKS[figure.basis],
    )


def explanation(
    figures: Mapping[str, Figure], name: str, path: str, system: System
) -> Explanation | None:
    """A figure, or a part of it, with what it was made from; None where there is no such thing.

    Parameters
    ----------
    path : str
        Numbers of the parts from the figure down, from 0, with points between; "" for itself.
    """
    figure = figures.get(name)
    for step in path.split(".") if path else ():
        if figure is None or not step.isdigit() or int(step) >= len(figure.parts):
            return None
        figure = figure.parts[int(step)]
    if figure is None:
        return None
    return Explanation(
        figure=name,
        whole=_part(figure, path, system),
        method=figure.method,
        parts=tuple(
            _part(part, f"{path}.{at}" if path else str(at), system)
            for at, part in enumerate(figure.parts)
        ),
    )


def _part(figure: Figure, path: str, system: System) -> Part:
    return Part(
        name=figure.name,
        value=shown_figure(figure, system),
        basis=str(figure.basis),
        mark=MARKS[figure.basis],
        reason=_reason(figure, system),
        path=path,
        opens=bool(figure.parts),
        doubts=tuple(in_units(f"{one.message} {one.remedy}", system) for one in figure.findings),
    )


def _reason(figure: Figure, system: System) -> str:
    if figure.basis is Basis.DERIVED:
        return figure.formula
    if figure.usual is None:
        return figure.source
    low, high = (shown(value, figure.unit, system) for value in figure.usual)
    return f"{figure.source} (usual {low} to {high})"
