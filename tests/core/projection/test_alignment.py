"""Alignment: slopes against differences, exact worlds, published homographies, refusals."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
import pytest
from scipy.stats import chi2

from giornata.core import geometry, projection
from giornata.core.foundation import readonly
from giornata.core.projection import FACING, Extra, LinePoint, MapKind, MarkSeen, PoseMap

MM = 0.001
COLUMNS, ROWS = 1920, 1200
PLACES = np.array([(27.0, 0.4), (29.6, 2.1), (30.9, 0.2), (32.8, 2.9), (28.4, 3.3), (31.7, 1.5)])


def pose(**wall: object) -> PoseMap:
    made = PoseMap(
        axes=projection.turned(0.1, -0.05, 0.03).T @ FACING, lens=readonly([30.2, 1.4, 9.1]),
        focal=1.4 * COLUMNS, centre=readonly([COLUMNS / 2, ROWS]),
    )  # fmt: skip
    return replace(made, **wall)  # type: ignore[arg-type]


def marks(of: projection.WallMap, sigma: float = 2 * MM) -> tuple[MarkSeen, ...]:
    return tuple(
        MarkSeen(
            name=f"M{number}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=sigma, px_sigma=1.0
        )
        for number, ((x, y), (u, v)) in enumerate(
            zip(PLACES.tolist(), of.px_from_wall(PLACES).tolist(), strict=True)
        )
    )


KINDS = {
    "flat": pose(),
    "folded": pose(origin=30.0, fold=0.3, extras={Extra.FOLD: (0.2, 0.6)}),
    "curvature looked for on a flat wall": pose(
        origin=30.0, extras={Extra.CURVATURE: (0.0, 0.05), Extra.FOLD: (0.0, 0.6)}
    ),
    "curved": pose(origin=30.0, curvature=-0.04, extras={Extra.CURVATURE: (0.0, 0.05)}),
    "bent lens": pose(bend=0.02, extras={
        Extra.FOCAL: (math.log(1.4 * COLUMNS), 0.05), Extra.LENS: (0.0, 0.03),
    }),
    "unknown projector": projection.projective_start(marks(pose()), COLUMNS, ROWS),
    "unknown projector, fold": projection.projective_start(
        marks(pose(origin=30.0, fold=0.3)), COLUMNS, ROWS, hinge=30.0
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", KINDS)
def test_slopes_are_those_of_small_steps(kind):
    one = KINDS[kind]
    assert one is not None
    by_wall, by_parameter = one.slopes(PLACES)
    for number, step in enumerate(np.eye(2) * 1e-6):
        ahead, behind = one.px_from_wall(PLACES + step), one.px_from_wall(PLACES - step)
        assert by_wall[:, :, number] == pytest.approx((ahead - behind) / 2e-6, rel=1e-5, abs=1e-3)
    for number, step in enumerate(np.eye(by_parameter.shape[2]) * 1e-6):
        ahead, behind = (one.moved(way).px_from_wall(PLACES) for way in (step, -step))
        slope = (ahead - behind) / 2e-6
        assert by_parameter[:, :, number] == pytest.approx(slope, rel=1e-4, abs=2e-3)


@pytest.mark.parametrize("kind", ["flat", "folded", "curved"])
def test_an_exact_world_comes_back(kind):
    truth = KINDS[kind]
    start = replace(pose(), axes=FACING, lens=readonly([30.0, 1.4, 9.0]), origin=30.0)
    found = projection.aligned(replace(start, extras=truth.extras), marks(truth))
    assert found.settled
    # The belief of a fold or curvature pulls a little: by less than a tenth of a pixel.
    assert np.abs(found.residuals).max() < 0.1
    assert found.on_wall.px_from_wall(PLACES) == pytest.approx(truth.px_from_wall(PLACES), abs=0.1)


def test_a_curved_wall_keeps_its_length_and_bulges_towards_you():
    # Known by construction: 10 m of arc at a radius of 10 m; before it stands a projector far
    # off, and what bulges towards it looks larger than the flat wall does.
    curved, flat = pose(origin=30.0, curvature=0.1), pose(origin=30.0)
    near = np.array([(29.99, 1.4), (30.01, 1.4)])
    assert np.ptp(curved.px_from_wall(near)[:, 0]) == pytest.approx(
        np.ptp(flat.px_from_wall(near)[:, 0]), rel=1e-4
    )
    ends = np.array([(25.0, 1.4), (35.0, 1.4)])
    assert np.ptp(curved.px_from_wall(ends)[:, 0]) < np.ptp(flat.px_from_wall(ends)[:, 0])


def test_a7_a_homography_of_the_unit_square():
    # Checks A7 and A8: OpenCV, scikit-image and Heckbert's closed form agree on the matrix; the
    # square's centre goes to (63.076923, 61.282051), not to the mean of the corners.
    square = np.array([(0, 0), (1, 0), (1, 1), (0, 1)], dtype=float)
    seen = np.array([(10, 20), (110, 30), (100, 90), (5, 100)], dtype=float)
    features = np.column_stack([square, np.ones(4)])
    found = geometry.direct_linear(features, seen)
    expected = [
        [138.303571, -4.553571, 10], [20.446429, 88.928571, 20], [0.348214, 0.089286, 1],
    ]  # fmt: skip
    assert found / found[2, 2] == pytest.approx(np.array(expected), abs=1e-5)
    centre = found @ [0.5, 0.5, 1]
    assert centre[:2] / centre[2] == pytest.approx((63.076923, 61.282051), abs=1e-6)
    by_opencv, _ = cv2.findHomography(square, seen)
    assert found / found[2, 2] == pytest.approx(by_opencv, rel=1e-8)


def test_covariance_of_a_place_is_that_of_many_trials():
    # 400 trials of noise as stated: the spread of a far corner is as predicted within 12 %.
    rng = np.random.default_rng(2)
    truth, corner = pose(), np.array([[33.2, 3.2]])
    exact = marks(truth)
    fallen = []
    for _ in range(400):
        noisy = [
            replace(
                one, chainage=one.chainage + rng.normal(0, 2 * MM),
                level=one.level + rng.normal(0, 2 * MM), x_px=one.x_px + rng.normal(),
                y_px=one.y_px + rng.normal(),
            )
            for one in exact
        ]  # fmt: skip
        start = projection.projective_start(noisy, COLUMNS, ROWS)
        assert start is not None
        found = projection.aligned(start, noisy)
        by_wall, _ = truth.slopes(corner)
        px = found.on_wall.px_from_wall(corner) - truth.px_from_wall(corner)
        fallen.append(np.linalg.solve(by_wall[0], px[0]))
    predicted = projection.error_covariance(projection.aligned(start, exact), corner)[0]
    spread = np.cov(np.array(fallen).T)
    assert np.sqrt(np.diag(spread)) == pytest.approx(np.sqrt(np.diag(predicted)), rel=0.12)
    (radius,) = projection.error_radius(predicted[None])
    # The longer half axis lies between the two single deviations and their sum, times 2.4477.
    assert radius >= math.sqrt(projection.INSIDE_95 * float(predicted.diagonal().max())) - 1e-12
    assert radius <= math.sqrt(projection.INSIDE_95 * float(np.trace(predicted))) + 1e-12


def test_what_leaving_out_a_mark_takes_off_is_told_from_one_fit():
    # Against fitting again without it: within a tenth, and the same mark first.
    rng = np.random.default_rng(6)
    places = np.array([(x, y) for x in (27.2, 29.1, 31.0, 32.9) for y in (0.4, 1.7, 3.1)])
    px = pose().px_from_wall(places) + rng.normal(0, 1.5, places.shape)
    px[4] += 12.0
    noisy = [
        MarkSeen(name=f"M{n}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=2 * MM, px_sigma=1.0)
        for n, ((x, y), (u, v)) in enumerate(zip(places.tolist(), px.tolist(), strict=True))
    ]
    found = projection.aligned(pose(), noisy)
    again = [
        found.misfit - projection.aligned(pose(), [m for m in noisy if m is not one]).misfit
        for one in noisy
    ]
    about = np.array([one.drop for one in projection.drops_without(found)])
    assert int(np.argmax(about)) == int(np.argmax(again)) == 4
    assert about == pytest.approx(np.array(again), rel=0.1, abs=0.1)
    # Six numbers from three marks: leaving one out takes all that is known of it away.
    exact = projection.aligned(pose(), [noisy[0], noisy[5], noisy[9]])
    assert [one.drop for one in projection.drops_without(exact)] == [0.0] * 3


def test_how_likely_a_mark_is_averages_over_where_it_may_be_instead():
    # The integral over a flat prior, by adding up fits with the mark moved to every 6 mm: by
    # Laplace's formula, exact for normal errors, exp(drop/2) 2 pi / sqrt(det information).
    rng = np.random.default_rng(8)
    places = np.array([(x, y) for x in (27.2, 29.1, 31.0, 32.9) for y in (0.4, 3.1)])
    px = pose().px_from_wall(places) + rng.normal(0, 0.8, places.shape)
    px[2] += (9.0, -6.0)
    seen = [
        MarkSeen(name=f"M{n}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=2 * MM, px_sigma=1.0)
        for n, ((x, y), (u, v)) in enumerate(zip(places.tolist(), px.tolist(), strict=True))
    ]
    found = projection.aligned(pose(), seen)
    for number in (2, 4):
        one, total = seen[number], 0.0
        for along, up in np.ndindex(17, 17):
            moved = list(seen)
            moved[number] = replace(one, chainage=one.chainage + (along - 8) * 6 * MM,
                                    level=one.level + (up - 8) * 6 * MM)  # fmt: skip
            misfit = projection.aligned(found.on_wall, moved).misfit
            total += math.exp((found.misfit - misfit) / 2) * (6 * MM) ** 2
        said = projection.drops_without(found)[number]
        by_formula = said.drop / 2 - said.known / 2 + math.log(2 * math.pi)
        assert by_formula == pytest.approx(math.log(total), abs=0.1)


def test_marks_that_leave_a_map_open_give_no_start():
    line = [replace(one, level=1.0, y_px=600.0) for one in marks(pose())]
    assert projection.projective_start(line, COLUMNS, ROWS) is None
    assert projection.projective_start(marks(pose())[:3], COLUMNS, ROWS) is None
    spot = [replace(one, level=1.0, chainage=2.0) for one in marks(pose())]
    assert projection.projective_start(spot, COLUMNS, ROWS) is None


def test_four_marks_check_nothing_and_blame_nobody():
    four = marks(pose())[:4]

    def free(some: object, lines: object = ()) -> projection.Alignment:
        start = projection.projective_start(some, COLUMNS, ROWS)  # type: ignore[arg-type]
        assert start is not None
        return projection.aligned(start, some)  # type: ignore[arg-type]

    found = free(four)
    assert found.freedom == 0
    assert found.chance == 1.0
    said = projection.suspicion(found, free)
    assert projection.bad_mark([(0.0, said)]) is None
    # As likely as not to be blamed, whatever they are weighed with.
    assert sum(math.exp(one) for one in said.odds) == pytest.approx(1.0)


def by_pose(some: Sequence[MarkSeen], lines: Sequence[LinePoint] = ()) -> projection.Alignment:
    return projection.aligned(pose(), some, lines)


def test_odds_are_one_over_the_mean_chance_of_so_much():
    # Left out in turn by fits of their own; chances by scipy's chi-square. Even by half, and by
    # half by the share of what the others do not know of each: known from the same formula as in
    # the test of the likelihood above.
    rng = np.random.default_rng(4)
    off = [replace(one, x_px=one.x_px + rng.normal(0, 4)) for one in marks(pose())]
    found = by_pose(off)
    said = projection.suspicion(found, by_pose)
    drops = [found.misfit - by_pose([m for m in off if m is not one]).misfit for one in off]
    looked = np.array(drops) > max(drops) / 2
    assert np.array(said.drops)[looked] == pytest.approx(np.array(drops)[looked], rel=1e-6)
    unknown = np.exp([-one.known / 2 for one in projection.drops_without(found)])
    weights = 0.5 + 0.5 * unknown / unknown.mean()
    chances = chi2.sf(said.drops, 2)
    assert np.exp(said.odds) == pytest.approx(weights / chances / len(off), rel=1e-6)
    assert said.names == tuple(one.name for one in off)


def test_a_kind_of_wall_that_explains_the_marks_alike_halves_the_odds():
    # By hand, Bayes's rule: one kind says 1000 to 1 that the second of two is wrong, another kind,
    # as likely, 1 to 1: together 500.5 to 1. Nine times likelier it leaves 100.9, and
    # thirty times (1000 + 30) / 31 = 33.2, which blames nobody.
    def shown(odds: tuple[float, float]) -> projection.Suspicion:
        log = tuple(math.log(one) for one in odds)
        return projection.Suspicion(names=("A", "B"), odds=log, likelihood=log, drops=(1.0, 20.0))

    suspect, calm = shown((1e-9, 1000.0)), shown((0.5, 0.5))
    for weight, together in ((1.0, 500.5), (9.0, 1009 / 10)):
        said = projection.bad_mark([(0.0, suspect), (math.log(weight), calm)])
        assert said is not None
        assert (said.named, said.doubted, said.drop) == ("B", ("B",), 20.0)
        assert said.odds == pytest.approx(together)
    assert projection.bad_mark([(0.0, suspect), (math.log(30.0), calm)]) is None
    # Two that are as likely are both told of, and none is named.
    even = projection.bad_mark([(-3.0, shown((500.0, 500.0)))])
    assert even is not None
    assert (even.named, set(even.doubted)) == (None, {"A", "B"})


def test_a_kind_is_weighed_by_the_likelihood_averaged_over_what_is_believed_of_it():
    # The curvature that nobody measured, believed to 0.05 either way: its likelihood added up over
    # fits with the curvature held, against Laplace's formula (exact for normal errors).
    bent = replace(pose(), origin=30.0, curvature=0.012)
    places = np.array([(x, y) for x in (27.2, 29.1, 31.0, 32.9) for y in (0.4, 3.1)])
    px = bent.px_from_wall(places) + np.random.default_rng(5).normal(0, 1.0, places.shape)
    seen = [
        MarkSeen(name=f"M{n}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=2 * MM, px_sigma=1.0)
        for n, ((x, y), (u, v)) in enumerate(zip(places.tolist(), px.tolist(), strict=True))
    ]
    kinds = projection.fitted_kinds(seen, COLUMNS, ROWS, pose=pose())
    weights = projection.weights_of_kinds(kinds, MapKind.POSE)
    curve = next(one.fit for one in kinds if one.kind is MapKind.POSE_CURVE)
    flat = next(one.fit for one in kinds if one.kind is MapKind.POSE)
    step, total = 0.001, 0.0
    for held in np.arange(-0.05, 0.05, step).tolist():
        start = replace(curve.on_wall, curvature=held, extras=flat.on_wall.extras)
        fit = projection.aligned(start, seen)
        others = float(np.linalg.slogdet(fit.covariance)[1])
        belief = math.exp(-((held / 0.05) ** 2) / 2) / math.sqrt(2 * math.pi) / 0.05
        total += belief * step * math.exp(-(fit.misfit - flat.misfit) / 2 + others / 2)
    same = float(np.linalg.slogdet(flat.covariance)[1]) / 2
    unmeasured = math.log(0.5)  # as assumed
    apart = weights[MapKind.POSE_CURVE] - weights[MapKind.POSE]
    assert apart == pytest.approx(math.log(total) - same + unmeasured, abs=0.1)


def test_no_kind_fits_two_marks():
    assert projection.fitted_kinds(marks(pose())[:2], COLUMNS, ROWS, pose=pose()) == ()


MISTAKES = {
    "too few for": lambda: projection.aligned(pose(), marks(pose())[:2]),
    "a mark's deviation": lambda: replace(marks(pose())[0], px_sigma=0.0),
    "numbers are finite": lambda: replace(marks(pose())[0], x_px=math.nan),
    "focal length is above 0": lambda: pose(focal=0.0),
    "a flat wall has a matrix": lambda: replace(KINDS["unknown projector"], hinge=3.0),
    "units are above 0": lambda: replace(KINDS["unknown projector"], spread=0.0),
    "no kind of map": lambda: projection.best_kind([]),
    "features need": lambda: geometry.direct_linear(np.ones((3, 3)), np.ones((3, 2))),
}


@pytest.mark.parametrize("words", MISTAKES)
def test_callers_mistakes_are_refused_by_alignment(words):
    with pytest.raises(ValueError, match=words):
        MISTAKES[words]()
