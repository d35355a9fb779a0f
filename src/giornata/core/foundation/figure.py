"""Figures: numbers that explain themselves (value, unit, basis, method, parts, source)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from giornata.core.foundation.findings import Finding

__all__ = ["Assumption", "Basis", "Figure", "assumed", "derived", "given", "measured"]

_NUMBERS = (int, float, Decimal)


class Basis(StrEnum):
    """Where a figure comes from."""

    MEASURED = "measured"
    GIVEN = "given"
    ASSUMED = "assumed"
    DERIVED = "derived"


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A number that reaches a reader.

    Parameters
    ----------
    name : str
        In the trade's words ("net area").
    value : float or Decimal
        In SI inside; money in its currency. [unit]
    unit : str
        Unit of ``value`` ("m", "m²", "m³", "s", "lx", "EUR", "-").
    basis : Basis
        Measured, given, assumed or derived.
    sigma : float or None
        Standard deviation; required where measured. [unit]
    source : str
        Who measured or gave it, or the published source; "no published source" is honest.
    usual : tuple of float or None
        Usual range of an assumed value. [unit]
    method : str
        Function and version that derived it ("works.paint_volume v1").
    formula : str
        The formula in words ("area × coats ÷ spreading rate").
    parts : tuple of Figure
        What a derived figure was made from.
    findings : tuple of Finding
        Doubts about this figure.
    """

    name: str
    value: float | Decimal
    unit: str
    basis: Basis
    sigma: float | None = None
    source: str = ""
    usual: tuple[float, float] | None = None
    method: str = ""
    formula: str = ""
    parts: tuple[Figure, ...] = ()
    findings: tuple[Finding, ...] = ()

    def __post_init__(self) -> None:
        if not self.name or not self.unit:
            raise ValueError("a figure needs a name and a unit ('-' for a pure number)")
        if self.basis is Basis.DERIVED:
            if not self.method or not self.parts:
                raise ValueError(f"derived figure {self.name!r} needs its method and its parts")
        elif not self.source:
            raise ValueError(f"{self.basis} figure {self.name!r} needs its source")
        if self.basis is Basis.MEASURED and self.sigma is None:
            raise ValueError(f"measured figure {self.name!r} needs its precision (sigma)")
        if isinstance(self.value, bool) or not isinstance(self.value, _NUMBERS):
            raise ValueError(f"figure {self.name!r} needs a number, not {self.value!r}")

    def __float__(self) -> float:
        return float(self.value)

    def walk(self) -> Iterator[Figure]:
        """The figure itself and all the figures it was made from, top first."""
        yield self
        for part in self.parts:
            yield from part.walk()


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """A house default, declared at the top of the module that uses it.

    Parameters
    ----------
    name : str
        In the trade's words.
    value : float
        The default. [unit]
    unit : str
        SI.
    source : str
        Published source, "common practice, no source" or "no published source".
    usual : tuple of float or None
        Usual range. [unit]
    """

    name: str
    value: float
    unit: str
    source: str
    usual: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        if not self.source:
            raise ValueError(f"assumption {self.name!r} needs its source")

    def figure(self, value: float | None = None) -> Figure:
        """The assumption as a figure, at ``value`` or at its own default."""
        return assumed(
            self.name,
            self.value if value is None else value,
            self.unit,
            source=self.source,
            usual=self.usual,
        )


def measured(name: str, value: float, unit: str, *, sigma: float, source: str) -> Figure:
    """A figure read off a tape, a level or an instrument.

    Parameters
    ----------
    value : float
        What was read. [unit]
    sigma : float
        Its standard deviation. [unit]
    """
    return Figure(
        name=name, value=value, unit=unit, basis=Basis.MEASURED, sigma=sigma, source=source
    )


def given(name: str, value: float | Decimal, unit: str, *, source: str) -> Figure:
    """A figure decided by the painter or the client.

    Parameters
    ----------
    value : float or Decimal
        What was decided. [unit]
    """
    return Figure(name=name, value=value, unit=unit, basis=Basis.GIVEN, source=source)


def assumed(
    name: str,
    value: float | Decimal,
    unit: str,
    *,
    source: str,
    usual: tuple[float, float] | None = None,
) -> Figure:
    """A house default with its source and usual range.

    Parameters
    ----------
    value : float or Decimal
        The default. [unit]
    usual : tuple of float or None
        Usual range. [unit]
    """
    return Figure(
        name=name, value=value, unit=unit, basis=Basis.ASSUMED, source=source, usual=usual
    )


def derived(
    name: str,
    value: float | Decimal,
    unit: str,
    *,
    method: str,
    formula: str,
    parts: tuple[Figure, ...],
    sigma: float | None = None,
    findings: tuple[Finding, ...] = (),
) -> Figure:
    """A figure computed from other figures.

    Parameters
    ----------
    value : float or Decimal
        The result. [unit]
    sigma : float or None
        Its standard deviation, where it was carried through. [unit]
    """
    return Figure(
        name=name,
        value=value,
        unit=unit,
        basis=Basis.DERIVED,
        method=method,
        formula=formula,
        parts=parts,
        sigma=sigma,
        findings=findings,
    )
