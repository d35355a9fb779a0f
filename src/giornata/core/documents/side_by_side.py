"""Options and colourways side by side, as tables for paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from giornata.core.documents.written import TextTable
from giornata.core.foundation import Figure, System, shown_column
from giornata.core.job import JobResults, Scheme

__all__ = ["side_by_side"]

_MOST = 6  # schemes in one table: as many as the page is wide
_NONE = "–"


def side_by_side(
    results: JobResults, system: System, *, for_painter: bool
) -> tuple[TextTable, ...]:
    """What each option takes in each colourway, and costs; for the painter, what it earns too."""
    schemes = results.schemes
    return tuple(
        _table(results, schemes[at : at + _MOST], system, for_painter=for_painter)
        for at in range(0, len(schemes), _MOST)
    )


class _Rows:
    """Rows in the making, one column a scheme."""

    def __init__(self, schemes: Sequence[Scheme], system: System) -> None:
        self._schemes = schemes
        self._system = system
        self.rows: list[tuple[str, ...]] = []
        self.strong: list[int] = []

    def heading(self, text: str) -> None:
        self.strong.append(len(self.rows))
        self.rows.append((text, *("" for _ in self._schemes)))

    def column(
        self, figures: Sequence[Figure | None], unit: str, digits: int | None = None
    ) -> tuple[str, tuple[str, ...]]:
        values = [None if figure is None else figure.value for figure in figures]
        name, texts = shown_column(values, unit, self._system, digits=digits)
        return name, tuple(text or _NONE for text in texts)

    def figures(
        self,
        name: str,
        take: Callable[[Scheme], Figure | None],
        unit: str,
        digits: int | None = None,
        *,
        strong: bool = False,
    ) -> None:
        """A row of figures; none where no scheme has one."""
        figures = [take(scheme) for scheme in self._schemes]
        if all(figure is None for figure in figures):
            return
        if strong:
            self.strong.append(len(self.rows))
        shown_unit, texts = self.column(figures, unit, digits)
        self.rows.append((f"{name} [{shown_unit}]", *texts))


def _table(
    results: JobResults, schemes: Sequence[Scheme], system: System, *, for_painter: bool
) -> TextTable:
    rows = _Rows(schemes, system)
    _areas(rows, results, schemes)
    rows.heading("Coats")
    primer = (str(scheme.row.primer_coats) for scheme in schemes)
    rows.rows.append(("Primer, whole wall", *primer))
    for paint in results.inputs.paints:
        counts = [dict(scheme.row.coats).get(paint.key, 0) for scheme in schemes]
        rows.rows.append((f"{paint.number} {paint.name}", *map(str, counts)))
    _work(rows, results.inputs.price.currency, for_painter=for_painter)
    _prices(rows, results.inputs.price.currency, for_painter=for_painter)
    return TextTable(
        heads=("", *(f"{s.option.key} {s.option.name}\n{s.colourway.name}" for s in schemes)),
        rows=tuple(rows.rows),
        right=tuple(range(1, len(schemes) + 1)),
        wide=tuple(range(1, len(schemes) + 1)),
        strong=tuple(rows.strong),
    )


def _areas(rows: _Rows, results: JobResults, schemes: Sequence[Scheme]) -> None:
    unit, whole = rows.column([results.wall.net_area for _ in schemes], "m²")
    rows.heading(f"Area of each paint [{unit}]")
    for paint in results.inputs.paints:
        _, texts = rows.column([dict(one.row.areas).get(paint.key) for one in schemes], "m²")
        rows.rows.append((f"{paint.number} {paint.name}", *texts))
    rows.rows.append(("Net wall, all of it base-coated", *whole))


def _work(rows: _Rows, currency: str, *, for_painter: bool) -> None:
    rows.heading("Work")
    rows.figures("Edge cut in", lambda s: s.row.edge, "m", 0)
    rows.figures("Paint", lambda s: s.row.volume, "m³")
    if for_painter:
        rows.figures("Cost of paint", lambda s: s.plan.order.cost, currency)
        rows.figures("Painting hours", lambda s: s.plan.labour.total, "s")
        rows.figures("Hours with nights", lambda s: s.row.hours, "s")
    rows.figures("Painting", lambda s: s.row.work_days, "days")
    rows.figures("To book, weather counted in", lambda s: s.row.booked_days, "days", 0)
    rows.figures("Lift on hire", lambda s: s.row.lift_days, "days", 0)


def _prices(rows: _Rows, currency: str, *, for_painter: bool) -> None:
    rows.heading("Price")
    rows.figures("Before tax", lambda s: s.row.price, currency)
    rows.figures("Total", lambda s: s.row.total, currency, strong=True)
    rows.figures("Before tax, a net m²", lambda s: s.row.per_square_metre, currency)
    rows.figures("Before tax, a net sq ft", lambda s: s.row.per_square_foot, currency)
    if not for_painter:
        return
    rows.figures("Before tax, an hour", lambda s: s.row.per_hour, currency, strong=True)
    rows.figures("Area charge, an hour", lambda s: s.row.area_charge_per_hour, currency)
    rows.figures("Price floor", lambda s: s.floor.floor if s.floor else None, currency)
    rows.figures("Over the floor", lambda s: s.floor.margin if s.floor else None, currency)
    rows.figures("Earned in an hour", lambda s: s.floor.earned_per_hour if s.floor else None,
                 currency)  # fmt: skip
