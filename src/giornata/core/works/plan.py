"""The works of one option in one colourway: paint, hours, days, lift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.artwork import Colourway, Role
from giornata.core.foundation import Figure, Finding, derived
from giornata.core.survey import Surface
from giornata.core.works.access import LiftHire, lift_hire
from giornata.core.works.days import WorkingDays, working_days
from giornata.core.works.experience import (
    PastEstimate,
    disagreement,
    past_estimate,
    personal_rates,
)
from giornata.core.works.labour import Labour, labour_hours, rate_findings
from giornata.core.works.paint import PaintOrder, paint_order
from giornata.core.works.quantities import CoatCounts, PaintQuantity, coat_counts
from giornata.core.works.spreading import spreading_rate_findings
from giornata.core.works.terms import AccessTerms, LabourTerms, PaintTerms

__all__ = ["WorkPlan", "decision_findings", "figure_area", "whole_edge", "work_plan"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkPlan:
    """What one option takes in one colourway.

    Parameters
    ----------
    colourway : str
        Its key.
    quantities : tuple of PaintQuantity
        Areas and edges it was reckoned from.
    coats : CoatCounts
        Of primer, base and each figure paint.
    edge : Figure
        All edges cut, each once. [m]
    order : PaintOrder
        Paint, tins, cost.
    labour : Labour
        Person-time by task.
    days : WorkingDays
        Of work, on the calendar, to book.
    lift : LiftHire or None
        None where none is needed, or its tariff is not known.
    past : PastEstimate or None
        Hours by the painter's own finished jobs.
    """

    colourway: str
    quantities: tuple[PaintQuantity, ...]
    coats: CoatCounts
    edge: Figure
    order: PaintOrder
    labour: Labour
    days: WorkingDays
    lift: LiftHire | None
    past: PastEstimate | None


def figure_area(quantities: Sequence[PaintQuantity]) -> Figure:
    """Area of all figure paints. [m²]"""
    parts = tuple(q.area for q in quantities if q.role is Role.FIGURE)
    return derived(
        "figure area", sum(map(float, parts)), "m²", method="works.figure_area v1",
        formula="sum over figure paints",
        parts=parts or tuple(q.area for q in quantities),
    )  # fmt: skip


def whole_edge(quantities: Sequence[PaintQuantity]) -> Figure:
    """Edge cut with all paints, each shared edge once. [m]"""
    parts = tuple(q.cut_edge for q in quantities)
    return derived(
        "edge", sum(map(float, parts)), "m", method="works.whole_edge v1",
        formula="sum over paints, each shared edge once", parts=parts,
    )  # fmt: skip


def decision_findings(
    paint: PaintTerms, rates: LabourTerms, surface: Surface
) -> tuple[Finding, ...]:
    """Doubts about the decisions alone, whatever the design.

    Parameters
    ----------
    paint : PaintTerms
        Spreading rates against what the surface usually takes.
    rates : LabourTerms
        Working rates against the range seen.
    surface : Surface
        Face of the wall.
    """
    findings: list[Finding] = []
    for name, coating in (("figure paints", paint.figure), ("base coat", paint.base)):
        if coating.coats:
            findings += spreading_rate_findings(surface, coating.spreading_rate, subject=name)
    findings += rate_findings(rates.rates)
    findings += personal_rates(rates.past)[1]
    return tuple(findings)


def work_plan(
    *,
    net_area: Figure,
    quantities: Sequence[PaintQuantity],
    colourway: Colourway,
    paint: PaintTerms,
    rates: LabourTerms,
    access: AccessTerms | None,
    wall_height: Figure,
    tall_share: Figure | None = None,
) -> tuple[WorkPlan, tuple[Finding, ...]]:
    """Paint, hours, days and lift of one option in one colourway.

    Parameters
    ----------
    net_area : Figure
        The whole net wall; primer and base go over all of it. [m²]
    quantities : sequence of PaintQuantity
        The option's paints, in order of painting; exactly one is the ground.
    colourway : Colourway
        Decides coats; areas and edges stay.
    paint : PaintTerms
        Spreading rates, waste, loss, reserve, tins.
    rates : LabourTerms
        Working rates, people, days.
    access : AccessTerms or None
        Lift limit and tariff.
    wall_height : Figure
        Greatest height of the painted wall. [m]
    tall_share : Figure or None
        As in `lift_hire`. [-]

    Notes
    -----
    Hours are reckoned from the working rates. Where finished jobs are entered, their own
    estimate stands beside, and a finding says so where the two disagree.
    """
    counts = coat_counts(quantities, colourway, paint)
    order, findings = paint_order(
        net_area=net_area, quantities=quantities, coats=counts, colourway=colourway, terms=paint
    )
    work = labour_hours(net_area=net_area, quantities=quantities, coats=counts, terms=rates)
    days = working_days(work.total, rates)
    lift, access_findings = lift_hire(
        wall_height=wall_height, days=days, terms=access, tall_share=tall_share
    )
    edge = whole_edge(quantities)
    own, _ = personal_rates(rates.past)
    past = None if own is None else past_estimate(own, area=figure_area(quantities), edge=edge)
    doubts = () if past is None else disagreement(past, work.total)
    plan = WorkPlan(
        colourway=colourway.key,
        quantities=tuple(quantities),
        coats=counts,
        edge=edge,
        order=order,
        labour=work,
        days=days,
        lift=lift,
        past=past,
    )
    return plan, (*findings, *access_findings, *doubts)
