"""Motifs behind an obstacle through a whole job: named by their groups, option by option."""

from dataclasses import replace

import pytest
import shapely

from giornata.core import viewing
from giornata.core.artwork import Option, Shape
from giornata.core.job import derive, named_figures
from giornata.core.setting_out import ArtworkFit, Move
from giornata.core.survey import Obstacle

HEDGE = Obstacle(name="Box", kind="hedge", start=3.0, end=7.0, height=0.8)


@pytest.fixture
def results(small_job):
    return derive(replace(small_job, survey=replace(small_job.survey, obstacles=(HEDGE,))), memo={})


def test_n9_area_and_motifs_of_each_option(results) -> None:
    # By construction: the hedge hides 4 × 0.8 = 3.2 m². Block (4 to 6 m) and dot (4.5 to 5.5 m)
    # stand from level 0.5 to 1.5, their feet 0.5 to 0.6: both lose them; option B has no dot.
    assert float(named_figures(results)["wall.hidden_area"]) == pytest.approx(3.2)
    found = {one.subject: one for one in results.findings if one.code == "viewing.feet_hidden"}
    assert list(found) == ["hedge Box, option A", "hedge Box, option B"]
    both, block = found.values()
    assert "hides 3.2 m²" in both.message
    assert "block at 4.00 to 6.00 m (0.30 of 1.00 m); dot at 4.50 to 5.50 m" in both.message
    assert "dot" not in block.message


def test_shapes_of_one_group_apart_are_motifs_apart(small_job, results) -> None:
    # Two posts of one group, at 4.0 to 4.2 m and at 6.0 to 6.2 m; a third part over the first.
    posts = tuple(
        Shape(area=shapely.box(x, y, x + 20, y + 50), colour="#cc0000", group="posts")
        for x, y in ((400, 200), (600, 200), (410, 150))
    )
    ground = Shape(area=shapely.box(0, 0, 2000, 250), colour="#ffffff", group="sky")
    loose = Shape(area=shapely.box(500, 200, 520, 250), colour="#0000cc")
    drawing = replace(small_job.drawing, shapes=(ground, *posts, loose), groups=("posts", "sky"))
    placed, wall = results.design.placed, results.wall
    places = wall.hidden[0].polygon
    option = Option(key="A", name="all")

    def motifs(on, where=places):
        return [
            (one.name, round(one.area.bounds[0], 3), round(one.area.bounds[2], 3))
            for one in viewing.motifs_near(drawing, option, small_job.paints, on, wall.net, where)
        ]

    assert motifs(placed) == [
        ("posts", 4.0, 4.3),
        ("shape in Blue", 5.0, 5.2),
        ("posts", 6.0, 6.2),
    ]
    assert motifs(placed, shapely.box(5.5, 0, 9, 1)) == [("posts", 6.0, 6.2)]
    assert motifs(placed, shapely.Polygon()) == []
    # A fit that moves what lies from 6 to 6.5 m by half a metre moves the post there.
    moves = (Move(start=6.0, end=6.5, shift=0.5, shapes=1, anchored=True),)
    fitted = replace(
        placed, fit=ArtworkFit(moves=moves, gaps=(), bands=(), stretched=0.0, residual=0.0)
    )
    assert motifs(fitted)[-1] == ("posts", 6.5, 6.7)


def test_without_an_obstacle_nothing_is_said(small_job) -> None:
    results = derive(small_job, memo={})
    assert "wall.hidden_area" not in named_figures(results)
    assert not [f for f in results.findings if f.code.startswith("viewing.f")]
