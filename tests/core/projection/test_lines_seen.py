"""Level and plumb lines as observations: against scipy, by hand, and as suspects."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from giornata.core import projection
from giornata.core.foundation import readonly
from giornata.core.projection import (
    FACING,
    Alignment,
    LineKind,
    LinePoint,
    MarkSeen,
    PoseMap,
    Sightings,
    turned,
)

MM = 0.001
PIXEL = 1.0
COLUMNS, ROWS = 1920, 1200
SQUARE_ON = PoseMap(
    axes=FACING, lens=readonly([30.0, 1.4, 9.0]), focal=2700.0,
    centre=readonly([COLUMNS / 2, ROWS]),
)  # fmt: skip
TRUTH = replace(
    SQUARE_ON, axes=turned(*np.radians([5, -4, 2]).tolist()).T @ FACING,
    lens=readonly([30.3, 1.3, 9.2]),
)  # fmt: skip
LOW = [(x, y) for y in (1.5, 2.1) for x in (27.4, 29.0, 31.0, 32.6)]


def points(
    kind: LineKind, at: float, others: list[float], *, truth: PoseMap = TRUTH, sigma: float = 2 * MM
) -> list[LinePoint]:
    """Points of a line where the truth has them, at these places along it."""
    places = [(x, at) if kind is LineKind.LEVEL else (at, x) for x in others]
    px = truth.px_from_wall(np.array(places))
    name = f"{kind} {at:g} m"
    return [
        LinePoint(line=name, name=f"{name}, point {k + 1}", kind=kind, at=at, x_px=u, y_px=v,
                  line_sigma=sigma, px_sigma=1.0)
        for k, (u, v) in enumerate(px.tolist())
    ]  # fmt: skip


LEVEL = points(LineKind.LEVEL, 5.0, [27.2, 28.5, 30.0, 31.5, 32.8])
PLUMB = [
    *points(LineKind.PLUMB, 27.3, [2.8, 3.9, 4.9]),
    *points(LineKind.PLUMB, 32.7, [2.8, 3.9, 4.9]),
]


def marks(places: list[tuple[float, float]] = LOW, truth: PoseMap = TRUTH) -> list[MarkSeen]:
    px = truth.px_from_wall(np.array(places))
    return [
        MarkSeen(name=f"M{k}", chainage=x, level=y, x_px=u, y_px=v, mark_sigma=2 * MM, px_sigma=1.0)
        for k, ((x, y), (u, v)) in enumerate(zip(places, px.tolist(), strict=True))
    ]


def noisy(
    rng: np.random.Generator, lines: list[LinePoint]
) -> tuple[list[MarkSeen], list[LinePoint]]:
    """As they are seen with the noise that they state; a line's own error moves all its points."""
    seen = [
        replace(m, chainage=m.chainage + rng.normal(0, m.mark_sigma),
                level=m.level + rng.normal(0, m.mark_sigma),
                x_px=m.x_px + rng.normal(), y_px=m.y_px + rng.normal())
        for m in marks()
    ]  # fmt: skip
    off = {name: rng.normal(0, 2 * MM) for name in sorted({p.line for p in lines})}
    return seen, [
        replace(p, at=p.at + off[p.line], x_px=p.x_px + rng.normal(), y_px=p.y_px + rng.normal())
        for p in lines
    ]


def test_a_fit_with_lines_is_that_of_scipy_with_every_place_on_the_wall_free():
    # scipy.optimize.least_squares on the whole: the pose, each mark's own place, where along its
    # line each point is, and how far each line is off, all unknown. Ours has eliminated all but
    # the pose, to first order.
    seen, lines = noisy(np.random.default_rng(8), [*LEVEL, *PLUMB])
    names = sorted({p.line for p in lines})
    n, m = len(seen), len(lines)
    px = np.array([(s.x_px, s.y_px) for s in seen])
    line_px = np.array([(p.x_px, p.y_px) for p in lines])
    at = np.array([(s.chainage, s.level) for s in seen])
    which = [names.index(p.line) for p in lines]
    level = np.array([p.kind is LineKind.LEVEL for p in lines])

    def posed(x: np.ndarray) -> PoseMap:
        return replace(
            TRUTH, axes=Rotation.from_rotvec(x[:3]).as_matrix() @ TRUTH.axes,
            lens=TRUTH.lens + x[3:6],
        )  # fmt: skip

    def missed(x: np.ndarray) -> np.ndarray:
        own, along, off = np.split(x[6:], [2 * n, 2 * n + m])
        held = np.array([p.at for p in lines]) - 2 * MM * off[which]
        on = np.where(level[:, None], np.column_stack([along, held]),
                      np.column_stack([held, along]))  # fmt: skip
        made = posed(x)
        return np.concatenate([
            (px - made.px_from_wall(at + 2 * MM * own.reshape(n, 2))).ravel(),
            (line_px - made.px_from_wall(on)).ravel(), own, off,
        ])  # fmt: skip

    feet = Sightings(seen, lines).feet(TRUTH)
    begun = np.concatenate([
        np.zeros(6 + 2 * n), np.where(level, feet[:, 0], feet[:, 1]), np.zeros(len(names))
    ])  # fmt: skip
    whole = least_squares(missed, begun, method="lm", xtol=1e-14, ftol=1e-14)
    found = projection.aligned(SQUARE_ON, seen, lines)
    grid = np.array([(x, y) for x in (27.0, 30.0, 33.0) for y in (1.5, 3.3, 5.2)])
    apart = found.on_wall.px_from_wall(grid) - posed(whole.x).px_from_wall(grid)
    assert np.abs(apart).max() < 0.01 * PIXEL
    # Weights stand after two steps, so that misfits can be compared: within a hundredth.
    assert found.misfit == pytest.approx(2 * whole.cost, rel=0.01)
    assert found.freedom == 2 * n + m - 6
    spread = np.linalg.inv(whole.jac.T @ whole.jac)[:6, :6]
    sigma = np.sqrt(np.diag(spread))
    assert np.abs((found.covariance - spread) / np.outer(sigma, sigma)).max() < 0.03


def test_points_of_a_line_share_its_error_and_no_place_along_it():
    # Square on from 9 m with a focal length of 2700 px a metre is 300 px anywhere: a line 2 mm off
    # moves each of its points by 0.6 px, all together: covariance 1 + 0.36 and 0.36 px^2.
    lines = points(LineKind.LEVEL, 4.0, [28.0, 30.0, 32.0], truth=SQUARE_ON)
    seen = Sightings(marks(truth=SQUARE_ON), lines)
    spread = seen.covariance(SQUARE_ON)[-3:, -3:]
    assert spread == pytest.approx(np.eye(3) + 0.36)
    assert seen.feet(SQUARE_ON) == pytest.approx(np.array([(28, 4), (30, 4), (32, 4)]))
    # Read 5 px further along: nothing is missed. 5 px lower: 5 px, whichever way it is counted.
    along = [replace(p, x_px=p.x_px + 5) for p in lines]
    assert Sightings(seen.marks, along).missed(SQUARE_ON)[-3:] == pytest.approx(0, abs=1e-9)
    lower = [replace(p, y_px=p.y_px + 5) for p in lines]
    assert np.abs(Sightings(seen.marks, lower).missed(SQUARE_ON)[-3:]) == pytest.approx(5.0)


def most(found: Alignment) -> float:
    """95 % of the picture: the longer half axis of the 95 % ellipse is no more. [m]"""
    grid = np.array([(x, y) for x in np.linspace(27, 33, 13) for y in np.linspace(1.4, 5.2, 9)])
    return float(
        np.percentile(projection.error_radius(projection.error_covariance(found, grid)), 95)
    )


def test_a_level_line_and_two_plumb_lines_stand_for_high_marks():
    # Low marks alone, with a level line across the top, and with plumb lines at both sides too:
    # 14.0, 10.7 and 7.8 mm in a study of our own (simulated, no published source), marks of 3 mm
    # and 1.5 px. Each helps, and with all a picture is as good as on marks all round.
    def fitted(places: list[tuple[float, float]], lines: list[LinePoint]) -> float:
        start = projection.projective_start(marks(places), COLUMNS, ROWS)
        assert start is not None
        return most(projection.aligned(start, marks(places), lines))

    low, level, both = (fitted(LOW, lines) for lines in ([], LEVEL, [*LEVEL, *PLUMB]))
    assert level < 0.85 * low
    assert both < 0.75 * level
    around = [(x, y) for y in (1.5, 5.0) for x in (27.4, 29.0, 31.0, 32.6)]
    assert both < 1.1 * fitted(around, [])


def test_the_ellipses_of_a_fit_with_lines_are_honest():
    rng = np.random.default_rng(2)
    at = np.array([(27.2, 5.0), (30.0, 3.3), (32.8, 1.6)])
    inside = []
    for _ in range(60):
        seen, lines = noisy(rng, [*LEVEL, *PLUMB])
        found = projection.aligned(SQUARE_ON, seen, lines)
        light = projection.wall_from_px(TRUTH, found.on_wall.px_from_wall(at), at) - at
        spread = projection.error_covariance(found, at)
        square = np.einsum("ni,nij,nj->n", light, np.linalg.inv(spread), light)
        inside.append((square < projection.INSIDE_95).mean())
    # Of 60 trials with misses that go together a share of 0.95 is known to about 0.02.
    assert np.mean(inside) == pytest.approx(0.95, abs=2.5 * 0.02)


WRONG = {
    "a line set out 50 mm too high": ("level 5 m", lambda p: p.line == "level 5 m", 0.050, 0.0),
    "a point misread": ("level 5 m, point 2", lambda p: p.name == "level 5 m, point 2", 0.0, 25.0),
    "a plumb line beside its chainage": (
        "plumb 27.3 m", lambda p: p.line == "plumb 27.3 m", 0.050, 0.0,
    ),
}  # fmt: skip


def square_on(some: Sequence[MarkSeen], lines: Sequence[LinePoint]) -> projection.Alignment:
    return projection.aligned(SQUARE_ON, some, lines)


def blamed(found: projection.Alignment) -> projection.BadMark | None:
    return projection.bad_mark([(0.0, projection.suspicion(found, square_on))])


@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_line_or_point_is_named(what):
    name, is_wrong, off, misread = WRONG[what]
    seen, lines = noisy(np.random.default_rng(3), [*LEVEL, *PLUMB])
    wrong = [replace(p, at=p.at - off, y_px=p.y_px + misread) if is_wrong(p) else p for p in lines]
    found = projection.aligned(SQUARE_ON, seen, wrong)
    said = blamed(found)
    assert said is not None
    assert said.named == name
    # Eight marks, eleven points and three lines are tried.
    assert len(projection.suspicion(found, square_on).names) == 8 + 11 + 3
    right = projection.aligned(SQUARE_ON, seen, [p for p in lines if not is_wrong(p)])
    left = found.misfit - said.drop
    assert left == pytest.approx(right.misfit, abs=0.6 + 1.5 * len(lines) / 5)
    # A bad mark among them is named as before.
    slipped = [replace(seen[0], chainage=seen[0].chainage + 0.08), *seen[1:]]
    again = blamed(projection.aligned(SQUARE_ON, slipped, lines))
    assert again is not None
    assert again.named == "M0"


def test_the_odds_of_a_line_half_a_metre_off_are_a_number():
    # Gordon 1941 (doi:10.1214/aoms/1177731721): z / (1 + z^2) < Mills's ratio < 1 / z. The odds are
    # one over the chance, shared among all, by half evenly and by half by up to all of it.
    off = [replace(point, at=point.at + 0.5) for point in LEVEL]
    found = projection.aligned(SQUARE_ON, marks(), [*off, *PLUMB])
    said = projection.suspicion(found, square_on)
    at = said.names.index("level 5 m")
    z, count = math.sqrt(said.drops[at]), len(said.names)
    assert z > 40  # so seldom that the chance itself is 0 to a computer
    density = math.log(2 / math.sqrt(2 * math.pi)) - z**2 / 2
    least = -(density - math.log(z)) - math.log(2 * count)
    most = -(density + math.log(z / (1 + z**2))) + math.log((1 + count) / 2 / count)
    assert least <= said.odds[at] <= most
    assert not any(math.isinf(odds) and odds > 0 for odds in said.odds)
    verdict = blamed(found)
    assert verdict is not None
    assert verdict.named == "level 5 m"


def test_right_lines_blame_nobody():
    rng = np.random.default_rng(31)
    named = 0
    for _ in range(40):
        seen, lines = noisy(rng, [*LEVEL, *PLUMB])
        found = projection.aligned(SQUARE_ON, seen, lines)
        said = blamed(found)
        named += said is not None and said.named is not None
    assert named <= 40 * 0.015 + 2.5 * math.sqrt(40 * 0.015)


def test_marks_that_share_a_cause_are_weighed_together():
    # By hand: two marks and one unknown (a map that is only moved along, with all else believed)
    # are of no more worth than one where nearly all their error is shared.
    one, other = marks()[:2]
    spread = Sightings(
        [replace(m, mark_sigma=0.0, shared=(("tape", 3 * MM, 0.0),)) for m in (one, other)]
    ).covariance(SQUARE_ON)
    # 300 px a metre, 3 mm: 0.9 px along, together; 1 px each of its own.
    expected = np.eye(4)
    expected[np.ix_([0, 2], [0, 2])] += 0.81
    assert spread == pytest.approx(expected)


MISTAKES = {
    "a line's deviation": lambda: replace(LEVEL[0], px_sigma=0.0),
    "a line's numbers": lambda: replace(LEVEL[0], at=math.nan),
    "a mark's numbers": lambda: replace(marks()[0], shared=(("tape", math.inf, 0.0),)),
}


@pytest.mark.parametrize("words", MISTAKES)
def test_callers_mistakes_are_refused_by_sightings(words):
    with pytest.raises(ValueError, match=words):
        MISTAKES[words]()
