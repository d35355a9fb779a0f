"""The wall inside one picture: the bend or curve that the survey knows of there."""

from __future__ import annotations

import pytest

from giornata.core import survey
from giornata.core.projection import Orientation, SetUp, WallShape, brightness, wall_shape


def set_up(start: float) -> SetUp:
    return SetUp(
        number=2, column=2, row=1, centre=start + 2.5, distance=7.0, lens_level=1.4,
        lens_height=1.4, orientation=Orientation.LEVEL, start=start, end=start + 5.0, foot=0.0,
        head=3.125, wall_foot=0.0, wall_head=2.5, pitch=5.0 / 1920, columns=1920, rows=1200,
        throw_ratio=1.4, light=brightness(179.0, 10.0, 5.0), shift=0.0, tilt=0.0, keystone=1.0,
        overlap_next=None, overlap_above=None,
    )  # fmt: skip


@pytest.fixture(scope="module")
def wall() -> survey.DevelopedWall:
    """60 m; bends at 10 and 12 m, concave from 20 to 35 m at 25 m radius, convex to 50 at 40 m."""
    made, _ = survey.develop(
        survey.WallSurvey(
            datum="left end",
            bays=(survey.Bay(name="1", length=60.0),),
            heights=tuple(survey.Height(at=at, height=2.5) for at in (0.0, 60.0)),
            bends=(survey.Bend(at=10.0, angle=0.2), survey.Bend(at=12.0, angle=-0.3)),
            arcs=(
                survey.Arc(start=20.0, end=35.0, radius=25.0, curve=survey.Curve.CONCAVE),
                survey.Arc(start=40.0, end=50.0, radius=40.0, curve=survey.Curve.CONVEX),
            ),
        )
    )
    assert made is not None
    return made


@pytest.mark.parametrize(
    ("start", "shape", "doubt"),
    [
        (1.0, WallShape(), False),
        (5.1, WallShape(), False),  # the bend at 10 m lies in its rim and bends nothing
        (6.0, WallShape(hinge=10.0, fold=0.2), False),
        (8.0, WallShape(hinge=12.0, fold=-0.3), True),  # two bends: the stronger is followed
        (25.0, WallShape(curvature=-1 / 25), False),  # hollow
        (44.0, WallShape(curvature=1 / 40), False),  # bulges towards you
        (32.0, WallShape(curvature=-1 / 25), True),  # the curve ends inside the picture
    ],
)
def test_what_the_survey_knows_of_the_wall_in_a_picture(wall, start, shape, doubt):
    found, findings = wall_shape(wall, set_up(start))
    assert found.hinge == shape.hinge
    assert (found.fold, found.curvature) == pytest.approx((shape.fold, shape.curvature))
    assert [one.code for one in findings] == ["projection.square_shape"] * doubt
