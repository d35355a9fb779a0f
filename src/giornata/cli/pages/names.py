"""Figures by their names, and where each comes from."""

from __future__ import annotations

from collections.abc import Mapping

from giornata.cli.report import Column, Explained, Report, Table
from giornata.core.foundation import Figure

__all__ = ["explanation_page", "names_page"]


def names_page(title: str, figures: Mapping[str, Figure]) -> Report:
    """Names of figures with their values."""
    table = Table(
        key="figures",
        title="",
        columns=(
            Column(key="name", head="name"),
            Column(key="figure", head="figure"),
            Column(key="value", head="value"),
        ),
        rows=tuple((name, figure.name, figure) for name, figure in figures.items()),
        none="None.",
    )
    return Report(title=title, sections=(table,), rooms=None)


def explanation_page(name: str, figure: Figure, depth: int) -> Report:
    """A figure, how it came about, and what from."""
    made = Explained(key="figure", figure=figure, depth=depth)
    return Report(title=name, sections=(made,), rooms=None)
