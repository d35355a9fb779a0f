"""The developed wall: lines, polygons, place in space, figures, returns, heights."""

import math

import numpy as np
import pytest
import shapely

from giornata.core import survey
from giornata.core.foundation import digest

Level, Opening = survey.Level, survey.Opening


def line(*pairs: tuple[float, float]) -> tuple[survey.Level, ...]:
    return tuple(Level(at=at, level=level) for at, level in pairs)


def developed(wall: survey.WallSurvey, **more: float) -> survey.DevelopedWall:
    made, _ = survey.develop(wall, **more)
    assert made is not None
    return made


def test_a_bent_wall_lies_where_it_was_drawn(made_wall) -> None:
    # Known by construction: facing south the wall runs east; 4 m on it turns 90° towards the
    # viewer, who stands to the south, and runs south from there, facing west.
    wall = developed(made_wall(bends=(survey.Bend(at=4, angle=math.pi / 2),)))
    assert wall.plan == pytest.approx(np.array([[0, 0, 0], [4, 4, 0], [20, 4, -16]]), abs=1e-12)
    assert survey.space_from_wall(wall, 2.0, 1.5) == pytest.approx([2, 0, 1.5], abs=1e-12)
    assert survey.space_from_wall(wall, 10.0, 2.0) == pytest.approx([4, -6, 2], abs=1e-12)
    assert survey.space_from_wall(wall, 10.0, 2.0, 1.0) == pytest.approx([3, -6, 2], abs=1e-12)
    assert survey.space_from_wall(wall, 2.0, 0.0, 5.0) == pytest.approx([2, -5, 0], abs=1e-12)
    assert math.degrees(survey.facing_at(wall, 2.0)) == pytest.approx(180)
    assert math.degrees(survey.facing_at(wall, 4.0)) == pytest.approx(270)


@pytest.mark.parametrize(
    ("facing", "along"),
    # Known by construction: facing a wall that looks north one looks south, its right is west.
    [(0.0, (-1, 0)), (90.0, (0, 1)), (180.0, (1, 0)), (270.0, (0, -1))],
)
def test_the_wall_runs_to_the_right_as_you_face_it(
    made_wall, facing: float, along: tuple[float, float]
) -> None:
    wall = developed(made_wall(), facing=math.radians(facing))
    end = survey.space_from_wall(wall, 20.0, 0.0)
    assert end == pytest.approx([20 * along[0], 20 * along[1], 0], abs=1e-9)


def test_a_bend_away_from_the_viewer_turns_the_other_way(made_wall) -> None:
    wall = developed(made_wall(bends=(survey.Bend(at=10, angle=-math.pi / 6),)))
    # By hand: 10 m east, then 10 m at 30° to the north of east.
    expected = [10 + 10 * math.cos(math.pi / 6), 10 * math.sin(math.pi / 6), 0]
    assert survey.space_from_wall(wall, 20.0, 0.0) == pytest.approx(expected, abs=1e-12)


def test_positions_of_many_points_at_once(made_wall) -> None:
    wall = developed(made_wall(bends=(survey.Bend(at=4, angle=0.25),)))
    chainages = np.linspace(0, 20, 41)
    many = survey.space_from_wall(wall, chainages, 1.0, 0.2)
    assert many.shape == (41, 3)
    assert many[17] == pytest.approx(survey.space_from_wall(wall, chainages[17], 1.0, 0.2))


def test_a_top_that_steps_keeps_both_levels(made_wall) -> None:
    wall = developed(made_wall(top=line((0, 3), (8, 3), (8, 2), (20, 2))))
    # By hand: 8 × 3 + 12 × 2 = 48.
    assert float(wall.gross_area) == pytest.approx(48.0)
    assert survey.height_at(wall, 8.0) == 2.0
    assert survey.height_at(wall, 8.0, before=True) == 3.0
    assert survey.fitting_spans(wall, 2.5) == ((0.0, 8.0),)
    assert survey.fitting_spans(wall, 1.5) == ((0.0, 20.0),)
    assert wall.greatest_height == 3.0


def test_top_and_ground_stepping_past_one_another_give_two_walls(made_wall) -> None:
    # The right half stands wholly above the left half's top: two separate faces.
    wall = developed(
        made_wall(
            top=line((0, 2), (10, 2), (10, 6), (20, 6)),
            ground=line((0, 0), (10, 0), (10, 3), (20, 3)),
        )
    )
    assert wall.outline.is_valid
    assert wall.outline.geom_type == "MultiPolygon"
    assert float(wall.gross_area) == pytest.approx(10 * 2 + 10 * 3)


def test_an_opening_reaches_the_sloping_ground_and_the_top(made_wall) -> None:
    wall = developed(
        made_wall(
            ground=line((0, 0), (20, 1)),
            openings=(Opening(name="gate", start=4, end=8), Opening(name="slit", start=10, end=11,
                      head=2.0), Opening(name="notch", start=15, end=16, foot=2.5)),
        )
    )  # fmt: skip
    # By hand: ground 0.2 to 0.4 under the gate: 4 × (3 - 0.3) = 10.8;
    # 0.5 to 0.55 under the slit: 2 - 0.525 = 1.475; notch 3 - 2.5 = 0.5.
    assert [o.polygon.area for o in wall.openings] == pytest.approx([10.8, 1.475, 0.5])
    assert float(wall.net_area) == pytest.approx(50.0 - 12.775)
    assert wall.net.geom_type == "MultiPolygon"  # the gate parts the wall


def test_what_an_obstacle_hides_follows_the_ground_and_stops_at_the_top(made_wall) -> None:
    hedge = survey.Obstacle(name="H", kind="hedge", start=5, end=15, height=0.6)
    tree = survey.Obstacle(name="T", kind="tree", start=14, end=16, height=9)
    wall = developed(
        made_wall(
            ground=line((0, 0), (10, 0), (10, 1), (20, 1)),
            obstacles=(hedge, tree),
            openings=(Opening(name="gate", start=6, end=8),),
        )
    )
    assert wall.hidden[0].polygon.area == pytest.approx(6.0)  # 10 × 0.6
    assert wall.hidden[1].polygon.area == pytest.approx(4.0)  # 2 × (3 - 1)
    # By hand: 6 + 4 less shared 1 × 0.6 less gate 2 × 0.6 = 8.2.
    assert float(survey.hidden_area(wall)) == pytest.approx(8.2)


def test_no_obstacle_hides_nothing(made_wall) -> None:
    assert float(survey.hidden_area(developed(made_wall()))) == 0


def test_painted_sides_of_piers(made_wall) -> None:
    piers = (
        survey.Pier(name="P1", at=5, width=0.6, proud=0.12, returns_painted=True),
        survey.Pier(name="P2", at=10, width=0.6, proud=0.12),
    )
    wall = developed(made_wall(piers=piers))
    assert wall.returns_area is not None
    # By hand: 2 × 0.12 × 3 = 0.72.
    assert float(wall.returns_area) == pytest.approx(0.72)
    assert float(survey.surface_factor(wall)) == pytest.approx(60.72 / 60)
    assert float(wall.net_area) == pytest.approx(60.0)


def test_sides_of_a_pier_on_a_slope_differ(made_wall) -> None:
    pier = survey.Pier(name="P1", at=10, width=2.0, proud=0.5, returns_painted=True)
    wall = developed(made_wall(top=line((0, 2), (20, 4)), piers=(pier,)))
    # By hand: 2.9 m at 9 m and 3.1 m at 11 m: 0.5 × 6 = 3.
    assert float(wall.returns_area or 0) == pytest.approx(3.0)


def test_no_painted_sides_no_figure(made_wall) -> None:
    wall = developed(made_wall(piers=(survey.Pier(name="P", at=5, width=0.6, proud=0.1),)))
    assert wall.returns_area is None
    assert float(survey.surface_factor(wall)) == 1.0


def test_parts_of_figures_stay_few_on_a_long_wall() -> None:
    bays = tuple(survey.Bay(name=str(n), length=5.0) for n in range(40))
    top = line(*((5.0 * n, 3.0) for n in range(41)))
    ground = line(*((5.0 * n, 0.01 * n) for n in range(41)))
    wall = developed(
        survey.WallSurvey(datum="left", bays=bays, overall=200.0, top=top, ground=ground)
    )
    assert sum(1 for _ in wall.net_area.walk()) < 15
    # By hand: mean ground 0.2 m, so 200 × 2.8 = 560.
    assert float(wall.gross_area) == pytest.approx(560.0)
    means = [f for f in wall.net_area.walk() if "mean of 41 readings" in f.name]
    assert [float(f) for f in means] == pytest.approx([3.0, 0.2])


def test_a_line_is_cut_where_asked(made_wall) -> None:
    wall = developed(made_wall(top=line((0, 3), (8, 3), (8, 2), (20, 2))))
    assert survey.part_of_line(wall.top, 5, 10).tolist() == [[5, 3], [8, 3], [8, 2], [10, 2]]
    assert survey.part_of_line(wall.top, 8, 10).tolist() == [[8, 2], [10, 2]]
    assert survey.part_of_line(wall.top, 5, 8).tolist() == [[5, 3], [8, 3]]


def test_a_wall_has_a_stable_digest_and_cannot_be_changed(made_wall) -> None:
    assert digest(developed(made_wall())) == digest(developed(made_wall()))
    assert digest(developed(made_wall())) != digest(developed(made_wall(joints=(4.0,))))
    with pytest.raises(ValueError, match="read-only"):
        developed(made_wall()).top[0, 0] = 1.0


def test_the_net_lies_in_the_outline_and_off_the_openings(made_wall) -> None:
    wall = developed(made_wall(openings=(Opening(name="W", start=2, end=5, foot=1, head=2),)))
    assert shapely.covers(wall.outline, wall.net)
    assert shapely.intersection(wall.net, wall.openings[0].polygon).area == pytest.approx(0)


REFUSED = {
    "chainage is 0 to": lambda wall: survey.height_at(wall, 20.1),
    "height is above 0": lambda wall: survey.fitting_spans(wall, 0.0),
    "ends after it starts": lambda wall: survey.part_of_line(wall.top, 5, 5),
    "stretches end": lambda _: survey.overlap_and_shift(5, 4, 1, 2),
    "spacing at least": lambda _: survey.joint_chainages(50, 0.0),
    "sides and diagonals": lambda _: survey.skew(0, 1, 1, 1),
    "no panel": lambda _: survey.skew(1, 1, 9, 1),
    "courses are at least 1": lambda _: survey.coursing(0, 1, 0.2),
    "gap is 0 or more": lambda _: survey.leverage(-1, 0.1),
}


@pytest.mark.parametrize("words", REFUSED)
def test_callers_mistakes_are_refused(made_wall, words: str) -> None:
    wall = developed(made_wall())
    with pytest.raises(ValueError, match=words):
        REFUSED[words](wall)
