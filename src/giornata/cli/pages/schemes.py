"""Options side by side, and colourways with their contrasts."""

from __future__ import annotations

from giornata.cli.report import Cell, Column, Report, Table
from giornata.core import viewing
from giornata.core.artwork import Colourway
from giornata.core.colour import light_reflectance, srgb_from_hex
from giornata.core.job import Design, JobResults, Scheme

__all__ = ["colourways_page", "options_page"]


def options_page(results: JobResults) -> Report:
    """Every option in every colourway: what it takes, costs and earns."""
    currency = results.inputs.title.currency
    schemes = results.schemes
    return Report(
        title=f"{results.inputs.title.name}: options side by side",
        sections=(
            _work(results, schemes),
            _prices(schemes, currency),
            _areas(results),
            _coats(results),
        ),
        rooms=("pricing",),
    )


_SCHEME = (Column(key="option", head="option"), Column(key="colourway", head="colourway"))


def _named(scheme: Scheme) -> tuple[str, str]:
    return scheme.option.key, scheme.colourway.key


def _work(results: JobResults, schemes: tuple[Scheme, ...]) -> Table:
    chosen = (results.inputs.option, results.inputs.colourway)
    return Table(
        key="work",
        title="What each takes (* is the chosen one)",
        columns=(
            *_SCHEME,
            Column(key="chosen", head=""),
            Column(key="edge", head="edge", unit="m", digits=1),
            Column(key="paint", head="paint", unit="m³"),
            Column(key="hours", head="hours", unit="s"),
            Column(key="work_days", head="work", unit="days"),
            Column(key="calendar_days", head="calendar", unit="days"),
            Column(key="booked_days", head="to book", unit="days", digits=0),
            Column(key="lift_days", head="lift", unit="days", digits=0),
        ),
        rows=tuple(
            (
                *_named(s), "*" if _named(s) == chosen else "", s.row.edge, s.row.volume,
                s.row.hours, s.row.work_days, s.row.calendar_days, s.row.booked_days,
                s.row.lift_days,
            )
            for s in schemes
        ),
    )  # fmt: skip


def _prices(schemes: tuple[Scheme, ...], currency: str) -> Table:
    return Table(
        key="prices",
        title="What each costs and earns; prices before tax but the total",
        columns=(
            *_SCHEME,
            Column(key="price", head="price", unit=currency),
            Column(key="total", head="total", unit=currency),
            Column(key="per_square_metre", head="a net m²", unit=currency),
            Column(key="per_square_foot", head="a net sq ft", unit=currency),
            Column(key="per_hour", head="an hour", unit=currency),
        ),
        rows=tuple(
            (
                *_named(s), s.row.price, s.row.total, s.row.per_square_metre,
                s.row.per_square_foot, s.row.per_hour,
            )
            for s in schemes
        ),
    )  # fmt: skip


def _areas(results: JobResults) -> Table:
    designs = results.designs
    rows: list[tuple[Cell, ...]] = [
        (paint.name, *(design.take_off.paint(paint.number).area for design in designs))
        for paint in results.inputs.paints
    ]
    return Table(
        key="areas",
        title="Area of each paint, the same in all colourways",
        columns=(
            Column(key="paint", head="paint"),
            *(
                Column(key=f"option_{d.option.key}", head=f"option {d.option.key}", unit="m²")
                for d in designs
            ),
        ),
        rows=tuple(rows),
        total=("net wall", *(design.take_off.net_area for design in designs)),
    )


def _coats(results: JobResults) -> Table:
    of_option = [s for s in results.schemes if s.option.key == results.inputs.option]
    coats = [dict(scheme.row.coats) for scheme in of_option]
    return Table(
        key="coats",
        title=f"Coats of each paint in option {results.inputs.option}, over primer; the ground's "
        "are the base coats",
        columns=(
            Column(key="paint", head="paint"),
            *(Column(key=f"colourway_{s.colourway.key}", head=s.colourway.name) for s in of_option),
        ),
        rows=tuple(
            (paint.name, *(counts.get(paint.key, 0) for counts in coats))
            for paint in results.inputs.paints
        ),
    )


def colourways_page(
    results: JobResults, design: Design, colourways: tuple[Colourway, ...]
) -> Report:
    """Colours of each colourway with their light reflectance, and how paints that touch part."""
    return Report(
        title=f"{results.inputs.title.name}, option {design.option.key}: colourways",
        sections=tuple(
            table
            for colourway in colourways
            for table in (
                _colours(results, design, colourway),
                _contrasts(results, design, colourway),
            )
        ),
        rooms=("viewing",),
    )


def _colours(results: JobResults, design: Design, colourway: Colourway) -> Table:
    coats = dict(results.scheme_of(design.option.key, colourway.key).row.coats)
    return Table(
        key=f"colours_{colourway.key}",
        title=f"{colourway.name} ({colourway.key})",
        columns=(
            Column(key="number", head="no."),
            Column(key="paint", head="paint"),
            Column(key="colour", head="colour", swatch=True),
            Column(key="coats", head="coats"),
            Column(key="reflectance", head="light\nreflectance", unit="-", digits=0),
        ),
        rows=tuple(
            (
                paint.number,
                paint.name,
                colourway.colours[paint.key],
                coats.get(paint.key, 0),
                float(light_reflectance(srgb_from_hex(colourway.colours[paint.key]))),
            )
            for paint in results.inputs.paints
        ),
    )


def _contrasts(results: JobResults, design: Design, colourway: Colourway) -> Table:
    edges = [(pair.first, pair.second, pair.length) for pair in design.take_off.pairs]
    return Table(
        key=f"contrasts_{colourway.key}",
        title=f"{colourway.name}: paints that touch, longest edge first",
        columns=(
            Column(key="first", head="paint"),
            Column(key="second", head="meets"),
            Column(key="edge", head="along", unit="m", digits=1),
            Column(key="points", head="points\napart", unit="-", digits=0),
            Column(key="limit", head="least", unit="-", digits=0),
            Column(key="verdict", head="verdict"),
        ),
        rows=tuple(
            (
                pair.first.name, pair.second.name, pair.edge, pair.contrast.difference,
                pair.contrast.limit, "clear" if pair.contrast.passes else "alike",
            )
            for pair in viewing.paint_contrasts(edges, results.inputs.paints, colourway)
        ),
        most=12,
        none="No two paints touch.",
    )  # fmt: skip
