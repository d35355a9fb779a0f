"""The price in words and lines: what is billed, at which rates, and how each line comes about."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from giornata.core.documents.written import TextTable
from giornata.core.foundation import Figure, Money, System, shown
from giornata.core.job import Scheme
from giornata.core.pricing import (
    SIZE_CLAUSE,
    AreaUnit,
    BandMethod,
    LineKind,
    PriceBasis,
    PriceTerms,
    QuoteLine,
    all_bands,
)

__all__ = [
    "basis_words", "change_words", "percent", "price_lines", "rate_words", "stage_table",
]  # fmt: skip

_STEP = {AreaUnit.SQUARE_METRE: "0.01 m²", AreaUnit.SQUARE_FOOT: "0.1 sq ft"}


def percent(share: Decimal) -> str:
    """A share as a percentage.

    Examples
    --------
    >>> percent(Decimal("0.05"))
    '5 %'
    """
    return f"{(100 * share).normalize():f} %"


def basis_words(scheme: Scheme, net: Figure) -> str:
    """What is billed, in one or two sentences.

    Parameters
    ----------
    net : Figure
        Net wall area. [m²]
    """
    quoted = scheme.quote
    size = f"{quoted.billed_area.value:,} {quoted.unit}, to {_STEP[quoted.unit]}"
    whole = shown(float(net), "m²", System.METRIC), shown(float(net), "m²", System.US)
    said = {
        PriceBasis.NET_WALL: f"Billed on the net wall area, {size}; openings are left out. All of "
        "it is painted, the ground of the design as well as its shapes.",
        PriceBasis.GROSS_WALL: f"Billed on the gross wall area, {size}; openings are not taken "
        f"off. The net wall has {whole[0]} ({whole[1]}).",
        PriceBasis.FIGURE: f"Billed on the area of the painted shapes, {size}; the ground of the "
        f"design is not billed by its area. The net wall has {whole[0]} ({whole[1]}).",
        PriceBasis.SURFACE: f"Billed on the surface painted, {size}: the net wall with the form of "
        f"its face and the painted sides of piers. Flat, the net wall has {whole[0]} ({whole[1]}).",
    }
    return said[quoted.basis]


def rate_words(scheme: Scheme, terms: PriceTerms) -> str:
    """The rates for the area, in both units where there is only one."""
    rates, unit = scheme.quote.rates, scheme.quote.unit
    if not terms.bands:
        both = {
            AreaUnit.SQUARE_METRE: (rates.per_square_metre, rates.per_square_foot, "sq ft"),
            AreaUnit.SQUARE_FOOT: (rates.per_square_foot, rates.per_square_metre, "m²"),
        }
        billed, other, other_unit = both[unit]
        return (
            f"The rate is {billed} for one {unit}. That is {other} for one {other_unit}; only the "
            f"rate for one {unit} enters the price."
        )
    bands = all_bands(terms.rate, terms.bands)
    spans = "; ".join(
        f"{band.rate} for one {unit}" + (f" from {band.start:f} {unit} on" if band.start else "")
        for band in bands
    )
    how = {
        BandMethod.MARGINAL: "Each rate holds for the part of the area within its own span.",
        BandMethod.WHOLE: "The rate of the span that the area falls in holds for all of it.",
    }
    return f"The rates are {spans}. {how[terms.band_method]}"


def price_lines(scheme: Scheme, terms: PriceTerms) -> TextTable:
    """Lines, contingency, tax and total, each with how it comes about."""
    quoted = scheme.quote
    currency = quoted.total.unit
    rows = [
        (line.name, _reckoning(line, quoted.unit), _plain(line.amount)) for line in quoted.lines
    ]
    strong = []
    if terms.contingency:
        rows.append(("Subtotal", "", _plain(quoted.subtotal)))
        rows.append(
            ("Contingency", f"{percent(terms.contingency)} of the subtotal",
             _plain(quoted.contingency))
        )  # fmt: skip
    if terms.tax:
        rows.append(("Before tax", "", _plain(quoted.before_tax)))
        rows.append(("Tax", f"{percent(terms.tax)} of it", _plain(quoted.tax)))
    strong.append(len(rows))
    rows.append(("Total", "" if terms.tax else "no tax is added", _plain(quoted.total)))
    if quoted.design is not None:
        rows.append(("of which for the design", "", _plain(quoted.design)))
    return TextTable(
        heads=("Line", "How it comes about", currency),
        rows=tuple(rows),
        right=(2,),
        strong=tuple(strong),
        wide=(0, 1),
    )


def stage_table(scheme: Scheme) -> TextTable | None:
    """Stage payments, whose sum is the total; None where there are none."""
    stages = scheme.quote.stages
    if not stages:
        return None
    rows = [(one.name, percent(one.share), _plain(one.amount)) for one in stages]
    rows.append(("Together", percent(sum((s.share for s in stages), Decimal(0))),
                 _plain(scheme.quote.total)))  # fmt: skip
    return TextTable(
        heads=("When", "Share", scheme.quote.total.unit),
        rows=tuple(rows),
        right=(1, 2),
        strong=(len(rows) - 1,),
    )


def change_words(scheme: Scheme, terms: PriceTerms) -> tuple[str, ...]:
    """When a change order is due: the size of the wall, the design, what is found on the wall."""
    quoted = scheme.quote
    clause = SIZE_CLAUSE if terms.size_clause is None else terms.size_clause
    size = f"{quoted.billed_area.value:,} {quoted.unit}"
    return (
        (
            f"Size: if the billed area measures more than {percent(clause)} above or below "
            f"{size}, the whole difference is charged or credited at the rates above."
        ),
        (
            "Design: changes after the design was approved, and further designs, are priced before "
            "they are drawn."
        ),
        (
            "Wall: repairs, extra coats over stains and other work that could not be seen at the "
            "survey are priced before they are done."
        ),
        (
            "Waiting: days lost because the wall was not ready or not free are charged, with the "
            "hire that runs on."
        ),
        "Each change order is in writing and signed by both sides before its work begins.",
    )


def _reckoning(line: QuoteLine, unit: AreaUnit) -> str:
    parts = line.amount.parts
    match line.kind:
        case LineKind.AREA | LineKind.PER_UNIT if len(parts) == 2:
            return f"{parts[0].value:,} {unit} × {_money(parts[1])}"
        case LineKind.AREA | LineKind.PER_UNIT:
            return f"{parts[0].value:,} {unit} at the rates above"
        case LineKind.SUM:
            return "fixed sum"
        case LineKind.LIFT:
            return _sum_of(parts)


def _sum_of(parts: Sequence[Figure]) -> str:
    """The sums of money among a line's parts, added up in words."""
    return " + ".join(_plain(part) for part in parts if isinstance(part.value, Decimal))


def _money(figure: Figure) -> str:
    return str(Money(amount=Decimal(figure.value), currency=figure.unit))


def _plain(figure: Figure) -> str:
    """An amount without its currency, which stands at the head."""
    return _money(figure).rsplit(" ", 1)[0]
