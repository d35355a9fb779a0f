"""The elevation of walls that are curved in plan and have openings of other outlines."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from giornata.core.documents import Line, elevation
from giornata.core.foundation import System
from giornata.core.survey import Arc, Bend, Curve, Opening, OpeningShape

Make = Callable[..., Any]


def words(paper: Any) -> str:
    return " ".join(label.text for sheet in paper.sheets for label in sheet.labels)


def test_a_curve_keeps_the_walls_length_and_is_named(made: Make) -> None:
    # Known by construction: unrolled, a curve changes nothing but its two chain lines and name.
    arc = Arc(start=5.0, end=11.0, radius=8.0, curve=Curve.CONVEX)
    plain = elevation(made(14.0, 2.9, 2), System.METRIC).sheets[0]
    paper = elevation(made(14.0, 2.9, 2, arcs=(arc,)), System.METRIC)
    curved = paper.sheets[0]
    assert "convex curve, radius 8.00" in words(paper)
    dashed = [
        float(item.points[0, 0])
        for item in curved.items
        if isinstance(item, Line) and item.pen.dash == (6.0, 1.2, 0.8, 1.2)
    ]

    def outline(sheet: Any) -> Any:
        return next(i for i in sheet.items if isinstance(i, Line) and i.pen.width == 0.5).points

    assert outline(curved)[:, 0] == pytest.approx(outline(plain)[:, 0])
    left = float(outline(curved)[:, 0].min())
    scale = float(np.ptp(outline(curved)[:, 0])) / 14.0  # mm to one metre
    assert sorted(dashed) == pytest.approx([left + 5 * scale, left + 11 * scale])


def test_where_a_curved_wall_faces(made: Make) -> None:
    # By hand: it looks south (180°); 6 m convex at 8 m radius turn it 0.75 rad = 43.0° away from
    # you, to 137°; a bend of 30° towards you brings it to 167°.
    arc = Arc(start=5.0, end=11.0, radius=8.0, curve=Curve.CONVEX)
    bend = Bend(at=12.0, angle=math.radians(30))
    results = made(14.0, 2.9, 2, arcs=(arc,), bends=(bend,))
    site = replace(results.inputs.site, facing=math.pi)
    sited = replace(results, inputs=replace(results.inputs, site=site))
    said = words(elevation(sited, System.METRIC))
    assert "180° (south), then turning to 137° (south-east), then 167° (south)" in said


def test_a_round_opening_is_drawn_round(made: Make) -> None:
    hole = Opening(name="port", start=8.0, end=9.0, foot=1.0, shape=OpeningShape.ROUND)
    sheet = elevation(made(14.0, 2.9, 2, openings=(hole,)), System.METRIC).sheets[0]
    lines = [item.points for item in sheet.items if isinstance(item, Line) and not item.pen.dash]
    round_ones = [points for points in lines if len(points) > 100]
    assert round_ones
    for points in round_ones:
        middle = (points.min(axis=0) + points.max(axis=0)) / 2
        distances = np.hypot(*(points - middle).T)
        assert np.ptp(distances) < 0.01  # mm on paper
        across = [p for p in lines if len(p) == 2 and np.hypot(*(p.mean(axis=0) - middle)) < 0.01]
        assert across  # its cross, cut to the circle
        assert all(
            np.hypot(*np.ptp(p, axis=0)) <= 2 * distances.max() + 0.01
            for p in across
            if np.ptp(p[:, 0]) > 0.1 and np.ptp(p[:, 1]) > 0.1
        )
