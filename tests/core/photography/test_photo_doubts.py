"""Findings on photos: each provoked by a photo that deserves it."""

from __future__ import annotations

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest

from giornata.core import survey
from giornata.core.foundation import Severity
from giornata.core.photography import (
    Camera,
    DrawnOutline,
    LensFrom,
    OutlineKind,
    Verdict,
    named_places,
    proud_shift,
    rectification,
)

MM = 0.001
CORNERS = [(2.0, 0.0), (10.0, 0.0), (10.0, 3.0), (2.0, 3.0)]
EIGHT = [*CORNERS, (6.0, 0.0), (6.0, 3.0), (4.0, 1.4), (8.5, 1.8)]


def codes(findings):
    return {finding.code for finding in findings}


def only(findings, code):
    (found,) = [finding for finding in findings if finding.code == code]
    return found


def test_three_points_are_refused(photo_of_points):
    made, findings = rectification(photo_of_points(CORNERS[:3]))
    assert made is None
    found = only(findings, "photography.few_points")
    assert found.severity is Severity.STOP
    assert found.message.startswith("3 known points")


@pytest.mark.parametrize(
    "places",
    [
        [(2.0, 1.0), (4.0, 1.0), (7.0, 1.0), (10.0, 1.0)],
        [(2.0, 1.0), (4.0, 1.01), (7.0, 1.0), (10.0, 1.0), (9.0, 1.01)],
        [(2.0, 0.0), (6.0, 0.0), (10.0, 0.0), (6.0, 3.0)],
        [(2.0, 0.0), (2.0, 0.0), (10.0, 0.0), (10.0, 3.0)],
    ],
    ids=["in a line", "nearly in a line", "three of four in a line", "one point twice"],
)
def test_points_in_a_line_or_nearly_are_refused(photo_of_points, places):
    made, findings = rectification(photo_of_points(places))
    assert made is None
    assert only(findings, "photography.points_in_line").severity is Severity.STOP


def test_exchanged_points_are_refused(photo_of_points):
    photo = photo_of_points(CORNERS)
    a, b, c, d = photo.points
    mirrored = tuple(
        replace(one, chainage=other.chainage) for one, other in ((a, b), (b, a), (c, d), (d, c))
    )
    twisted = (replace(a, chainage=b.chainage), replace(b, chainage=a.chainage), c, d)
    for points in (mirrored, twisted):
        made, findings = rectification(replace(photo, points=points))
        assert made is None
        assert codes(findings) == {"photography.points_crossed"}


def test_a_point_beside_the_picture_is_refused(photo_of_points):
    photo = photo_of_points(CORNERS)
    made, findings = rectification(
        replace(photo, points=(replace(photo.points[0], x=4001.0), *photo.points[1:]))
    )
    assert made is None
    assert "p0" in only(findings, "photography.point_off_photo").subject


def test_four_points_are_unchecked_and_say_so(photo_of_points):
    made, findings = rectification(photo_of_points(CORNERS))
    assert made.agreement.verdict is Verdict.UNCHECKED
    assert only(findings, "photography.no_check").severity is Severity.NOTE
    lens = only(findings, "photography.lens_unknown")
    assert lens.severity is Severity.NOTE
    assert max(residual.pixels for residual in made.residuals) < 1e-6


def test_a_slip_of_100_mm_is_named_and_its_size_is_read_back(photo_of_points):
    photo = photo_of_points([*EIGHT, (3.0, 2.6), (9.0, 0.5)])
    slipped = replace(photo.points[6], chainage=photo.points[6].chainage + 0.1)
    points = tuple(slipped if p.name == "p6" else p for p in photo.points)
    made, findings = rectification(replace(photo, points=points))
    assert made.agreement.left_out is slipped
    found = only(findings, "photography.point_off")
    assert found.severity is Severity.WARN
    assert found.subject.endswith("p6")
    # Read from the others, without noise: 100 mm back along, none up.
    residual = next(one for one in made.residuals if one.point is slipped)
    assert (residual.chainage, residual.level) == pytest.approx((-0.1, 0.0), abs=0.5 * MM)
    assert not residual.used


def test_two_slips_are_not_blamed_on_one_point(photo_of_points):
    photo = photo_of_points(EIGHT)
    points = list(photo.points)
    points[1] = replace(points[1], chainage=points[1].chainage + 0.15)
    points[5] = replace(points[5], level=points[5].level + 0.12)
    points[6] = replace(points[6], level=points[6].level - 0.10)
    made, findings = rectification(replace(photo, points=tuple(points)))
    assert made.agreement.left_out is None
    assert only(findings, "photography.points_disagree").severity is Severity.STOP
    sharp, _ = rectification(photo)
    assert made.errors.worst.error > 3 * sharp.errors.worst.error  # widened to what they show


def test_a_far_slant_warns_of_its_error(photo_of_points):
    photo = photo_of_points(CORNERS)
    blunt = replace(photo, points=tuple(replace(p, pixel_sigma=6.0) for p in photo.points))
    made, findings = rectification(blunt)
    found = only(findings, "photography.error_large")
    assert f"{1000 * made.errors.worst.error:,.0f} mm" in found.message
    assert made.errors.best.error < made.errors.worst.error


def outline(kind, corners, name="Gate"):
    return DrawnOutline(name=name, kind=kind, corners=np.asarray(corners, dtype=float))


def test_an_outline_beyond_the_points_is_a_finding(photo_of_points, truth):
    wall = np.array([[9.0, 1.0], [12.0, 1.0], [12.0, 2.0], [9.0, 2.0]])
    px = cv2.perspectiveTransform(wall.reshape(-1, 1, 2), truth).reshape(-1, 2)
    made, findings = rectification(
        photo_of_points(EIGHT, outlines=(outline(OutlineKind.OPENING, px),))
    )
    assert made.outlines[0].corners == pytest.approx(wall, abs=1 * MM)
    found = only(findings, "photography.outside_points")
    assert "2.00 m beyond" in found.message  # 12.0 - 10.0, by hand
    assert made.outlines[0].errors[1] > made.outlines[0].errors[0]


def test_crossed_sides_and_a_corner_in_the_sky(photo_of_points):
    crossed = outline(OutlineKind.OPENING, [[900, 1800], [1500, 1000], [1500, 1800], [900, 1000]])
    # Top and ground of the wall close in by 400 + 400 px over 3,100: they meet where the height of
    # 1,900 px is used up, 1900 / 800 × 3,050 px right of x = 400, near x = 7,640.
    far = outline(OutlineKind.TOP, [[900, 700], [9000, 1500]], name="Top")
    made, findings = rectification(photo_of_points(EIGHT, outlines=(crossed, far)))
    assert only(findings, "photography.outline_crossed").severity is Severity.WARN
    assert only(findings, "photography.above_horizon").severity is Severity.STOP
    assert [one.name for one in made.outlines] == ["Gate"]


def test_n66_a_pier_proud_of_the_wall_is_flagged(photo_of_points, flat_wall):
    # N66: piers 0.3 m proud flagged. By hand: half a frame of 15.0 m off, 10 m away, the line of
    # sight leaves 0.3 m × 7.5 / (10 - 0.3) = 232 mm along the wall; plainly 0.3 × tan = 225 mm.
    stand = Camera(chainage=0.0, level=1.5, distance=10.0, focal=1.2, lens_from=LensFrom.FILE)
    shift = proud_shift(stand, np.array([[7.5, 1.5]]), 0.3)
    assert shift[0] == pytest.approx([0.3 * 7.5 / 9.7, 0.0], abs=1e-9)
    piers = (survey.Pier(name="P1", at=6.5, width=0.5, proud=0.3),)
    made, findings = rectification(photo_of_points(EIGHT), flat_wall(piers=piers))
    found = only(findings, "photography.pier_proud")
    corners = np.array([(c, z) for c in (6.25, 6.75) for z in (0.0, 3.0)])
    off = corners - (made.stand.chainage, made.stand.level)
    by_hand = 0.3 / (made.stand.distance - 0.3) * np.hypot(*off.T).max()
    assert f"up to {1000 * by_hand:.0f} mm away" in found.message
    assert "photography.point_on_pier" not in codes(findings)
    with pytest.raises(ValueError, match="before the camera"):
        proud_shift(stand, corners, 10.0)


def test_a_point_picked_on_a_pier_is_a_finding(photo_of_points, flat_wall):
    piers = (survey.Pier(name="P1", at=6.0, width=0.5, proud=0.12),)
    _, findings = rectification(photo_of_points(EIGHT), flat_wall(piers=piers))
    assert only(findings, "photography.point_on_pier").subject.endswith("p4, p5")


def test_a_bend_between_the_points_stops(photo_of_points, flat_wall):
    bends = (survey.Bend(at=8.0, angle=math.radians(14)),)
    _, findings = rectification(photo_of_points(EIGHT), flat_wall(bends=bends))
    found = only(findings, "photography.bend_inside")
    assert found.severity is Severity.STOP
    assert f"{1000 * 2.0 * math.sin(math.radians(14)):.0f} mm out of the plane" in found.message


def test_a_curve_between_the_points_stops(photo_of_points, flat_wall):
    arcs = (survey.Arc(start=3.0, end=9.0, radius=20.0, curve=survey.Curve.CONVEX),)
    _, findings = rectification(photo_of_points(EIGHT), flat_wall(arcs=arcs))
    found = only(findings, "photography.curve_inside")
    assert found.severity is Severity.STOP
    # Rise of 6 m of a 20 m circle: 20 (1 - cos 0.15) = 0.2246 m.
    assert "rises 225 mm out" in found.message


def test_an_obstacle_says_that_it_stands_before_the_wall(photo_of_points, flat_wall):
    hedge = outline(OutlineKind.OBSTACLE, [[900, 2300], [1500, 2200], [1500, 1900]], name="Hedge")
    _, findings = rectification(photo_of_points(EIGHT, outlines=(hedge,)), flat_wall())
    assert only(findings, "photography.obstacle_before_wall").severity is Severity.NOTE


def test_places_by_name(flat_wall):
    places = {place.name: (place.chainage, place.level) for place in named_places(flat_wall())}
    assert places["left end, upper"] == (0.0, 3.0)
    assert places["bay 1, lower right"] == (8.0, 0.0)
    assert places["Gate, upper left"] == (4.0, 2.1)
    assert places["Gate, lower right"] == (5.2, 0.0)
