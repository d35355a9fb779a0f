"""Rate bands: the price of an area by whole-area and by marginal bands, and their inversions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from giornata.core.foundation import Finding, Money, Severity
from giornata.core.pricing.terms import AreaUnit, BandMethod, RateBand

__all__ = [
    "BandInversion", "all_bands", "area_for_price", "band_of", "inversion_findings", "inversions",
    "marginal_price", "whole_price",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class BandInversion:
    """Areas that cost more than a larger area does, in the billed unit.

    Parameters
    ----------
    start, end : Decimal
        Between these; the end itself costs less, the start may cost as much as ``cheaper``.
    cheaper : Decimal
        A larger area that costs less, the start of a band.
    """

    start: Decimal
    end: Decimal
    cheaper: Decimal


def all_bands(rate: Money, bands: Sequence[RateBand]) -> tuple[RateBand, ...]:
    """Bands in order from 0 on; the plain rate holds below the first.

    Raises
    ------
    ValueError
        If two bands start at the same size.
    """
    ordered = sorted(bands, key=lambda band: band.start)
    if len({band.start for band in ordered}) < len(ordered):
        raise ValueError("two bands start at the same size")
    if ordered and ordered[0].start == 0:
        return tuple(ordered)
    return (RateBand(start=Decimal(0), rate=rate), *ordered)


def band_of(area: Decimal, bands: Sequence[RateBand]) -> RateBand:
    """The band an area falls in.

    Parameters
    ----------
    area : Decimal
        0 or more, in the billed unit.
    bands : sequence of RateBand
        From `all_bands`.

    Raises
    ------
    ValueError
        If the area is negative.
    """
    if area < 0:
        raise ValueError("a billed area is 0 or more")
    return max((band for band in bands if band.start <= area), key=lambda band: band.start)


def whole_price(area: Decimal, bands: Sequence[RateBand]) -> Money:
    """Price where the band an area falls in gives the rate for all of it.

    Parameters
    ----------
    area : Decimal
        0 or more, in the billed unit.
    bands : sequence of RateBand
        From `all_bands`.

    Raises
    ------
    ValueError
        If the area is negative.
    """
    return band_of(area, bands).rate * area


def marginal_price(area: Decimal, bands: Sequence[RateBand]) -> Money:
    """Price where each band's rate holds for the part of the area within the band.

    Parameters
    ----------
    area : Decimal
        0 or more, in the billed unit.
    bands : sequence of RateBand
        From `all_bands`.

    Raises
    ------
    ValueError
        If the area is negative.
    """
    if area < 0:
        raise ValueError("a billed area is 0 or more")
    price = bands[0].rate * 0
    ends = [*(band.start for band in bands[1:]), None]
    for band, end in zip(bands, ends, strict=True):
        top = area if end is None else min(area, end)
        if top > band.start:
            price = price + band.rate * (top - band.start)
    return price


def area_for_price(price: Money, bands: Sequence[RateBand], method: BandMethod) -> Decimal:
    """The largest area that costs no more than a price, in the billed unit.

    Parameters
    ----------
    price : Money
        0 or more.
    bands : sequence of RateBand
        From `all_bands`, every rate above 0.
    method : BandMethod
        How the bands hold.

    Raises
    ------
    ValueError
        If a rate is not above 0, or the price is negative.
    """
    if price.amount < 0 or any(not band.rate.amount > 0 for band in bands):
        raise ValueError("a price is 0 or more and each rate above 0")
    ends = [*(band.start for band in bands[1:]), None]
    if method is BandMethod.WHOLE:
        for band, end in reversed(list(zip(bands, ends, strict=True))):
            area = price.amount / band.rate.amount
            if area >= band.start:
                return area if end is None else min(area, end)
        raise AssertionError("the first band starts at 0")
    left = price.amount
    for band, end in zip(bands, ends, strict=True):
        area = band.start + left / band.rate.amount
        if end is None or area <= end:
            return area
        left -= band.rate.amount * (end - band.start)
    raise AssertionError("the last band has no end")


def inversions(bands: Sequence[RateBand]) -> tuple[BandInversion, ...]:
    """Areas that cost more than a larger one by whole-area bands.

    Parameters
    ----------
    bands : sequence of RateBand
        From `all_bands`.

    Notes
    -----
    Within a band the price only rises, so an area is inverted where it costs more than some
    later band does at its start; the band ends there.
    """
    found: list[BandInversion] = []
    for band, following in pairwise(bands):
        later = [b for b in bands if b.start >= following.start]
        least = min(later, key=lambda b: (b.rate.amount * b.start, b.start))
        price = least.rate.amount * least.start
        if band.rate.amount * following.start <= price:
            continue
        start = max(price / band.rate.amount, band.start)
        # One span, unless the joint itself costs exactly what the cheaper area does.
        if found and found[-1].end == start and band.rate.amount * start > price:
            last = found.pop()
            start = last.start
        found.append(BandInversion(start=start, end=following.start, cheaper=least.start))
    return tuple(found)


def inversion_findings(
    area: Decimal, unit: AreaUnit, bands: Sequence[RateBand]
) -> tuple[Finding, ...]:
    """A warning where whole-area bands make a larger wall cheaper, with the marginal price.

    Parameters
    ----------
    area : Decimal
        Billed, 0 or more, in its unit.
    unit : AreaUnit
        That unit.
    bands : sequence of RateBand
        From `all_bands`.
    """
    inverted = inversions(bands)
    if not inverted:
        return ()
    spans = ", and between ".join(
        f"{span.start:.1f} and {span.end.normalize():f} {unit.value}" for span in inverted
    )
    whole, marginal = whole_price(area, bands).rounded(), marginal_price(area, bands).rounded()
    return (
        Finding(
            code="pricing.band_inversion",
            severity=Severity.WARN,
            subject="rate bands",
            message=f"A larger wall costs less between {spans}. This wall of {area} "
            f"{unit.value} costs {whole} by these bands.",
            remedy='Set band_method = "marginal": each rate then holds for its own band only, and '
            f"this wall costs {marginal}.",
        ),
    )
