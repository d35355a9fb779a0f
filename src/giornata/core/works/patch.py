"""Test patch: what a patch on the wall used, and what that does to the order."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.foundation import Figure, Finding, Severity, derived, given, measured
from giornata.core.works.spreading import paint_volume, patch_spreading_rate
from giornata.core.works.terms import Tin
from giornata.core.works.tins import TinSet, cheapest_tins

__all__ = ["Reorder", "TestPatch", "patch_rate", "patch_reorder"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TestPatch:
    """Paint used on a patch of the wall.

    Parameters
    ----------
    area : float
        Above 0; 10 m² is a good size. [m²]
    volume : float
        Paint used in all its coats, above 0. [m³]
    coats : int
        At least 1. [-]
    area_sigma, volume_sigma : float or None
        Standard deviations of the two readings, where known. [m²], [m³]
    """

    __test__ = False  # a record of the trade, not a test class

    area: float
    volume: float
    coats: int = 1
    area_sigma: float | None = None
    volume_sigma: float | None = None

    def __post_init__(self) -> None:
        patch_spreading_rate(self.area, self.coats, self.volume)
        sigmas = (self.area_sigma, self.volume_sigma)
        if any(sigma is not None and not sigma >= 0 for sigma in sigmas):
            raise ValueError("standard deviations are 0 or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reorder:
    """The order before and after a test patch.

    Parameters
    ----------
    spreading_rate : Figure
        Measured on the patch. [m²/m³]
    planned, needed : float
        Paint as planned; if every coat is as thirsty as the patch. [m³]
    first_coat_only : float
        If only the first coat is, and the others are as planned. [m³]
    planned_tins, needed_tins, first_coat_tins : TinSet
        Cheapest tins for the three.
    more : float
        Needed less planned; below 0 where the wall takes less. [m³]
    more_tins : TinSet
        Cheapest tins for what the planned ones lack.
    """

    spreading_rate: Figure
    planned: float
    needed: float
    first_coat_only: float
    planned_tins: TinSet
    needed_tins: TinSet
    first_coat_tins: TinSet
    more: float
    more_tins: TinSet


def patch_rate(patch: TestPatch) -> Figure:
    """Spreading rate per coat on a test patch, with its precision where the readings have one.

    [m²/m³]
    """
    rate = patch_spreading_rate(patch.area, patch.coats, patch.volume)
    readings = (
        _reading("patch area", patch.area, "m²", patch.area_sigma),
        _reading("paint used", patch.volume, "m³", patch.volume_sigma),
    )
    known = all(reading.sigma is not None for reading in readings)
    return derived(
        "spreading rate of the test patch",
        rate,
        "m²/m³",
        method="works.patch_rate v1",
        formula="patch area × coats ÷ paint used",
        parts=readings,
        sigma=rate * math.hypot(*((r.sigma or 0.0) / float(r) for r in readings))
        if known
        else None,
    )


def _reading(name: str, value: float, unit: str, sigma: float | None) -> Figure:
    source = "test patch on the wall"
    if sigma is None:
        return given(name, value, unit, source=source)
    return measured(name, value, unit, sigma=sigma, source=source)


def patch_reorder(
    patch: TestPatch,
    *,
    area: float,
    coats: int,
    planned_rate: float,
    tins: Sequence[Tin],
    waste: float,
    loss: float = 0.0,
    reserve: float = 0.0,
    subject: str,
) -> tuple[Reorder, tuple[Finding, ...]]:
    """The order after a test patch: all coats as thirsty as the patch, and only the first one.

    Parameters
    ----------
    patch : TestPatch
        What was measured.
    area : float
        To be painted, above 0. [m²]
    coats : int
        At least 1. [-]
    planned_rate : float
        Spreading rate the order was made with, above 0. [m²/m³]
    tins : sequence of Tin
        The supplier's list.
    waste, loss, reserve : float
        As in `PaintTerms`. [-]
    subject : str
        The paint.

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if coats < 1 or not (area > 0 and reserve >= 0):
        raise ValueError("area is above 0, coats are at least 1, the reserve is 0 or more")
    rate = patch_rate(patch)

    def volume(number: int, spreading_rate: float) -> float:
        return (1 + reserve) * paint_volume(area, number, spreading_rate, loss=loss, waste=waste)

    planned, needed = volume(coats, planned_rate), volume(coats, float(rate))
    first = volume(1, float(rate)) + volume(coats - 1, planned_rate)
    planned_tins = cheapest_tins(planned, tins)
    reorder = Reorder(
        spreading_rate=rate,
        planned=planned,
        needed=needed,
        first_coat_only=first,
        planned_tins=planned_tins,
        needed_tins=cheapest_tins(needed, tins),
        first_coat_tins=cheapest_tins(first, tins),
        more=needed - planned,
        more_tins=cheapest_tins(max(needed - planned_tins.volume, 0.0), tins),
    )
    if not reorder.more_tins.number:
        return reorder, ()
    return reorder, (
        Finding(
            code="works.test_patch",
            severity=Severity.WARN,
            subject=subject,
            message=f"The patch took 1 L for {float(rate) / 1000:.2f} m²; "
            f"{planned_rate / 1000:.2f} was planned. The wall needs {1000 * needed:.1f} L, not "
            f"{1000 * planned:.1f} L; if only the first coat is that thirsty, "
            f"{1000 * first:.1f} L ({reorder.first_coat_tins}).",
            remedy=f"Order {reorder.more_tins} more at once and of the same batch, or paint a "
            "second coat on the patch first and see what that takes.",
        ),
    )
