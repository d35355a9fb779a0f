"""Developing: the survey's readings unrolled into one flat wall with its figures."""

from __future__ import annotations

import math

import numpy as np

from giornata.core.foundation import Assumption, Finding, Floats, Severity
from giornata.core.survey.adjusted_areas import (
    adjusted_length,
    restated,
    restated_openings,
    uncertain,
)
from giornata.core.survey.adjusted_wall import adjusted_wall, all_bays_checked
from giornata.core.survey.areas import gross_area, net_area, wall_length
from giornata.core.survey.closure import Verdict, bay_spans, closure, taped_length
from giornata.core.survey.corrugation import form_figure, rib_findings
from giornata.core.survey.features import (
    arcs_inside,
    bends_inside,
    joints_inside,
    lamps_on_wall,
    names_twice,
    piers_on_wall,
)
from giornata.core.survey.line import level_at
from giornata.core.survey.observations import WallSurvey
from giornata.core.survey.opening_areas import openings_area
from giornata.core.survey.openings import hidden_bands, opening_clashes, openings_on_wall
from giornata.core.survey.outline import outline
from giornata.core.survey.plan import plan_line
from giornata.core.survey.profile import profile
from giornata.core.survey.ribs import RibbedFace
from giornata.core.survey.true_area import returns_area
from giornata.core.survey.unread import unread
from giornata.core.survey.wall import DevelopedWall

__all__ = ["develop"]

OVERCHARGE = Assumption(
    name="excess of length × greatest height worth warning of",
    value=0.05,
    unit="-",
    source="contracts allow 5 % on the size of a wall: muralists' public terms",
    usual=(0.02, 0.1),
)

_LEAST_NET = 0.005  # m²: less than this is billed as 0.00


def develop(
    survey: WallSurvey, *, facing: float = math.pi
) -> tuple[DevelopedWall | None, tuple[Finding, ...]]:
    """The wall unrolled flat, and everything amiss with its survey; None where it has no area.

    Parameters
    ----------
    survey : WallSurvey
        What was measured at the wall.
    facing : float
        Direction the painted face looks at chainage 0, from true north by east; without it the
        wall is laid out facing south, so that it runs due east. [rad]

    Notes
    -----
    Where an overall was measured it is the wall's length, and chainages of readings, openings and
    the rest are taken as running measures from the datum on that same length; the bays are fitted
    to it. Without one the length is the sum of the bays. Readings between named points are adjusted
    together with all of these, and the wall drawn from the result, unless they contradict one
    another.
    """
    closed, findings = closure(survey)
    adjusted, more = adjusted_wall(survey, closed)
    if adjusted is not None and adjusted.used:
        survey = adjusted.survey
        if closed is None and all_bays_checked(adjusted):
            findings = ()
    findings = (*findings, *more)
    length = taped_length(survey)
    reach = survey.closure_limit
    if closed is not None and closed.verdict is Verdict.REMEASURE:
        reach = max(reach, abs(closed.misclosure))
    found: list[Finding] = [*findings, *names_twice(survey)]
    piers, more = piers_on_wall(survey, length, reach)
    found.extend(more)
    joints, more = joints_inside(survey, length)
    found.extend(more)
    bends, more = bends_inside(survey, length, survey.openings)
    found.extend(more)
    arcs, more = arcs_inside(survey, length, reach)
    found.extend(more)
    lamps, more = lamps_on_wall(survey, length, reach)
    found.extend(more)
    made, more = profile(survey, length, reach)
    found.extend(more)
    if made is None:
        return None, tuple(found)
    top, ground = made.top.points, made.ground.points
    gross, sunk = outline(top, ground)
    found.extend(sunk)
    if gross.is_empty:
        return None, tuple(found)
    found.extend(unread(made, gross.area))
    openings, net, more = openings_on_wall(survey, gross, length, reach)
    found.extend([*more, *opening_clashes(openings, piers)])
    hidden, more = hidden_bands(survey, gross, ground, length, reach)
    found.extend(more)
    if net.area < _LEAST_NET:
        return None, (*found, _no_net_area(net.area, gross.area))
    greatest = _greatest_height(top, ground)
    found.extend(_greatest_height_charge(length, greatest, gross.area))
    whole, of_length = wall_length(survey, closed, findings)
    of_gross = gross_area(made, whole, of_length, float(gross.area), sunk)
    of_openings = openings_area(survey, openings)
    of_net = net_area(of_gross, of_openings, net)
    if adjusted is not None and adjusted.used:
        known = uncertain(adjusted, reach)
        whole, of_length = adjusted_length(adjusted, known, findings)
        of_gross = gross_area(made, whole, of_length, float(gross.area), sunk)
        of_gross = restated(of_gross, made, known, "gross")
        of_openings = restated_openings(of_openings, known)
        of_net = restated(net_area(of_gross, of_openings, net), made, known, "net")
    form_factor = form_figure(survey.corrugation, survey.form_factor)
    ribbed = None
    if form_factor is not None:
        ribbed = RibbedFace(factor=form_factor, sheet=survey.corrugation, ribs=survey.ribs)
    found.extend(rib_findings(form_factor, told=survey.ribs is not None))
    plan = plan_line(length, bends, facing, arcs)
    wall = DevelopedWall(
        datum=survey.datum,
        surface=survey.surface,
        length=length,
        bays=bay_spans(survey, None if adjusted is not None and adjusted.used else closed),
        top=top,
        ground=ground,
        outline=gross,
        openings=openings,
        net=net,
        piers=piers,
        joints=joints,
        plan=plan.points,
        facing=plan.facing,
        curvature=plan.curvature,
        arcs=arcs,
        hidden=hidden,
        lamps=lamps,
        closure=closed,
        adjustment=None if adjusted is None else adjusted.adjustment,
        wall_length=whole,
        gross_area=of_gross[0],
        openings_area=of_openings[0],
        net_area=of_net[0],
        returns_area=returns_area(survey, piers, top, ground),
        form_factor=form_factor,
        ribbed=ribbed,
        greatest_height=greatest,
        gross_precision=of_gross[1],
        net_precision=of_net[1],
    )
    return wall, tuple(found)


def _greatest_height(top: Floats, ground: Floats) -> float:
    """Greatest height between two lines, on either side of each step. [m]"""
    breaks = np.unique(np.concatenate([top[:, 0], ground[:, 0]]))
    return max(
        level_at(top, at, before=before) - level_at(ground, at, before=before)
        for at in breaks
        for before in (False, True)
    )


def _greatest_height_charge(length: float, greatest: float, gross: float) -> tuple[Finding, ...]:
    box = length * greatest
    over = box / gross - 1
    if over <= OVERCHARGE.value:
        return ()
    return (
        Finding(
            code="survey.greatest_height",
            severity=Severity.WARN,
            subject="gross area",
            message=f"Length × greatest height, {length:.2f} × {greatest:.2f} m, is {box:.2f} m² "
            f"and would over-charge {100 * over:.0f} %: the gross area is {gross:.2f} m².",
            remedy="Bill the area from the readings, and show the client the elevation.",
        ),
    )


def _no_net_area(net: float, gross: float) -> Finding:
    return Finding(
        code="survey.no_net_area",
        severity=Severity.STOP,
        subject="wall",
        message=f"Of the gross {gross:.4g} m² the openings leave {net:.4g} m²: nothing to paint.",
        remedy="Correct the openings, their levels and chainages, or the length of the wall.",
    )
