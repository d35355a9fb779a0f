"""Lens shift that was set by eye: when marks tell it, when they refuse to, kinds compared."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from giornata.core import projection
from giornata.core.foundation import readonly
from giornata.core.projection import SHIFT_DOUBT, Extra, MapKind, MarkSeen, PoseMap


def turned_pose(worlds, pan, tilt, roll=0.0, *, down=0.0, across=0.0):
    """The worlds' projector, turned by hand [degrees], its lens axis moved in the picture [px]."""
    axes = projection.turned(*np.radians([pan, tilt, roll]).tolist()).T @ projection.FACING
    centre = readonly(np.add(worlds.NOMINAL.centre, [across, down]))
    return replace(worlds.NOMINAL, axes=axes, centre=centre)


def seen(worlds, pose, across=4, down=3):
    px = worlds.picture_grid(across, down, inset=0.04)
    wall = worlds.wall_from_px(pose, px)
    return tuple(
        MarkSeen(name=f"M{k:02d}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=0.002,
                 px_sigma=1.0)
        for k, ((x, y), (u, v)) in enumerate(zip(wall.tolist(), px.tolist(), strict=True))
    )  # fmt: skip


def test_slopes_with_the_shift_are_those_of_small_steps(worlds):
    extras = {Extra.ACROSS: (960.0, 240.0), Extra.DOWN: (1200.0, 240.0)}
    one = replace(turned_pose(worlds, 5, 4, 2), extras=extras)
    places = np.array([(28.0, 2.0), (30.0, 4.0), (32.5, 3.0)])
    _, by_parameter = one.slopes(places)
    for number, step in enumerate(np.eye(8) * 1e-5):
        ahead, behind = (one.moved(way).px_from_wall(places) for way in (step, -step))
        slope = (ahead - behind) / 2e-5
        assert by_parameter[:, :, number] == pytest.approx(slope, rel=1e-4, abs=2e-3)


def test_a_shift_set_by_eye_comes_out_of_a_turned_projector(worlds):
    # Without noise: shifted by 12 % of the height more, 5 % of the width to the left.
    truth = turned_pose(worlds, 8, 6, 2, down=0.12 * worlds.ROWS, across=0.05 * worlds.COLUMNS)
    made = worlds.squared(seen(worlds, truth), by_eye=True)
    assert made.kind is MapKind.SHIFT
    shift = made.shift
    assert shift is not None
    assert shift.told
    # Drawn a little to what is believed beforehand, by less than one standard deviation.
    assert abs(shift.up - 0.62) < shift.up_sigma
    assert abs(shift.side + 0.05) < shift.side_sigma
    assert "projection.square_shift" not in {one.code for one in made.findings}
    # Taken as planned the marks speak against it: another kind is taken, or errors are widened.
    wrong = worlds.squared(seen(worlds, truth))
    assert wrong.kind is not MapKind.POSE or wrong.widened > 1.0
    assert wrong.shift is None


def test_square_before_a_flat_wall_no_marks_tell_a_shift_and_it_is_said(worlds):
    # By hand: square on, x_px = c + f (X - C) / d; adding to c and moving C by d/f of it leaves
    # every x_px where it was. So of a shift nothing is learnt, but the picture is the same.
    truth = turned_pose(worlds, 0, 0, down=0.1 * worlds.ROWS)
    made = worlds.squared(seen(worlds, truth), by_eye=True)
    assert made.shift is not None
    assert not made.shift.told
    assert made.shift.up_sigma == pytest.approx(SHIFT_DOUBT.value, rel=0.1)
    (said,) = [one for one in made.findings if one.code == "projection.square_shift"]
    assert "leave it open" in said.message
    assert made.fit is not None
    missed, _ = worlds.errors(truth, made.fit)
    assert missed.max() < 0.001


def test_few_marks_are_refused_as_tellers_of_a_shift_and_errors_keep_its_doubt(worlds):
    truth = turned_pose(worlds, 8, 6, 2, down=60.0)
    five = seen(worlds, truth, 3, 2)[:5]
    made = worlds.squared(five, by_eye=True)
    assert made.shift is not None
    assert not made.shift.told
    (said,) = [one for one in made.findings if one.code == "projection.square_shift"]
    assert "5 marks are too few to tell it; from 6 on" in said.message
    assert said.severity == "warn"
    planned = worlds.squared(five)
    assert made.error is not None
    assert planned.error is not None
    assert made.error.most > planned.error.most


def test_the_shift_and_its_deviation_are_those_of_scipy(worlds):
    # scipy.optimize.least_squares: pose, throw ratio, lens, shift with the same beliefs.
    rng = np.random.default_rng(12)
    truth = turned_pose(worlds, 7, 5, 2, down=100.0, across=-60.0)
    marks = tuple(
        replace(m, mark_sigma=0.0, x_px=m.x_px + rng.normal(), y_px=m.y_px + rng.normal())
        for m in seen(worlds, truth)
    )
    fit = projection.fit_of_kind(
        MapKind.SHIFT, marks, worlds.COLUMNS, worlds.ROWS, pose=worlds.NOMINAL, shift_by_eye=True
    )
    assert fit is not None
    nominal = worlds.NOMINAL
    doubt = SHIFT_DOUBT.value * worlds.ROWS
    px = np.array([(m.x_px, m.y_px) for m in marks])
    at = np.array([(m.chainage, m.level) for m in marks])

    def posed(x: np.ndarray) -> PoseMap:
        return replace(
            nominal, axes=Rotation.from_rotvec(x[:3]).as_matrix() @ nominal.axes,
            lens=nominal.lens + x[3:6], focal=nominal.focal * math.exp(0.05 * x[6]),
            bend=0.03 * x[7], centre=nominal.centre + doubt * x[8:10],
        )  # fmt: skip

    def missed(x: np.ndarray) -> np.ndarray:
        return np.concatenate([(px - posed(x).px_from_wall(at)).ravel(), x[6:]])

    whole = least_squares(missed, np.zeros(10), x_scale="jac", xtol=1e-15, ftol=1e-15)
    spread = np.linalg.inv(whole.jac.T @ whole.jac)
    found = fit.on_wall
    assert isinstance(found, PoseMap)
    assert found.centre == pytest.approx(posed(whole.x).centre, abs=0.5)
    ours = np.sqrt(np.diag(fit.covariance)[-2:])
    assert ours == pytest.approx(doubt * np.sqrt(np.diag(spread)[8:10]), rel=0.02)
    assert fit.misfit == pytest.approx(2 * whole.cost, rel=1e-3)


@pytest.mark.parametrize("kind", ["shift by eye", "shift by eye, curved"])
def test_pictures_with_a_shift_set_by_eye_keep_honest_ellipses(worlds, kind):
    trials = 16
    made = worlds.trials(kind, trials, 11, worlds.USUAL)
    apart = 2.5 * 0.11 / math.sqrt(trials)  # as in test_alignment_worlds
    assert made.inside >= 0.94 - apart
    assert made.most <= 1.1 * 1.2 * 0.0078


def test_kinds_by_eye_are_compared_only_where_the_shift_is_not_known(worlds):
    marks = seen(worlds, turned_pose(worlds, 3, 2))
    by_eye = {one.kind for one in worlds.squared(marks, by_eye=True).kinds}
    planned = {one.kind for one in worlds.squared(marks).kinds}
    assert by_eye - planned == {MapKind.SHIFT, MapKind.SHIFT_CURVE}
    assert planned < by_eye


def test_a_shift_to_the_side_of_a_projector_on_its_side_is_told_upright(worlds):
    # On its side the picture's right is the wall's up (planned_pose): 100 px of it upwards.
    one = replace(
        worlds.PLANNED, orientation=projection.Orientation.ON_SIDE, shift=0.0, lens_level=3.4,
        start=28.0, end=32.0, foot=0.2, head=6.6,
    )  # fmt: skip
    pose = projection.planned_pose(one)
    fit = projection.fit_of_kind(
        MapKind.SHIFT, seen(worlds, worlds.NOMINAL), one.columns, one.rows, pose=pose,
        shift_by_eye=True,
    )  # fmt: skip
    assert fit is not None
    assert isinstance(fit.on_wall, PoseMap)
    for moved, expected in (((0.0, 0.0), (0.0, 0.0)), ((96.0, 0.0), (96 / 1920, 0.0))):
        centre = readonly(pose.centre + moved)
        found = projection.shift_found(
            replace(fit, on_wall=replace(fit.on_wall, centre=centre)), one
        )
        assert found is not None
        assert (found.up, found.side) == pytest.approx(expected, abs=1e-9)
