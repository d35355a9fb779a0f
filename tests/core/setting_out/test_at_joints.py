"""Narrow parts beside movement joints (N10), on shapes of known width and place."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import artwork, setting_out
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.setting_out import ArtworkPlacement, AtJoint

WALL = shapely.box(0, 0, 52, 2.4)
GROUND = Paint(number=1, key="sand", name="Sand", role=Role.GROUND, artwork=("#e8dcc0",))
REED = Paint(number=2, key="reed", name="Reed", artwork=("#244b3c",))
JOINTS = (7.5, 15.0, 22.5, 30.0, 37.5, 45.0)  # N10: every 7.5 m of 52 m


def found(*shapes: shapely.Geometry) -> tuple[AtJoint, ...]:
    return laid(*shapes, joints=JOINTS).at_joints


def laid(*shapes: shapely.Geometry, joints: tuple[float, ...] = ()) -> setting_out.PlacedArtwork:
    """Shapes of one paint in metres from the wall's foot, on ground."""
    flip = [1, 0, 0, -1, 0, 2.4]
    drawing = Drawing(
        name="reeds",
        width=52.0,
        height=2.4,
        shapes=(
            Shape(area=WALL, colour="#e8dcc0"),
            *(
                Shape(area=shapely.affinity.affine_transform(one, flip), colour="#244b3c")
                for one in shapes
            ),
        ),
    )
    coverage, _ = artwork.painted(artwork.flattened(drawing), (GROUND, REED))
    return setting_out.place(
        coverage,
        canvas=(52.0, 2.4),
        placement=ArtworkPlacement(scale=1.0),
        net=WALL,
        paints=(GROUND, REED),
        joints=joints,
    )


def upright(start: float, end: float) -> shapely.Geometry:
    return shapely.box(start, 0.4, end, 2.0)


def test_n10_narrower_than_60_mm_within_50_mm_of_a_joint():
    # N10's limits; the parts are placed by hand.
    parts = found(
        upright(15.04, 15.08),  # 40 mm wide, 40 mm off: listed
        upright(7.40, 7.44),  # 40 mm wide, 60 mm off: far enough
        upright(22.4, 24.0),  # wide
        upright(29.98, 30.03),  # 50 mm wide, on the joint: listed
        upright(37.51, 37.57),  # 60 mm is not narrower than 60 mm
    )
    assert [(part.joint, part.paint) for part in parts] == [(15.0, 2), (30.0, 2)]
    assert parts[0].distance == pytest.approx(0.04, abs=1e-6)
    assert parts[1].distance == 0.0
    for part, (start, end) in zip(parts, [(15.04, 15.08), (29.98, 30.03)], strict=True):
        assert start < part.x < end
        assert 0.4 < part.y < 2.0


def test_a_neck_of_a_broad_shape_is_narrow_and_its_corners_are_not():
    body = shapely.union_all([
        shapely.box(43.0, 0.4, 44.9, 2.0),
        shapely.box(44.9, 1.0, 45.3, 1.04),  # a neck of 40 mm across the joint
        shapely.box(45.3, 0.4, 46.5, 2.0),
    ])  # fmt: skip
    (part,) = found(body)
    assert part.joint == 45.0
    assert 1.0 < part.y < 1.04
    # The corners of a square stand beside the joint, and no disc fits into a corner.
    assert found(upright(45.02, 46.5)) == ()


def test_nothing_of_a_plain_wall_or_without_joints():
    assert found() == ()
    assert laid(upright(15.0, 15.04)).at_joints == ()


def test_a_line_along_the_wall_is_listed_once_at_every_joint_it_crosses():
    line = shapely.box(1.0, 1.2, 51.0, 1.23)
    parts = found(line)
    assert [part.joint for part in parts] == list(JOINTS)
    assert np.allclose([part.y for part in parts], 1.215, atol=0.015)


def test_each_joint_has_one_finding_that_names_its_places():
    shapes = [shapely.box(14.9, 0.2 + 0.2 * k, 15.1, 0.22 + 0.2 * k) for k in range(7)]
    findings = [
        one for one in laid(*shapes, joints=JOINTS).findings if one.code == "setting_out.at_joint"
    ]
    (one,) = findings
    assert one.subject == "joint at 15.00 m"
    assert "in 7 places" in one.message
    assert "Reed at x 15.00" in one.message
    assert one.message.endswith("and 2 more.")
