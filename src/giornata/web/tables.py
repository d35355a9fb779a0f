"""Tables of the job's page: figures of the wall, the works, the price, the set-ups."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from giornata.core.documents import put_on
from giornata.core.foundation import Figure, System, shown_column, shown_place
from giornata.core.job import Design, JobResults, Scheme
from giornata.web.explaining import figure_cell
from giornata.web.records import Cell, Column, Grid, Row

__all__ = ["Sheet", "paints_grid", "price_grid", "schemes_grid", "set_ups_grids", "wall_grid",
           "works_grid"]  # fmt: skip

_LISTED = (Column(head="figure", number=False), Column(head="value"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """What every table is made from.

    Parameters
    ----------
    results : JobResults
        Of the job.
    figures : mapping of str to Figure
        By dotted name.
    design, scheme
        The option that is shown, and it in its colourway.
    system : System
        The reader's units.
    """

    results: JobResults
    figures: Mapping[str, Figure]
    design: Design
    scheme: Scheme
    system: System

    def listed(self, entries: Iterable[tuple[str, str]]) -> tuple[Row, ...]:
        """Rows of name and value, for the figures that the job has."""
        return tuple(
            Row(cells=(Cell(text=label), figure_cell(self.figures, name, self.system)))
            for label, name in entries
            if name in self.figures
        )

    def column(self, names: Sequence[str], unit: str) -> tuple[str, list[Cell]]:
        """Unit for the head of a column, and its entries, all in that unit.

        Parameters
        ----------
        names : sequence of str
            Dotted names of the figures; "" for an empty entry.
        unit : str
            SI unit of the figures, or a currency.
        """
        values = [self.figures[n].value if n in self.figures else None for n in names]
        head, texts = shown_column(values, unit, self.system)
        cells = [
            figure_cell(self.figures, name, self.system, text) if text else Cell(text="–")
            for name, text in zip(names, texts, strict=True)
        ]
        return head, cells


def wall_grid(sheet: Sheet) -> Grid:
    """The wall as surveyed."""
    return Grid(
        key="wall",
        title="Wall",
        note=f"Datum: {sheet.results.wall.datum}",
        columns=_LISTED,
        listed=True,
        rows=sheet.listed(
            (
                ("Length", "wall.length"),
                ("Gross area", "wall.gross_area"),
                ("Openings", "wall.openings_area"),
                ("Net area", "wall.net_area"),
                ("Painted returns", "wall.returns_area"),
                ("Form factor", "wall.form_factor"),
                ("Surface to paint", "wall.painted_area"),
                ("Hidden by obstacles", "wall.hidden_area"),
            )
        ),
    )


def paints_grid(sheet: Sheet) -> Grid:
    """Paints of the design: area, edge to cut, paint needed."""
    option, scheme = sheet.scheme.option.key, sheet.scheme.key
    paints = sheet.results.inputs.paints
    area, areas = sheet.column([f"{option}.{p.key}.area" for p in paints], "m²")
    edge, edges = sheet.column([f"{option}.{p.key}.cut" for p in paints], "m")
    needs = [_need(sheet, scheme, paint.key) for paint in paints]
    volume, volumes = sheet.column(needs, "m³")
    coats = dict(sheet.scheme.row.coats)
    colours = sheet.scheme.colourway.colours
    return Grid(
        key="paints",
        title="Paints",
        note="In order of painting. Edge is what each paint cuts in; the ground's litres cover "
        "the whole net wall.",
        columns=(
            Column(head="paint", number=False),
            Column(head="area", unit=area),
            Column(head="edge", unit=edge),
            Column(head="coats"),
            Column(head="need", unit=volume),
        ),
        rows=tuple(
            Row(
                cells=(
                    Cell(text=f"{paint.number} {paint.name}"),
                    areas[at],
                    edges[at],
                    Cell(text=str(coats.get(paint.key, "–"))),
                    volumes[at],
                ),
                colour=colours.get(paint.key, ""),
            )
            for at, paint in enumerate(paints)
        ),
    )


def _need(sheet: Sheet, scheme: str, paint: str) -> str:
    return next(
        (
            name
            for layer in ("figure", "base")
            if (name := f"{scheme}.paint.{layer}.{paint}") in sheet.figures
        ),
        "",
    )


def works_grid(sheet: Sheet) -> Grid:
    """Edge, paint, hours, days of the scheme that is shown."""
    option, scheme = sheet.scheme.option.key, sheet.scheme.key
    return Grid(
        key="works",
        title="Works",
        note=f"{sheet.scheme.option.name}, {sheet.scheme.colourway.name}",
        columns=_LISTED,
        listed=True,
        rows=sheet.listed(
            (
                ("Ground", f"{option}.ground"),
                ("Figure", f"{option}.figure"),
                ("Edge, each once", f"{option}.edge"),
                ("Primer needed", f"{scheme}.paint.primer.primer"),
                ("Paint needed, with primer", f"{scheme}.paint"),
                ("Paint to buy", f"{scheme}.paint_cost"),
                ("Painting, all people", f"{scheme}.painting_hours"),
                ("Nights, all people", f"{option}.nights.person_time"),
                ("Hours in all", f"{scheme}.hours"),
                ("Dry days on the wall", f"{scheme}.days"),
                ("Days to book", f"{scheme}.booked_days"),
                ("Lift days", f"{scheme}.lift_days"),
            )
        ),
    )


def price_grid(sheet: Sheet) -> Grid:
    """The quote line by line."""
    scheme, quote = sheet.scheme.key, sheet.scheme.quote
    lines = [(line.name, f"{scheme}.line{n}") for n, line in enumerate(quote.lines, start=1)]
    return Grid(
        key="price",
        title="Price",
        note=f"Billed by {quote.basis}, in {quote.unit}",
        columns=_LISTED,
        listed=True,
        rows=sheet.listed(
            (
                *((name[:1].upper() + name[1:], key) for name, key in lines),
                ("Contingency", f"{scheme}.contingency"),
                ("Before tax", f"{scheme}.price"),
                ("Tax", f"{scheme}.tax"),
                ("Total", f"{scheme}.total"),
                ("For 1 m² of net wall", f"{scheme}.per_square_metre"),
                ("For 1 sq ft of net wall", f"{scheme}.per_square_foot"),
                ("For an hour of one person", f"{scheme}.per_hour"),
                ("Least price that loses nothing", f"{scheme}.least_price"),
            )
        ),
    )


def schemes_grid(sheet: Sheet, href: Callable[[str, str], str]) -> Grid:
    """Every option in every colourway, side by side.

    Parameters
    ----------
    href : callable
        Address of the page of an option and a colourway.
    """
    schemes = sheet.results.schemes
    currency = sheet.results.inputs.title.currency
    asked = (
        ("edge", "{option}.edge", "m"),
        ("paint", "{scheme}.paint", "m³"),
        ("hours", "{scheme}.hours", "s"),
        ("dry days", "{scheme}.days", "days"),
        ("lift days", "{scheme}.lift_days", "days"),
        ("total", "{scheme}.total", currency),
        ("for 1 m²", "{scheme}.per_square_metre", currency),
        ("for 1 sq ft", "{scheme}.per_square_foot", currency),
        ("for an hour", "{scheme}.per_hour", currency),
    )
    heads: list[Column] = []
    columns: list[list[Cell]] = []
    for head, pattern, unit in asked:
        names = [pattern.format(option=s.option.key, scheme=s.key) for s in schemes]
        if any(name in sheet.figures for name in names):
            printed, cells = sheet.column(names, unit)
            heads.append(Column(head=head, unit=printed))
            columns.append(cells)
    return Grid(
        key="schemes",
        title="Options and colourways",
        note="Prices before tax but for the total. The name of a row shows that scheme.",
        columns=(Column(head="scheme", number=False), *heads),
        rows=tuple(
            Row(
                cells=(
                    Cell(text=f"{scheme.option.key} {scheme.option.name}, {scheme.colourway.name}"),
                    *(column[at] for column in columns),
                ),
                href=href(scheme.option.key, scheme.colourway.key),
                current=scheme.key == sheet.scheme.key,
            )
            for at, scheme in enumerate(schemes)
        ),
    )


def set_ups_grids(sheet: Sheet) -> tuple[Grid, Grid]:
    """The plan of set-ups in sum, and each of them."""
    results, option = sheet.results, sheet.scheme.option.key
    plan = results.set_ups
    summed = Grid(
        key="set_up_plan",
        title="Set-ups",
        note=f"{results.inputs.projector.name}, {plan.orientation}, "
        f"{results.inputs.projector.mode} mode",
        columns=_LISTED,
        listed=True,
        rows=sheet.listed(
            (
                *(
                    (figure.name[:1].upper() + figure.name[1:],
                     f"set_ups.{figure.name.replace(' ', '_')}")
                    for figure in plan.figures
                ),
                ("Nights by the clock", f"{option}.nights.duration"),
                ("Energy of the longest night", "power.energy"),
                ("Batteries last", "power.battery_time"),
            )
        ),
        none="No set-up can be planned; the findings say why.",
    )  # fmt: skip
    edge, edges = sheet.column([f"{option}.set_up{s.number}.edge" for s in plan.set_ups], "m")
    ratios = [one.light.ratio for one in plan.set_ups]
    ratio, ratio_texts = shown_column(ratios, "-", sheet.system, digits=1)
    place, ways = sheet.system, put_on(results)
    some = any(way.other_ways for way in ways.values())
    each = Grid(
        key="set_ups",
        title="Each set-up",
        note="Image to ambient light is a ratio; a row's button shows its image on the wall.",
        columns=(
            Column(head="set-up", number=False),
            Column(head="centre at"),
            Column(head="lens off the wall"),
            Column(head="lens above ground"),
            Column(head="image to ambient", unit=ratio),
            Column(head="light", number=False),
            Column(head="edge to trace", unit=edge),
            *((Column(head="put on", number=False),) if some else ()),
        ),
        rows=tuple(
            Row(
                cells=(
                    Cell(text=f"Set-up {one.number}"),
                    Cell(text=shown_place(one.centre, place, digits=2)),
                    Cell(text=shown_place(one.distance, place, digits=2)),
                    Cell(text=shown_place(one.lens_height, place, digits=2)),
                    Cell(text=ratio_texts[at]),
                    Cell(text="enough" if one.light.passes else "too little"),
                    edges[at],
                    *((Cell(text=ways[one.number].words),) if some else ()),
                ),
                boxes=((one.start, one.foot, one.end, one.head),),
            )
            for at, one in enumerate(plan.set_ups)
        ),
        none="None is planned.",
    )
    return summed, each
