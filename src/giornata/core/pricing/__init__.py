"""Pricing: billed area, rates, quote, options side by side, what the price must cover."""

from giornata.core.pricing.agreed import Agreed, against_agreed
from giornata.core.pricing.amounts import amount_of, given_amount, hours_of, reckoned_amount
from giornata.core.pricing.area import (
    SQUARE_FOOT_EXACT,
    BillableAreas,
    PrintedRates,
    billed_area,
    printed_rates,
)
from giornata.core.pricing.bands import (
    BandInversion,
    all_bands,
    area_for_price,
    band_of,
    inversion_findings,
    inversions,
    marginal_price,
    whole_price,
)
from giornata.core.pricing.budget import (
    Ballpark,
    BudgetArea,
    FixedAndRate,
    area_for_budget,
    ballpark,
    fixed_and_rate,
)
from giornata.core.pricing.comparison import (
    UNEVEN_EARNINGS,
    Candidate,
    OptionRow,
    compare,
    option_row,
)
from giornata.core.pricing.floor import PriceFloor, price_floor
from giornata.core.pricing.quote import LineKind, Quote, QuoteLine, StageSum, quote, stage_sums
from giornata.core.pricing.sensitivity import ExtraCoat, extra_coats
from giornata.core.pricing.tax import tax
from giornata.core.pricing.terms import (
    AreaUnit,
    BandMethod,
    PriceBasis,
    PriceLine,
    PriceTerms,
    RateBand,
    Stage,
    TaxRounding,
)
from giornata.core.pricing.variations import (
    SIZE_CLAUSE,
    ChangeOrder,
    ExtraConcepts,
    change_order,
    extra_concepts,
)

__all__ = [
    "SIZE_CLAUSE",
    "SQUARE_FOOT_EXACT",
    "UNEVEN_EARNINGS",
    "Agreed",
    "AreaUnit",
    "Ballpark",
    "BandInversion",
    "BandMethod",
    "BillableAreas",
    "BudgetArea",
    "Candidate",
    "ChangeOrder",
    "ExtraCoat",
    "ExtraConcepts",
    "FixedAndRate",
    "LineKind",
    "OptionRow",
    "PriceBasis",
    "PriceFloor",
    "PriceLine",
    "PriceTerms",
    "PrintedRates",
    "Quote",
    "QuoteLine",
    "RateBand",
    "Stage",
    "StageSum",
    "TaxRounding",
    "against_agreed",
    "all_bands",
    "amount_of",
    "area_for_budget",
    "area_for_price",
    "ballpark",
    "band_of",
    "billed_area",
    "change_order",
    "compare",
    "extra_coats",
    "extra_concepts",
    "fixed_and_rate",
    "given_amount",
    "hours_of",
    "inversion_findings",
    "inversions",
    "marginal_price",
    "option_row",
    "price_floor",
    "printed_rates",
    "quote",
    "reckoned_amount",
    "stage_sums",
    "tax",
    "whole_price",
]
