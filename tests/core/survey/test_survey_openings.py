"""Openings of any outline: cut exactly, with their precision, and refused where impossible."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import survey
from giornata.core.survey import Opening, OpeningShape

ROUND, ARCHED = OpeningShape.ROUND, OpeningShape.ARCHED
DRAWN = 2e-5  # m² for each metre of curve: corners lie on it, no point is 0.01 mm off


def developed(made: survey.WallSurvey) -> survey.DevelopedWall:
    wall, _ = survey.develop(made)
    assert wall is not None
    return wall


def test_n1_rectangles_are_cut_as_ever(made_wall) -> None:
    # By hand: 3.6 × 2.1 + 1.2 × 2.0 = 9.96 m²; 20 × 3 - 9.96 = 50.04.
    wall = developed(
        made_wall(
            openings=(
                Opening(name="a", start=2, end=5.6, head=2.1),
                Opening(name="b", start=9, end=10.2, head=2.0),
            )
        )
    )
    assert float(wall.openings_area) == pytest.approx(9.96, abs=1e-12)
    assert float(wall.net_area) == pytest.approx(50.04, abs=1e-12)


def test_a_porthole(made_wall) -> None:
    # By hand: π × 0.4² = 0.50265 m², its middle at level 1.5, whether by its foot or its head.
    for level in ({"foot": 1.1}, {"head": 1.9}, {"foot": 1.1, "head": 1.9}):
        hole = Opening(name="port", start=4.6, end=5.4, shape=ROUND, **level)
        wall = developed(made_wall(openings=(hole,)))
        curve = math.tau * 0.4
        assert float(wall.openings_area) == pytest.approx(math.pi * 0.16, abs=DRAWN * curve)
        assert float(wall.net_area) == pytest.approx(60 - math.pi * 0.16, abs=DRAWN * curve)
        (found,) = wall.openings
        assert found.polygon.bounds == pytest.approx((4.6, 1.1, 5.4, 1.9), abs=2e-5)
        distances = np.hypot(*(shapely.get_coordinates(found.polygon) - [5.0, 1.5]).T)
        assert distances == pytest.approx(0.4, abs=2e-9)


def test_an_oval(made_wall) -> None:
    # By hand: π × 1.0 × 0.5 = 1.5708 m².
    oval = Opening(name="oval", start=4, end=6, foot=1.0, head=2.0, shape=ROUND)
    wall = developed(made_wall(openings=(oval,)))
    assert float(wall.openings_area) == pytest.approx(math.pi * 0.5, abs=DRAWN * 6)


def test_a_door_with_half_a_circle_over_it(made_wall) -> None:
    # By hand: 2 × 1.2 + π × 1² ÷ 2 = 3.9708 m², crown at 2.2.
    door = Opening(name="arch", start=4, end=6, head=2.2, shape=ARCHED)
    wall = developed(made_wall(openings=(door,)))
    assert float(wall.openings_area) == pytest.approx(2.4 + math.pi / 2, abs=DRAWN * math.pi)


def test_a_segmental_arch(made_wall) -> None:
    # By hand: 6 m wide, rise 1 m: radius 5 m (3-4-5), half angle arcsin(3 ÷ 5) = 0.6435 rad;
    # segment 25 × (0.6435 - 0.6 × 0.8) = 4.0875 m²; below it 6 × (1.8 - 0.3) = 9 m².
    gate = Opening(name="arch", start=4, end=10, foot=0.3, head=2.8, spring=1.8, shape=ARCHED)
    wall = developed(made_wall(openings=(gate,)))
    segment = 25 * (math.asin(0.6) - 0.48)
    assert round(segment, 4) == 4.0875
    assert float(wall.openings_area) == pytest.approx(9 + segment, abs=DRAWN * 7)


def test_an_outline_by_its_corners(made_wall) -> None:
    # By hand: a gable of 3 m foot, 1 m sides, 2 m crown: 3 × 1 + 3 × 1 ÷ 2 = 4.5 m².
    gable = survey.outlined_opening("gable", [(4, 0), (7, 0), (7, 1), (5.5, 2), (4, 1)])
    wall = developed(made_wall(openings=(gable,)))
    assert float(wall.openings_area) == pytest.approx(4.5, abs=1e-12)
    assert float(wall.net_area) == pytest.approx(55.5, abs=1e-12)
    assert (wall.openings[0].start, wall.openings[0].end) == (4, 7)


def test_an_outline_is_cut_to_the_wall(made_wall) -> None:
    # By hand: of a diamond of 2 m by 2 m about (5, 0) the upper half, 1 m², lies on the wall.
    diamond = survey.outlined_opening("d", [(4, 0), (5, -1), (6, 0), (5, 1)])
    wall, findings = survey.develop(made_wall(openings=(diamond,)))
    assert wall is not None
    assert float(wall.openings_area) == pytest.approx(1.0, abs=1e-12)
    assert all(finding.code != "survey.opening_clipped" for finding in findings)
    high = survey.outlined_opening("up", [(4, 4), (5, 4), (5, 5)])
    _, findings = survey.develop(made_wall(openings=(high,)))
    (off,) = [finding for finding in findings if finding.code == "survey.opening_off_wall"]
    assert "4.00 m to 5.00 m" in off.message


def test_an_outlines_precision_gives_its_noise_back(made_wall) -> None:
    # Made world: every corner's chainage and level out by normal errors of the stated size; the
    # spread of 4,000 areas against the figure's sigma, 4 standard errors (1 ÷ √8000) allowed.
    corners = np.array([(4, 0.5), (7, 0.5), (7.4, 1.2), (5.5, 2.5), (4.2, 1.4)])
    rng = np.random.default_rng(20270208)
    noise = rng.normal(size=(4000, 5, 2)) * (0.015, 0.005)
    areas = shapely.area(shapely.polygons(corners + noise))
    opening = survey.outlined_opening("any", corners.tolist())
    wall = developed(made_wall(openings=(opening,), length_sigma=0.015, height_sigma=0.005))
    assert wall.openings_area.sigma == pytest.approx(areas.std(), rel=4 / math.sqrt(8000))


@given(
    st.lists(
        st.tuples(st.floats(0.05, 19.95), st.floats(0.05, 2.95)),
        min_size=3,
        max_size=9,
        unique=True,
    )
)
def test_an_opening_of_any_outline_takes_its_own_area(made_wall_plain, points) -> None:
    # Law: gross less its outline's area (by the shoelace rule) is the net wall.
    hull = shapely.MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 0.01:
        return
    ring = shapely.get_coordinates(hull.exterior)[:-1]
    opening = survey.outlined_opening("any", ring.tolist())
    wall = developed(made_wall_plain(openings=(opening,)))
    x, y = ring.T
    shoelace = abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2
    assert float(wall.net_area) == pytest.approx(60 - shoelace, abs=1e-6)
    assert float(wall.openings_area) == pytest.approx(shoelace, abs=1e-6)


def test_an_outline_along_the_ground_leaves_no_sliver(made_wall) -> None:
    # Ground rising 1 in 300; the corners' levels are written to the centimetre, 3 mm above the
    # ground at 4 m and 4 mm under it at 7 m. By hand: 3 m wide, head level 2, ground 0.0133 and
    # 0.0233: 3 × (2 - 0.01833) = 5.945 m².
    ground = (survey.Level(at=0, level=0.0), survey.Level(at=20, level=20 / 300))
    door = survey.outlined_opening("door", [(4, 0.016), (7, 0.019), (7, 2), (4, 2)])
    wall = developed(made_wall(ground=ground, openings=(door,)))
    assert float(wall.openings_area) == pytest.approx(5.945, abs=1e-4)
    assert wall.net.distance(shapely.Point(5.5, 0.01)) > 1.4
    # 20 mm above the ground it is a threshold, and stays.
    sill = survey.outlined_opening("sill", [(4, 0.034), (7, 0.044), (7, 2), (4, 2)])
    wall = developed(made_wall(ground=ground, openings=(sill,)))
    assert wall.net.distance(shapely.Point(5.5, 0.03)) < 1e-9
    # At the wall's right end and top likewise.
    corner = survey.outlined_opening("end", [(18, 1), (19.995, 1), (19.995, 2.996), (18, 2.996)])
    wall = developed(made_wall(openings=(corner,)))
    assert float(wall.openings_area) == pytest.approx(4.0, abs=1e-4)


@pytest.fixture(scope="module")
def made_wall_plain():
    def make(**changes):
        return survey.WallSurvey(
            datum="left",
            bays=(survey.Bay(name="1", length=20.0),),
            heights=(survey.Height(at=0.0, height=3.0),),
            **changes,
        )

    return make


@pytest.mark.parametrize(
    ("fault", "said"),
    [
        ({"shape": ROUND}, "a foot or a head"),
        ({"shape": ARCHED}, "has a head"),
        ({"shape": ARCHED, "head": 2.0, "spring": 0.5}, "at most half its width"),
        ({"shape": ARCHED, "head": 2.0, "spring": 2.0}, "more than 0"),
        ({"shape": ARCHED, "head": 2.0, "foot": 1.5}, "above the opening's foot"),
        ({"spring": 1.0}, "only an arched opening"),
        ({"points": ((0, 0), (2, 0), (1, 1))}, "no other opening"),
        ({"shape": OpeningShape.OUTLINE}, "has corners"),
        ({"foot": math.nan}, "finite number"),
    ],
)
def test_openings_that_cannot_be(fault, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        Opening(**({"name": "x", "start": 0.0, "end": 2.0} | fault))


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        ([(0, 0), (2, 2), (2, 0), (0, 2)], "cross or touch itself"),
        ([(0, 0), (2, 2)], "three corners"),
        ([(0, 0), (1, 1), (2, 2)], "cross or touch itself"),
        ([(0, 0), (1, 1), (2, math.inf)], "three corners"),
    ],
)
def test_outlines_that_cannot_be(corners, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        survey.outlined_opening("x", corners)
