"""How well a point's place in plan is known: made walls give their noise back."""

import math

import numpy as np
import pytest

from giornata.core import survey
from giornata.core.survey import Arc, Bend, Curve


def made(bends=(), arcs=()) -> survey.DevelopedWall:
    wall, _ = survey.develop(
        survey.WallSurvey(
            datum="left",
            bays=(survey.Bay(name="1", length=40.0),),
            heights=(survey.Height(at=0.0, height=3.0),),
            bends=tuple(bends),
            arcs=tuple(arcs),
        )
    )
    assert wall is not None
    return wall


def test_a_straight_wall_errs_along_itself() -> None:
    # Known by construction: facing south it runs due east; 8 mm along are 8 mm of east.
    found = survey.place_covariance(made(), 30.0, chainage_sigma=0.008)
    assert found == pytest.approx(np.array([[0.008**2, 0], [0, 0]]), abs=1e-12)


def test_a_bend_swings_all_beyond_it() -> None:
    # By hand: 10 m beyond a bend of 0 mean error 1 degree: 10 × 0.017453 = 174.5 mm across.
    wall = made(bends=[Bend(at=20, angle=math.pi / 2)])
    found = survey.place_covariance(wall, 30.0, chainage_sigma=0.0, bend_sigma=math.radians(1))
    # Beyond the bend it runs south, so it swings to the east.
    assert math.sqrt(found[0, 0]) == pytest.approx(0.1745, abs=1e-4)
    assert found[1, 1] == pytest.approx(0.0, abs=1e-8)
    before = survey.place_covariance(wall, 19.0, chainage_sigma=0.0, bend_sigma=1.0)
    assert before == pytest.approx(np.zeros((2, 2)))


def test_a_bent_and_curved_wall_gives_its_noise_back() -> None:
    # Made world: 3,000 walls whose bends, radius and running measure are out by normal errors of
    # the stated sizes; the spread of the end's place against the covariance, 5 standard errors
    # (√(2 ÷ 3000) of a variance) allowed.
    bends = [Bend(at=8, angle=0.4), Bend(at=30, angle=-0.9)]
    arc = Arc(start=12.0, end=24.0, radius=9.0, curve=Curve.CONVEX)
    wall = made(bends, [arc])
    rng = np.random.default_rng(8)
    ends = []
    for one, two, radius, along in rng.normal(size=(3000, 4)) * (0.01, 0.01, 0.01, 0.02):
        noisy = made(
            [Bend(at=8, angle=0.4 + one), Bend(at=30, angle=-0.9 + two)],
            [Arc(start=12.0, end=24.0, radius=9.0 * (1 + radius), curve=Curve.CONVEX)],
        )
        ends.append(survey.space_from_wall(noisy, 39.0 + along, 0.0)[:2])
    found = survey.place_covariance(
        wall, 39.0, chainage_sigma=0.02, bend_sigma=0.01, radius_share=0.01
    )
    spread = np.cov(np.array(ends).T)
    slack = 5 * math.sqrt(2 / 3000)
    for k in (0, 1):
        assert spread[k, k] == pytest.approx(found[k, k], rel=slack)
    both = math.sqrt(found[0, 0] * found[1, 1])
    assert spread[0, 1] == pytest.approx(found[0, 1], abs=slack * both)


def test_mistakes_of_the_caller() -> None:
    with pytest.raises(ValueError, match="0 to"):
        survey.place_covariance(made(), 41.0, chainage_sigma=0.01)
    with pytest.raises(ValueError, match="0 or more"):
        survey.place_covariance(made(), 4.0, chainage_sigma=-0.01)
