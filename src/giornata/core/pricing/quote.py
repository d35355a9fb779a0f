"""The quote: lines to the cent, contingency, tax, total, stage payments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from giornata.core.foundation import Figure, Finding, Money, Severity, given, split, total
from giornata.core.pricing.agreed import Agreed, against_agreed
from giornata.core.pricing.amounts import amount_of, given_amount, reckoned_amount
from giornata.core.pricing.area import BillableAreas, PrintedRates, billed_area, printed_rates
from giornata.core.pricing.bands import (
    all_bands,
    inversion_findings,
    marginal_price,
    whole_price,
)
from giornata.core.pricing.tax import tax
from giornata.core.pricing.terms import (
    AreaUnit,
    BandMethod,
    PriceBasis,
    PriceTerms,
    Stage,
    TaxRounding,
)
from giornata.core.works import LiftHire

__all__ = ["LineKind", "Quote", "QuoteLine", "StageSum", "quote", "stage_sums"]


class LineKind(StrEnum):
    """What a line of the quote pays for."""

    AREA = "area"
    PER_UNIT = "per unit of area"
    SUM = "sum"
    LIFT = "lift"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteLine:
    """One line of the quote, its amount to the cent."""

    kind: LineKind
    name: str
    amount: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class StageSum:
    """A stage payment: its share of the total and its amount to the cent."""

    name: str
    share: Decimal
    amount: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """The price of one option in one colourway.

    Parameters
    ----------
    basis, unit : PriceBasis, AreaUnit
        What is billed, and in which unit.
    billed_area : Figure
        In ``unit``.
    rates : PrintedRates
        The rate for the first of the area, in both units; only ``unit``'s enters the price.
    lines : tuple of QuoteLine
        The charge for the area first.
    subtotal, contingency, before_tax, tax, total : Figure
        Money.
    design : Figure or None
        Part of the total that pays for the design, where one is stated.
    per_square_metre, per_square_foot : Figure
        Price before tax for one unit of net wall.
    stages : tuple of StageSum
        Their sum is the total to the cent.
    tax_rounding : TaxRounding
        How the tax was rounded.
    agreed : Agreed
        The quote against the size, budget and concepts agreed.
    """

    basis: PriceBasis
    unit: AreaUnit
    billed_area: Figure
    rates: PrintedRates
    lines: tuple[QuoteLine, ...]
    subtotal: Figure
    contingency: Figure
    before_tax: Figure
    tax: Figure
    total: Figure
    design: Figure | None
    per_square_metre: Figure
    per_square_foot: Figure
    stages: tuple[StageSum, ...]
    tax_rounding: TaxRounding
    agreed: Agreed

    @property
    def area_charge(self) -> Figure:
        """The charge for the area alone, without further lines."""
        return self.lines[0].amount

    def sum_of(self, kind: LineKind) -> Money:
        """All lines of one kind together."""
        return total(
            (amount_of(line.amount) for line in self.lines if line.kind is kind), self.total.unit
        )


def stage_sums(
    whole: Figure, stages: Sequence[Stage]
) -> tuple[tuple[StageSum, ...], tuple[Finding, ...]]:
    """Stage payments that sum to the total to the cent; the last one takes the difference.

    Parameters
    ----------
    whole : Figure
        The total, in whole cents.
    stages : sequence of Stage
        With their shares; a sum other than 1 is a finding, and no sums.
    """
    if not stages:
        return (), ()
    shares = [stage.share for stage in stages]
    together = sum(shares, Decimal(0))
    if together != 1:
        return (), (
            Finding(
                code="pricing.stages",
                severity=Severity.STOP,
                subject="stage payments",
                message=f"The stages add up to {(100 * together).normalize():f} %, not 100 %.",
                remedy="Change the shares under [price] stages.",
            ),
        )
    made: list[StageSum] = []
    for stage, amount in zip(stages, split(amount_of(whole), shares), strict=True):
        rest = len(made) == len(stages) - 1 and len(stages) > 1
        others = tuple(one.amount for one in made)
        share = given("share", stage.share, "-", source="job file, price.stages")
        figure = reckoned_amount(
            f"stage, {stage.name}", amount, method="foundation.split v1",
            formula="total less the other stages" if rest else "share × total",
            parts=(whole, *others) if rest else (whole, share),
        )  # fmt: skip
        made.append(StageSum(name=stage.name, share=stage.share, amount=figure))
    return tuple(made), ()


def quote(
    *, areas: BillableAreas, terms: PriceTerms, lift: LiftHire | None
) -> tuple[Quote, tuple[Finding, ...]]:
    """The price of one option in one colourway, each line to the cent.

    Parameters
    ----------
    areas : BillableAreas
        Gross wall, net wall and figure. [m²]
    terms : PriceTerms
        Basis, unit, rates, lines, contingency, tax, stages.
    lift : LiftHire or None
        The lift on hire, billed as a line of its own.

    Raises
    ------
    ValueError
        If the net area is 0, or the hire is in another currency than the price.
    """
    if not float(areas.net) > 0:
        raise ValueError("a wall to be priced has a net area above 0")
    area = billed_area(areas.of(terms.basis), terms.unit)
    charge, findings = _area_charge(area, terms)
    lines = [charge, *_further_lines(area, terms)]
    if lift is not None:
        if lift.cost.unit != terms.currency:
            raise ValueError(f"the hire is in {lift.cost.unit}, the price in {terms.currency}")
        name = f"Access lift: {lift.periods}, delivery and collection"
        lines.append(QuoteLine(kind=LineKind.LIFT, name=name, amount=lift.cost))
    parts = tuple(line.amount for line in lines)
    subtotal = reckoned_amount(
        "subtotal", total(map(amount_of, parts), terms.currency), method="pricing.quote v1",
        formula="sum of the lines", parts=parts,
    )  # fmt: skip
    contingency = _share_of("contingency", subtotal, terms.contingency, "price.contingency")
    before_tax = reckoned_amount(
        "price before tax", amount_of(subtotal) + amount_of(contingency),
        method="pricing.quote v1", formula="subtotal + contingency", parts=(subtotal, contingency),
    )  # fmt: skip
    taxed = _tax_of(before_tax, terms)
    whole = reckoned_amount(
        "total", amount_of(before_tax) + amount_of(taxed), method="pricing.quote v1",
        formula="price before tax + tax", parts=(before_tax, taxed),
    )  # fmt: skip
    stages, stage_findings = stage_sums(whole, terms.stages)
    design = (
        _share_of("design, within the total", whole, terms.design_share, "price.design_share")
        if terms.design_share
        else None
    )
    agreed, agreed_findings = against_agreed(
        terms,
        billed=area,
        fixed=total(
            (amount_of(x.amount) for x in lines if x.kind in (LineKind.SUM, LineKind.LIFT)),
            terms.currency,
        ),
        whole=whole,
    )
    result = Quote(
        basis=terms.basis,
        unit=terms.unit,
        billed_area=area,
        rates=printed_rates(all_bands(terms.rate, terms.bands)[0].rate, terms.unit),
        lines=tuple(lines),
        subtotal=subtotal,
        contingency=contingency,
        before_tax=before_tax,
        tax=taxed,
        total=whole,
        design=design,
        per_square_metre=_per_unit(before_tax, areas.net, AreaUnit.SQUARE_METRE),
        per_square_foot=_per_unit(before_tax, areas.net, AreaUnit.SQUARE_FOOT),
        stages=stages,
        tax_rounding=terms.tax_rounding,
        agreed=agreed,
    )
    return result, (*findings, *stage_findings, *agreed_findings)


def _area_charge(area: Figure, terms: PriceTerms) -> tuple[QuoteLine, tuple[Finding, ...]]:
    size = Decimal(area.value)
    bands = all_bands(terms.rate, terms.bands)
    rates = tuple(
        given_amount(
            f"rate, from {band.start} {terms.unit.value}" if len(bands) > 1 else "rate",
            band.rate,
            "price.bands" if len(bands) > 1 else "price.rate",
        )
        for band in bands
    )
    if terms.band_method is BandMethod.WHOLE:
        price = whole_price(size, bands)
        formula = "billed area × rate of the band it falls in"
        findings = inversion_findings(size, terms.unit, bands)
    else:
        price = marginal_price(size, bands)
        formula = "sum over bands of the area within × its rate"
        findings = ()
    amount = reckoned_amount(
        "charge for the area", price, method="pricing.quote v1",
        formula=formula if len(bands) > 1 else "billed area × rate", parts=(area, *rates),
    )  # fmt: skip
    return QuoteLine(kind=LineKind.AREA, name="Design and painting", amount=amount), findings


def _further_lines(area: Figure, terms: PriceTerms) -> list[QuoteLine]:
    lines = []
    for line in terms.lines:
        if line.sum is not None:
            amount = given_amount(line.name, line.sum.rounded(), "price.lines")
            lines.append(QuoteLine(kind=LineKind.SUM, name=line.name, amount=amount))
            continue
        assert line.per_unit is not None
        amount = reckoned_amount(
            line.name,
            line.per_unit * Decimal(area.value),
            method="pricing.quote v1",
            formula="billed area × rate",
            parts=(area, given_amount(f"rate, {line.name}", line.per_unit, "price.lines")),
        )
        lines.append(QuoteLine(kind=LineKind.PER_UNIT, name=line.name, amount=amount))
    return lines


def _share_of(name: str, whole: Figure, share: Decimal, key: str) -> Figure:
    return reckoned_amount(
        name, amount_of(whole) * share, method="pricing.quote v1", formula=f"share × {whole.name}",
        parts=(given("share", share, "-", source=f"job file, {key}"), whole),
    )  # fmt: skip


def _tax_of(before_tax: Figure, terms: PriceTerms) -> Figure:
    how = {
        TaxRounding.NEAREST: "to the nearest cent, halves up",
        TaxRounding.DOWN: "rounded down to the cent",
    }[terms.tax_rounding]
    return reckoned_amount(
        "tax", tax(amount_of(before_tax), terms.tax, terms.tax_rounding),
        method="pricing.tax v1", formula=f"rate × price before tax, {how}",
        parts=(given("tax rate", terms.tax, "-", source="job file, price.tax"), before_tax),
    )  # fmt: skip


def _per_unit(price: Figure, net: Figure, unit: AreaUnit) -> Figure:
    size = Decimal(billed_area(net, unit).value)
    return reckoned_amount(
        f"price for one {unit.value} of net wall",
        amount_of(price) / size,
        method="pricing.quote v1",
        formula="price before tax ÷ net wall",
        parts=(price, billed_area(net, unit)),
    )
