"""Money: exact decimal amounts with their currency, rounded once and split to the cent."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

__all__ = ["MINOR_DIGITS", "Money", "split", "total"]

# Digits of the minor unit, ISO 4217:2015 list one (from memory, not checked).
MINOR_DIGITS = {
    "AUD": 2, "BRL": 2, "CAD": 2, "CHF": 2, "CZK": 2, "DKK": 2, "EUR": 2, "GBP": 2, "HUF": 2,
    "INR": 2, "ISK": 0, "JPY": 0, "KRW": 0, "MXN": 2, "NOK": 2, "NZD": 2, "PLN": 2, "RON": 2,
    "SEK": 2, "TRY": 2, "USD": 2, "ZAR": 2,
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True, order=False)
class Money:
    """An exact amount in one currency.

    Parameters
    ----------
    amount : Decimal
        In the currency's major unit; any number of digits until `rounded`.
    currency : str
        ISO 4217 code, one of ``MINOR_DIGITS``.
    """

    amount: Decimal
    currency: str

    def __post_init__(self) -> None:
        if self.currency not in MINOR_DIGITS:
            raise ValueError(f"unknown currency {self.currency!r}")
        if not self.amount.is_finite():
            raise ValueError(f"an amount is a finite Decimal, not {self.amount!r}")

    def _same(self, other: Money) -> None:
        if self.currency != other.currency:
            raise ValueError(f"{self.currency} and {other.currency} cannot be added")

    def __add__(self, other: Money) -> Money:
        self._same(other)
        return Money(amount=self.amount + other.amount, currency=self.currency)

    def __sub__(self, other: Money) -> Money:
        self._same(other)
        return Money(amount=self.amount - other.amount, currency=self.currency)

    def __neg__(self) -> Money:
        return Money(amount=-self.amount, currency=self.currency)

    def __mul__(self, factor: Decimal | int) -> Money:
        return Money(amount=self.amount * factor, currency=self.currency)

    def __truediv__(self, divisor: Decimal | int) -> Money:
        return Money(amount=self.amount / divisor, currency=self.currency)

    def __lt__(self, other: Money) -> bool:
        self._same(other)
        return self.amount < other.amount

    @property
    def cent(self) -> Decimal:
        """The smallest step of the currency."""
        return Decimal(1).scaleb(-MINOR_DIGITS[self.currency])

    def rounded(self) -> Money:
        """To the currency's smallest step, half away from zero."""
        return Money(
            amount=self.amount.quantize(self.cent, rounding=ROUND_HALF_UP), currency=self.currency
        )

    def __str__(self) -> str:
        return f"{self.rounded().amount:,} {self.currency}"


def total(amounts: Iterable[Money], currency: str) -> Money:
    """Sum of amounts of one currency; zero where there are none."""
    result = Money(amount=Decimal(0), currency=currency)
    for amount in amounts:
        result = result + amount
    return result


def split(whole: Money, shares: Sequence[Decimal]) -> tuple[Money, ...]:
    """Parts of a sum by shares, each rounded to the cent; the last takes the difference.

    Parameters
    ----------
    whole : Money
        The sum; already rounded.
    shares : sequence of Decimal
        Fractions that sum to exactly 1.

    Raises
    ------
    ValueError
        If the shares do not sum to 1, or the sum carries fractions of a cent.

    Examples
    --------
    >>> whole = Money(amount=Decimal("39853.38"), currency="USD")
    >>> [str(part) for part in split(whole, [Decimal("0.2"), Decimal("0.3"), Decimal("0.5")])]
    ['7,970.68 USD', '11,956.01 USD', '19,926.69 USD']
    """
    if sum(shares, Decimal(0)) != 1:
        raise ValueError("shares must sum to exactly 1")
    if whole != whole.rounded():
        raise ValueError("round the sum before splitting it")
    parts = [(whole * share).rounded() for share in shares[:-1]]
    rest = whole - total(parts, whole.currency)
    return (*parts, rest)
