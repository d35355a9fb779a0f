"""Tables of the job file that say what was decided: title, paint, hours, projection, price."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from giornata.core import pricing, works
from giornata.core.foundation import MINOR_DIGITS
from giornata.core.job import JobTitle
from giornata.files.job_measures import (
    Area,
    AreaRate,
    Day,
    Entry,
    Fraction,
    Hours,
    Illuminance,
    Length,
    MoneyText,
    Name,
    PerLitre,
    PlainNumber,
    Share,
    Speed,
    Spreading,
    Volume,
    Watts,
    faulty,
)

__all__ = [
    "AccessTable",
    "JobTable",
    "LabourTable",
    "NightsTable",
    "PaintSection",
    "PriceTable",
]  # fmt: skip


def _currency(value: object) -> str:
    text = str(value).strip().upper()
    if text not in MINOR_DIGITS:
        raise faulty(
            "job.unknown_currency",
            f'"{value}" is no currency known here.',
            "Write one of " + ", ".join(sorted(MINOR_DIGITS)) + ".",
        )
    return text


def _area_unit(value: object) -> object:
    return {"m2": "m²", "ft²": "sq ft", "ft2": "sq ft"}.get(str(value), value)


class JobTable(Entry):
    """``[job]``."""

    name: Name
    place: str = ""
    client: str = ""
    units: Literal["metric", "us"] = "metric"
    currency: Annotated[str, BeforeValidator(_currency)]
    date: Day

    def record(self) -> JobTitle:
        """The title."""
        return JobTitle(
            name=self.name,
            place=self.place,
            client=self.client,
            units=self.units,
            currency=self.currency,
            date=self.date,
        )


class TinTable(Entry):
    """A tin of the list."""

    size: Volume
    price: MoneyText

    def record(self) -> works.Tin:
        """The tin."""
        return works.Tin(volume=self.size, price=self.price)


class CoatingTable(Entry):
    """``[paint.primer]`` or ``[paint.base]``."""

    coats: Annotated[int, Field(ge=0, le=20)]
    spreading_rate: Spreading
    tins: tuple[TinTable, ...] = ()

    def record(self) -> works.Coating:
        """The coating."""
        return works.Coating(coats=self.coats, spreading_rate=self.spreading_rate)


class PaintSection(Entry):
    """``[paint]``."""

    coats: Annotated[int, Field(ge=1, le=20)] = 2
    spreading_rate: Spreading
    waste: Share | None = None
    loss: Share | None = None
    reserve: Share | None = None
    price: PerLitre | None = None
    tins: tuple[TinTable, ...] = ()
    primer: CoatingTable
    base: CoatingTable

    def record(self) -> works.PaintTerms:
        """The decisions about paint."""
        return works.PaintTerms(
            figure=works.Coating(coats=self.coats, spreading_rate=self.spreading_rate),
            base=self.base.record(),
            primer=self.primer.record(),
            waste=self.waste,
            loss=self.loss,
            reserve=self.reserve,
            price=self.price,
            tins=tuple(tin.record() for tin in self.tins),
            primer_tins=tuple(tin.record() for tin in self.primer.tins),
        )


class PastTable(Entry):
    """A finished job."""

    job: str
    area: Area
    edge: Length
    hours: Hours

    def record(self) -> works.PastJob:
        """The finished job."""
        return works.PastJob(name=self.job, area=self.area, edge=self.edge, duration=self.hours)


class LabourTable(Entry):
    """``[labour]``."""

    people: Annotated[int, Field(ge=1, le=100)] = 2
    productive: Hours | None = None
    usable_days: Share | None = None
    primer: AreaRate
    base: AreaRate
    fill: AreaRate
    edge: Speed
    set_up: Hours = 0.0
    hour: MoneyText | None = None
    past: tuple[PastTable, ...] = ()

    def record(self) -> works.LabourTerms:
        """The decisions about hours."""
        return works.LabourTerms(
            rates=works.LabourRates(
                primer=self.primer, base=self.base, fill=self.fill, edge=self.edge
            ),
            people=self.people,
            productive=self.productive,
            usable_days=self.usable_days,
            set_up=self.set_up,
            past=tuple(job.record() for job in self.past),
            hour=self.hour,
        )


class AccessTable(Entry):
    """``[access]``."""

    lift_above: Length
    day: MoneyText
    week: MoneyText
    four_weeks: MoneyText
    delivery: MoneyText

    def record(self) -> works.AccessTerms:
        """The decisions about access."""
        return works.AccessTerms(
            lift_above=self.lift_above,
            day=self.day,
            week=self.week,
            four_weeks=self.four_weeks,
            delivery=self.delivery,
        )


class NightsTable(Entry):
    """``[nights]``."""

    set_up: Hours | None = None
    tracing: Speed | None = None
    hours: Hours | None = None
    laptop: Watts | None = None
    first: Day | None = None
    dates: tuple[Day, ...] = ()
    usable_from: Illuminance | None = None

    def record(self) -> works.NightTerms:
        """The decisions about nights."""
        return works.NightTerms(
            set_up=self.set_up,
            tracing=self.tracing,
            hours=self.hours,
            laptop=self.laptop,
            first=self.first,
            dates=self.dates,
            usable_from=self.usable_from,
        )


class BandTable(Entry):
    """A rate band."""

    start: PlainNumber = Field(alias="from")
    rate: MoneyText


class LineTable(Entry):
    """``[[price.lines]]``."""

    name: str
    sum: MoneyText | None = None
    per_unit: MoneyText | None = None

    def record(self) -> pricing.PriceLine:
        """The line."""
        return pricing.PriceLine(name=self.name, sum=self.sum, per_unit=self.per_unit)


class StageTable(Entry):
    """A stage payment."""

    name: str
    share: Fraction


class PriceTable(Entry):
    """``[price]``."""

    basis: pricing.PriceBasis
    unit: Annotated[pricing.AreaUnit, BeforeValidator(_area_unit)]
    rate: MoneyText
    bands: tuple[BandTable, ...] = ()
    band_method: pricing.BandMethod = pricing.BandMethod.MARGINAL
    lines: tuple[LineTable, ...] = ()
    contingency: Fraction = Decimal(0)
    tax: Fraction = Decimal(0)
    tax_rounding: pricing.TaxRounding = pricing.TaxRounding.NEAREST
    design_share: Fraction = Decimal(0)
    valid: Hours = 30 * 86400.0
    stages: tuple[StageTable, ...] = ()
    exclusions: tuple[str, ...] = ()
    stated: PlainNumber | None = None
    size_clause: Fraction | None = None
    budget: MoneyText | None = None
    concepts: Annotated[int, Field(ge=0, le=20)] = 0
    concept_share: Fraction = Decimal(0)

    def record(self) -> pricing.PriceTerms:
        """The terms of the price."""
        return pricing.PriceTerms(
            currency=self.rate.currency,
            basis=self.basis,
            unit=self.unit,
            rate=self.rate,
            bands=tuple(pricing.RateBand(start=b.start, rate=b.rate) for b in self.bands),
            band_method=self.band_method,
            lines=tuple(line.record() for line in self.lines),
            contingency=self.contingency,
            tax=self.tax,
            design_share=self.design_share,
            stages=tuple(pricing.Stage(name=s.name, share=s.share) for s in self.stages),
            valid_days=round(self.valid / 86400.0),
            exclusions=self.exclusions,
            tax_rounding=self.tax_rounding,
            stated=self.stated,
            size_clause=self.size_clause,
            budget=self.budget,
            concepts=self.concepts,
            concept_share=self.concept_share,
        )
