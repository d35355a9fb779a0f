"""Variations: a wall of another size than stated, and further concepts."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from giornata.core.foundation import Figure, Finding, Money, Severity, given
from giornata.core.pricing.amounts import amount_of, given_amount, reckoned_amount
from giornata.core.pricing.terms import AreaUnit

__all__ = ["SIZE_CLAUSE", "ChangeOrder", "ExtraConcepts", "change_order", "extra_concepts"]

SIZE_CLAUSE = Decimal("0.05")
"""Size difference from which a change order is due: ±5 % seen in muralists' public terms."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeOrder:
    """A change of price for a wall of another size than stated.

    Parameters
    ----------
    difference : Decimal
        Measured less stated, in the billed unit.
    share : Decimal
        Of the stated area. [-]
    due : bool
        Whether it goes beyond the clause.
    amount : Figure
        Money for the whole difference; 0 where none is due, below 0 for a smaller wall.
    """

    difference: Decimal
    share: Decimal
    due: bool
    amount: Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class ExtraConcepts:
    """Design and total once more concepts are drawn: money."""

    design: Figure
    total: Figure


def change_order(
    stated: Decimal,
    measured: Decimal,
    *,
    rate: Money,
    unit: AreaUnit,
    clause: Decimal = SIZE_CLAUSE,
) -> tuple[ChangeOrder, tuple[Finding, ...]]:
    """Whether a measured wall calls for a change order, and its amount.

    Parameters
    ----------
    stated, measured : Decimal
        Billed areas, the stated one above 0.
    rate : Money
        For one unit of area.
    unit : AreaUnit
        That unit.
    clause : Decimal
        Difference the contract lets pass, 0 or more. [-]

    Raises
    ------
    ValueError
        If an area or the clause is outside its range.
    """
    if not (stated > 0 and measured >= 0 and clause >= 0):
        raise ValueError("the stated area is above 0, the measured one and the clause 0 or more")
    difference = measured - stated
    share = difference / stated
    due = abs(share) > clause
    parts = (
        given("stated area", stated, unit.value, source="contract"),
        given("measured area", measured, unit.value, source="survey"),
        given_amount("rate", rate, "price.rate"),
        given("difference let pass", clause, "-", source="contract"),
    )
    amount = reckoned_amount(
        "change order", rate * (difference if due else 0), method="pricing.change_order v1",
        formula="whole difference × rate, where it goes beyond the clause", parts=parts,
    )  # fmt: skip
    order = ChangeOrder(difference=difference, share=share, due=due, amount=amount)
    if not due:
        return order, ()
    return order, (
        Finding(
            code="pricing.change_order",
            severity=Severity.WARN,
            subject="size of the wall",
            message=f"Measured {measured} {unit.value} against {stated} stated: "
            f"{100 * share:+.2f} %, beyond ±{(100 * clause).normalize():f} %.",
            remedy=f"Send a change order for the whole difference, {difference:+} {unit.value} at "
            f"{rate}: {amount_of(amount)}.",
        ),
    )


def extra_concepts(
    whole: Figure, *, design_share: Decimal, concept_share: Decimal, number: int
) -> ExtraConcepts:
    """Design fee and total with further full concepts, each a share of the original total.

    Parameters
    ----------
    whole : Figure
        The original total, design included.
    design_share : Decimal
        Of the original total for the design in it, 0 to 1. [-]
    concept_share : Decimal
        Of the original total for each further concept, 0 or more. [-]
    number : int
        Of further concepts, 0 or more. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (0 <= design_share <= 1 and concept_share >= 0 and number >= 0):
        raise ValueError("shares are 0 or more, the design's at most 1, the number 0 or more")
    money = amount_of(whole)
    parts = (
        whole,
        given("share of the design", design_share, "-", source="job file, price.design_share"),
        given("share of a further concept", concept_share, "-", source="contract"),
        given("further concepts", float(number), "-", source="contract"),
    )
    extra = (money * concept_share).rounded() * number
    method = "pricing.extra_concepts v1"
    return ExtraConcepts(
        design=reckoned_amount(
            "design with further concepts", (money * design_share).rounded() + extra,
            method=method, formula="total × (share of the design + number × share of a concept)",
            parts=parts,
        ),
        total=reckoned_amount(
            "total with further concepts", money + extra, method=method,
            formula="total × (1 + number × share of a concept)", parts=parts,
        ),
    )  # fmt: skip
