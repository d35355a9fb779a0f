"""The artwork placed by two points, by ties to the wall and by a stretch of it; worked by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import setting_out
from giornata.core.foundation import Finding, Severity, affine_applied
from giornata.core.setting_out import (
    ArtworkPlacement,
    Edge,
    Filling,
    FitTerms,
    Into,
    PointPair,
    Tie,
)
from giornata.core.survey import Bay, Bend, DevelopedWall, Level, Opening, Pier, WallSurvey, develop

CANVAS = (6000.0, 290.0)
MM = 0.001


def tideline() -> DevelopedWall:
    """60 m: top at 3.0 m, from 40 m on at 2.5 m; ground from 0 to 0.6 m; a pier and a gate."""
    wall, _ = develop(
        WallSurvey(
            datum="left end",
            bays=(Bay(name="1", length=60.0),),
            overall=60.0,
            top=(
                Level(at=0.0, level=3.0),
                Level(at=40.0, level=3.0),
                Level(at=40.0, level=2.5),
                Level(at=60.0, level=2.5),
            ),
            ground=(Level(at=0.0, level=0.0), Level(at=60.0, level=0.6)),
            piers=(Pier(name="P1", at=12.0, width=0.6, proud=0.1),),
            openings=(Opening(name="Gate", start=20.0, end=24.0),),
            joints=(15.0, 30.0),
            bends=(Bend(at=45.0, angle=0.2),),
        )
    )
    assert wall is not None
    return wall


WALL = tideline()


def located(placement: ArtworkPlacement, **more: object) -> tuple[ArtworkPlacement, list[Finding]]:
    made, _, findings = setting_out.located(placement, CANVAS, WALL, **more)  # type: ignore[arg-type]
    return made, list(findings)


def on_wall(placement: ArtworkPlacement, *points: tuple[float, float]) -> np.ndarray:
    return affine_applied(setting_out.wall_from_artwork(placement, CANVAS), points)


def pair(x: float, y: float, chainage: float, level: float) -> PointPair:
    return PointPair(artwork=(x, y), chainage=chainage, level=level)


# --------------------------------------------------------------------------- two points


def test_two_points_give_scale_and_place() -> None:
    # By hand: 1000 units are 10 m, so 10 mm to a unit; x = 100 lies at 3.00 m, so the left edge
    # at 2.00 m; y = 290, the foot of the canvas, at level 0.50 m.
    made, findings = located(
        ArtworkPlacement(points=(pair(100, 290, 3.0, 0.5), pair(1100, 290, 13.0, 0.5)))
    )
    assert (made.at, made.foot, made.scale) == pytest.approx((2.0, 0.5, 0.01))
    assert made.turn == 0.0
    assert findings == []


def test_a_mirrored_artwork_meets_its_two_points() -> None:
    points = (pair(100, 290, 13.0, 0.5), pair(1100, 290, 3.0, 0.5))
    made, findings = located(ArtworkPlacement(points=points, mirrored=True))
    assert on_wall(made, (100, 290), (1100, 290)) == pytest.approx(
        np.array([(13.0, 0.5), (3.0, 0.5)])
    )
    assert findings == []


def test_two_points_that_ask_for_another_aspect_are_a_finding_with_the_amount() -> None:
    # By hand: along 1000 units are 10.10 m, 10.1 mm to a unit; upright 100 units are 1.00 m, 10.0
    # mm: 1 % wider. Least squares: (1000 × 10.10 + 100 × 1.00) / (1000² + 100²) = 10.09901 mm;
    # missed along by half of 10.10 - 10.09901 = 0.5 mm, upright by half of 1.00 - 1.0099 = 5 mm.
    points = (pair(0, 290, 0.0, 0.0), pair(1000, 190, 10.10, 1.00))
    made, findings = located(ArtworkPlacement(points=points))
    assert made.scale == pytest.approx(0.0100990099)
    (found,) = findings
    assert (found.code, found.severity) == ("setting_out.points_disagree", Severity.WARN)
    assert "1.00 % wider" in found.message
    assert "by 0 mm along the wall and 5 mm in level" in found.message
    first, second = on_wall(made, (0, 290), (1000, 190))
    assert first == pytest.approx([0.0005, -0.00495], abs=0.1 * MM)
    assert second == pytest.approx([10.0995, 1.00495], abs=0.1 * MM)


def test_a_turn_is_a_finding_unless_it_is_asked_for() -> None:
    # By hand: 1000 units level in the artwork rise 0.10 m on 10 m: atan(0.01) = 0.573 degrees.
    points = (pair(0, 290, 0.0, 0.0), pair(1000, 290, 10.0, 0.1))
    made, findings = located(ArtworkPlacement(points=points))
    assert [f.code for f in findings] == ["setting_out.points_disagree"]
    assert "turned by +0.57 degrees; neither" in findings[0].message
    assert made.turn == 0.0
    turned, none = located(ArtworkPlacement(points=points, turn=None))
    assert none == []
    assert turned.turn == pytest.approx(math.atan(0.01))
    assert on_wall(turned, (0, 290), (1000, 290)) == pytest.approx(
        np.array([(0, 0), (10, 0.1)]), abs=1e-12
    )


def test_points_the_other_way_round_stop_the_job() -> None:
    points = (pair(0, 290, 10.0, 0.0), pair(1000, 290, 0.0, 0.0))
    _, (found,) = located(ArtworkPlacement(points=points))
    assert (found.code, found.severity) == ("setting_out.reversed", Severity.STOP)
    assert "turned by 180 degrees or mirrored" in found.message


@given(
    st.tuples(st.floats(0, 6000), st.floats(0, 290)),
    st.tuples(st.floats(0, 6000), st.floats(0, 290)),
    st.floats(0.001, 0.1),
    st.floats(-50, 50),
    st.floats(-3, 3),
    st.floats(-0.5, 0.5),
)
def test_any_similarity_is_found_again_from_two_of_its_points(
    first: tuple[float, float], second: tuple[float, float], scale: float, at: float, foot: float,
    turn: float,
) -> None:  # fmt: skip
    if math.dist(first, second) < 10:
        return
    true = ArtworkPlacement(scale=scale, at=at, foot=foot, turn=turn)
    places = on_wall(true, first, second)
    points = tuple(pair(*p, *q) for p, q in zip((first, second), places.tolist(), strict=True))
    made, findings = located(ArtworkPlacement(points=points, turn=None))
    assert findings == []
    assert on_wall(made, (0, 0), CANVAS) == pytest.approx(on_wall(true, (0, 0), CANVAS), abs=1e-6)


# --------------------------------------------------------------------------- ties


def test_places_of_the_wall_have_names() -> None:
    named = setting_out.places_named(WALL)
    assert named["pier P1"] == pytest.approx((11.7, 12.3))
    assert named["opening Gate"] == (20.0, 24.0)
    assert (named["joint 2"], named["bend 1"], named["step 1"]) == ((30, 30), (45, 45), (40, 40))
    assert (named["start"], named["end"]) == ((0, 0), (60, 60))


def test_one_tie_places_an_artwork_of_given_size() -> None:
    # By hand: x = 1200 units is 12.00 m from the left edge and belongs at the pier's left edge,
    # 11.70 m: the left edge lies at -0.30 m.
    made, findings = located(
        ArtworkPlacement(scale=0.01, ties=(Tie(artwork=1200, to="pier P1", edge=Edge.LEFT),))
    )
    assert (made.at, made.scale) == pytest.approx((-0.3, 0.01))
    assert findings == []


def test_two_ties_give_size_and_place() -> None:
    # By hand: from the pier's middle at 12.00 m to the step at 40.00 m are 28 m for 2800 units.
    ties = (Tie(artwork=1000, to="pier P1"), Tie(artwork=3800, to="step 1"))
    made, findings = located(ArtworkPlacement(ties=ties))
    assert (made.at, made.scale) == pytest.approx((2.0, 0.01))
    assert findings == []


def test_ties_that_one_size_cannot_meet_are_listed_with_their_misses() -> None:
    # By hand: at 10 mm to a unit and no shift 1200 and 4000 units lie where they belong, at 12.00
    # and 40.00 m, and 2100 at 21.00 m, 1.00 m right of the gate's left edge. The shift that suits
    # all three best is -1/3 m: it leaves -333, -333 and +667 mm.
    ties = (
        Tie(artwork=1200, to="pier P1"), Tie(artwork=4000, to="step 1"),
        Tie(artwork=2100, to="opening Gate", edge=Edge.LEFT),
    )  # fmt: skip
    made, (found,) = located(ArtworkPlacement(scale=0.01, ties=ties))
    assert made.at == pytest.approx(-1 / 3)
    assert found.code == "setting_out.tie_missed"
    assert "middle of pier P1 at 12.000 m by -333 mm" in found.message
    assert "left of opening Gate at 20.000 m by +667 mm" in found.message


def test_ties_of_a_mirrored_artwork() -> None:
    ties = (Tie(artwork=1000, to="step 1"), Tie(artwork=3800, to="pier P1"))
    made, findings = located(ArtworkPlacement(ties=ties, mirrored=True))
    assert findings == []
    assert on_wall(made, (1000, 0), (3800, 0))[:, 0].tolist() == pytest.approx([40.0, 12.0])


def test_ties_in_reverse_order_stop_the_job() -> None:
    ties = (Tie(artwork=1000, to="step 1"), Tie(artwork=3800, to="pier P1"))
    _, (found,) = located(ArtworkPlacement(ties=ties))
    assert found.code == "setting_out.reversed"


def test_a_tie_to_nothing_is_left_out_and_told() -> None:
    ties = (Tie(artwork=1000, to="pier P9"), Tie(artwork=3800, to="step 1"))
    made, (found,) = located(ArtworkPlacement(ties=ties))
    assert (found.code, found.severity) == ("setting_out.unknown_place", Severity.STOP)
    assert "pier P1" in found.remedy
    assert made.scale == pytest.approx(60 / 6000)


def test_a_fit_brings_every_tie_and_the_canvas_ends_to_their_places() -> None:
    placement = ArtworkPlacement(
        scale=0.0099, fit=FitTerms(), ties=(Tie(artwork=1200, to="pier P1", edge=Edge.RIGHT),)
    )
    made, anchors, findings = setting_out.located(placement, CANVAS, WALL)
    assert findings == ()
    assert [(a.name, a.to) for a in anchors] == [
        ("left end of the artwork", 0.0), ("right end of the artwork", 60.0),
        ("right of pier P1", pytest.approx(12.3)),
    ]  # fmt: skip
    assert [a.at for a in anchors] == pytest.approx([made.at, made.at + 59.4, 12.3])


# --------------------------------------------------------------------------- a stretch of wall


def test_the_whole_artwork_in_a_stretch_of_wall() -> None:
    # By hand: 0 to 30 m: the ground rises to 0.30 m, the top is at 3.00 m. 30 m for 6000 units
    # are 5 mm to a unit; 2.70 m for 290 are 9.3 mm: whole takes 5 mm, 1.45 m high, and lies with
    # its foot at (0.30 + 3.00 - 1.45) / 2 = 0.925 m.
    made, findings = located(ArtworkPlacement(into=Into(start=0.0, end=30.0)))
    assert (made.at, made.foot, made.scale) == pytest.approx((0.0, 0.925, 0.005))
    assert findings == []


def test_filling_a_stretch_of_wall() -> None:
    # By hand: 50 to 60 m: ground from 0.50 m, top at 2.50 m: 2.00 m for 290 units, 6.897 mm to a
    # unit, against 10 m for 6000. Filled it is 41.38 m long and lies from 55 - 20.69 m.
    made, _ = located(
        ArtworkPlacement(into=Into(start=50.0, end=60.0, filling=Filling.FILL))
    )  # fmt: skip
    assert made.scale == pytest.approx(2.0 / 290)
    assert (made.at, made.foot) == pytest.approx((55 - 3000 * 2.0 / 290, 0.5))


def test_the_outline_of_the_figure_is_brought_in() -> None:
    # By hand: the figure takes 1000 to 2000 and 100 to 200 units, y down. 1000 units into 20 m
    # are 20 mm to a unit, 100 units 2.00 m, in the 2.80 m from 0.20 m to 3.00 m.
    made, _ = located(
        ArtworkPlacement(into=Into(start=0.0, end=20.0, figure=True)),
        figure=(1000.0, 100.0, 2000.0, 200.0),
    )
    assert made.scale == pytest.approx(0.02)
    assert on_wall(made, (1000, 200), (2000, 100)) == pytest.approx(
        np.array([(0.0, 0.6), (20.0, 2.6)])
    )


# --------------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("terms", "says"),
    [
        ({}, "exactly one of width, height and scale"),
        ({"width": 1.0, "scale": 1.0}, "exactly one of width, height and scale"),
        ({"ties": (Tie(artwork=1, to="end"),)}, "exactly one of width, height and scale"),
        ({"scale": 1.0, "into": Into(start=0, end=1)}, "give the size themselves"),
        ({"points": (pair(0, 0, 0, 0),)}, "placed by two points"),
        ({"points": (pair(1, 1, 0, 0), pair(1, 1, 5, 0))}, "points of the artwork are apart"),
        ({"scale": 1.0, "turn": None}, "only two points can ask for a turn"),
        ({"scale": 1.0, "turn": 0.1, "fit": FitTerms()}, "turned artwork is not fitted"),
        ({"scale": 1.0, "ties": (Tie(artwork=1, to="a"), Tie(artwork=1, to="b"))}, "its own place"),
        (
            {"into": Into(start=0, end=1), "points": (pair(0, 0, 0, 0), pair(1, 1, 5, 0))},
            "one of them places the artwork",
        ),
        ({"scale": 1.0, "clearance": -0.1}, "clearance is 0 or more"),
        ({"scale": -1.0}, "above 0"),
    ],
)
def test_placements_that_contradict_themselves_are_refused(
    terms: dict[str, object], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        ArtworkPlacement(**terms)  # type: ignore[arg-type]


def test_a_stretch_of_no_length_is_refused() -> None:
    with pytest.raises(ValueError, match="ends after it starts"):
        Into(start=2.0, end=2.0)


def test_a_size_not_worked_out_yet_is_refused() -> None:
    with pytest.raises(ValueError, match="still has to be worked out"):
        setting_out.placed_scale(ArtworkPlacement(into=Into(start=0, end=1)), CANVAS)
