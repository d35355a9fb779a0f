"""What was agreed before the wall was measured, held against the quote: size, budget, concepts."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from giornata.core.foundation import Figure, Finding, Money
from giornata.core.pricing.bands import all_bands, band_of
from giornata.core.pricing.budget import BudgetArea, area_for_budget
from giornata.core.pricing.terms import PriceTerms
from giornata.core.pricing.variations import (
    SIZE_CLAUSE,
    ChangeOrder,
    ExtraConcepts,
    change_order,
    extra_concepts,
)

__all__ = ["Agreed", "against_agreed"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """What the quote comes to beside what was agreed; None where nothing was.

    Parameters
    ----------
    change : ChangeOrder or None
        For a wall of another size than the contract states.
    budget : BudgetArea or None
        How much wall the client's budget buys.
    concepts : ExtraConcepts or None
        Design and total with the further concepts asked for.
    """

    change: ChangeOrder | None = None
    budget: BudgetArea | None = None
    concepts: ExtraConcepts | None = None


def against_agreed(
    terms: PriceTerms, *, billed: Figure, fixed: Money, whole: Figure
) -> tuple[Agreed, tuple[Finding, ...]]:
    """The quote against the stated size, the budget and the further concepts.

    Parameters
    ----------
    terms : PriceTerms
        What was agreed.
    billed : Figure
        Billed area, in the billed unit.
    fixed : Money
        Lines that do not grow with the area.
    whole : Figure
        The total.

    Notes
    -----
    A change order takes the rate of the band that the measured area falls in. A budget is one
    for the total, with contingency and tax in it; further lines by the area are part of what
    each unit costs.
    """
    size = Decimal(billed.value)
    findings: list[Finding] = []
    change = budget = concepts = None
    if terms.stated is not None:
        rate = band_of(size, all_bands(terms.rate, terms.bands)).rate
        clause = SIZE_CLAUSE if terms.size_clause is None else terms.size_clause
        change, more = change_order(terms.stated, size, rate=rate, unit=terms.unit, clause=clause)
        findings += more
    if terms.budget is not None and size > 0:
        by_area = [line.per_unit for line in terms.lines if line.per_unit is not None]
        budget, more = area_for_budget(
            terms.budget,
            fixed=fixed,
            rate=terms.rate,
            bands=terms.bands,
            method=terms.band_method,
            each=by_area,
            on_top=(1 + terms.contingency) * (1 + terms.tax) - 1,
            wall=size,
            unit=terms.unit,
        )
        findings += more
    if terms.concepts:
        concepts = extra_concepts(
            whole,
            design_share=terms.design_share,
            concept_share=terms.concept_share,
            number=terms.concepts,
        )
    return Agreed(change=change, budget=budget, concepts=concepts), tuple(findings)
