"""Pictures of the wall: standard scales, strips that make the whole wall, chainages below."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from giornata.core.documents.wall_pictures import cut_scale, ribbons, wall_cuts
from giornata.core.foundation import System
from giornata.core.job import JobResults

Make = Callable[..., JobResults]


@pytest.mark.parametrize(
    ("length", "height", "system", "ratio"),
    [
        # By hand, room 180 x 235 mm, a strip 9.3 mm higher than its wall. 1:50 of 20 m is 400 mm,
        # three strips of 50 + 9.3; 1:20 would be 1,000 mm, six strips.
        (20.0, 2.5, System.METRIC, 50),
        # 1:100 of 78.6 m is 786 mm, five strips of 32 + 9.3: 206; 1:50 would be nine.
        (78.6, 3.2, System.METRIC, 100),
        # 1:200 of 180 m is 900 mm, six strips; 1:500 is 360 mm, three.
        (180.0, 3.0, System.METRIC, 500),
        # Three sixteenths to the foot, 1:64: 20 m are 312 mm, two; one quarter, 1:48: 417, three;
        # three eighths, 1:32: 625, four strips of 78 + 9.3 are 349: too high.
        (20.0, 2.5, System.US, 48),
    ],
)
def test_strips_are_drawn_as_large_as_a_page_takes(
    made: Make, length: float, height: float, system: System, ratio: int
) -> None:
    wall = made(length, height, 4).wall
    assert cut_scale(wall, 180.0, 235.0, system).ratio == ratio


def test_strips_together_are_the_whole_wall_to_scale(made: Make) -> None:
    job = made(78.0, 3.0, 12)
    pictures, scale = wall_cuts(
        job.wall, job.design, job.scheme.colourway, job.inputs.paints, 180.0, 235.0, System.METRIC
    )
    spans = [(one.view.start, one.view.end) for one in pictures]
    assert (spans[0][0], spans[-1][1]) == (0.0, 78.0)
    assert [end for _, end in spans[:-1]] == [start for start, _ in spans[1:]]
    for one in pictures:
        width = one.view.right - one.view.left
        assert width == pytest.approx((one.view.end - one.view.start) * 1000 / scale.ratio)
        assert one.lines.width <= 180.0


def test_every_scheme_has_a_ribbon_and_the_chosen_one_stands_out(made: Make) -> None:
    job = made(78.0, 3.0, 12)
    pictures, scale = ribbons(
        job.wall, job.schemes, job.designs, job.inputs.paints, job.scheme, 180.0, System.METRIC
    )
    assert scale.ratio == 500  # 78 m at 1:500 are 156 mm; at 1:200 390 mm
    assert [(one.caption, one.strong) for one in pictures] == [
        ("A With dot in Day, priced here", True), ("A With dot in Dusk", False),
    ]  # fmt: skip
    assert pictures[1].colours == {1: "#dddddd", 2: "#ff8800", 3: "#003300"}
    # Only the last has chainages below it: every 5 m, since "78" needs 8 mm of 2 mm a metre.
    assert [label.text for label in pictures[0].lines.labels] == []
    assert [label.text for label in pictures[1].lines.labels] == [str(5 * k) for k in range(16)]


def test_chainages_in_feet_are_whole_feet(made: Make) -> None:
    job = made(20.0, 2.5, 4)
    pictures, _ = wall_cuts(
        job.wall, job.design, job.scheme.colourway, job.inputs.paints, 180.0, 235.0, System.US
    )
    first = pictures[0]
    for label in first.lines.labels[1:]:  # the first stands aside, at the end of the wall
        assert label.x == pytest.approx(first.view.x(int(label.text) * 0.3048))
