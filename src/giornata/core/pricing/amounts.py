"""Amounts of money as figures, and figures as amounts."""

from __future__ import annotations

from decimal import Decimal

from giornata.core.foundation import Figure, Money, derived, given

__all__ = ["amount_of", "given_amount", "hours_of", "reckoned_amount"]


def amount_of(figure: Figure) -> Money:
    """The money a figure states.

    Raises
    ------
    ValueError
        If the figure's unit is no currency, or its value no exact decimal.
    """
    if not isinstance(figure.value, Decimal):
        raise ValueError(f"{figure.name!r} is not money: its value is no exact decimal")
    return Money(amount=figure.value, currency=figure.unit)


def given_amount(name: str, amount: Money, key: str) -> Figure:
    """Money the painter decided, with the place in the job file that says so."""
    return given(name, amount.amount, amount.currency, source=f"job file, {key}")


def reckoned_amount(
    name: str, amount: Money, *, method: str, formula: str, parts: tuple[Figure, ...]
) -> Figure:
    """Money worked out from other figures, rounded half up to the cent."""
    exact = amount.rounded()
    return derived(
        name, exact.amount, exact.currency, method=method, formula=formula, parts=parts
    )  # fmt: skip


def hours_of(duration: Figure) -> Decimal:
    """A duration in hours, to the second's precision of its float. [h]"""
    if duration.unit != "s":
        raise ValueError("a duration is in seconds")
    return Decimal(repr(float(duration))) / 3600
