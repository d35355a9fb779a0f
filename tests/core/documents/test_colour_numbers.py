"""Colour numbers: in their regions where they fit, else ringed with a leader; none over another."""

from __future__ import annotations

import itertools

import numpy as np
import shapely

from giornata.core.documents import Disc, Label, Line
from giornata.core.documents.colour_numbers import MAIN, SMALL, colour_numbers
from giornata.core.documents.letters import label_box, overlap
from giornata.core.documents.room import Room
from giornata.core.documents.wall_view import WallView

# At 50 mm to the metre, 1:20, one metre square on the sheet is 50 mm.
VIEW = WallView(start=0.0, end=4.0, base=0.0, head=2.0, left=10.0, lower=110.0, mm_per_metre=50.0)


def numbered(shapes: list[tuple[shapely.Polygon, int]], gap: float = 0.3):
    parts = np.array([shape for shape, _ in shapes], dtype=object)
    numbers = np.array([number for _, number in shapes], dtype=np.intp)
    edges = np.array([shape.exterior for shape, _ in shapes], dtype=object)
    room = Room((10.0, 10.0, 210.0, 110.0), gap=gap)
    return colour_numbers(parts, numbers, edges, VIEW, room)


def labels(found) -> list[Label]:
    return [item for item in found.items if isinstance(item, Label)]


def on_wall(label: Label) -> shapely.Point:
    left, upper, right, lower = label_box(label)
    x, y = (left + right) / 2, (upper + lower) / 2
    return shapely.Point((x - 10) / 50, (110 - y) / 50)


def test_a_large_region_bears_a_large_number_inside() -> None:
    square = shapely.box(1.0, 0.5, 2.0, 1.5)
    (label,) = labels(numbered([(square, 3)]))
    assert (label.text, label.size) == ("3", MAIN)
    assert square.contains(on_wall(label))


def test_a_narrow_region_bears_a_small_number_inside() -> None:
    """A band 70 mm high is 3.5 mm of paper: 14 pt figures are 3.45 mm high, 9 pt ones 2.2 mm."""
    (label,) = labels(numbered([(shapely.box(0.5, 1.0, 3.0, 1.07), 2)]))
    assert label.size == SMALL


def test_a_small_region_gets_a_ring_and_a_leader_that_ends_in_it() -> None:
    patch = shapely.box(2.0, 1.0, 2.03, 1.03)  # 1.5 mm of paper
    found = numbered([(patch, 5)])
    (label,) = labels(found)
    (line,) = [item for item in found.items if isinstance(item, Line)]
    end = shapely.Point((line.points[0, 0] - 10) / 50, (110 - line.points[0, 1]) / 50)
    assert patch.contains(end)
    assert label.text == "5"
    assert not patch.contains(on_wall(label))
    assert any(isinstance(item, Disc) and item.radius > 1 for item in found.items)


def test_a_speck_bears_none_and_is_counted() -> None:
    """15 mm square at 1:20 is 0.75 mm square of paper, 0.56 mm², under 1 mm²."""
    found = numbered([(shapely.box(2.0, 1.0, 2.015, 1.015), 5)])
    assert found.items == ()
    assert (found.specks, found.unplaced) == (1, ())


def test_a_long_region_bears_several() -> None:
    """A band 4 m long is 200 mm of paper: three cells of at most 90 mm."""
    found = labels(numbered([(shapely.box(0.0, 0.5, 4.0, 1.0), 1)]))
    assert [label.text for label in found] == ["1", "1", "1"]


def test_many_patches_are_each_numbered_once_and_no_two_numbers_meet() -> None:
    patches = [
        (shapely.box(x, y, x + 0.04, y + 0.04), k % 9 + 1)
        for k, (x, y) in enumerate(
            itertools.product(np.arange(0.3, 3.7, 0.3), np.arange(0.3, 1.7, 0.3))
        )
    ]
    found = numbered(patches)
    every = labels(found)
    assert sorted(label.text for label in every) == sorted(str(n) for _, n in patches)
    boxes = [label_box(label) for label in every]
    assert not any(overlap(a, b, gap=-0.3) for a, b in itertools.combinations(boxes, 2))


def test_what_finds_no_room_is_named() -> None:
    """With 60 mm kept between labels, one of two patches 0.4 m (20 mm) apart gets no number."""
    patches = [(shapely.box(x, 1.0, x + 0.04, 1.04), 4) for x in (2.0, 2.4)]
    found = numbered(patches, gap=60.0)
    assert len(found.unplaced) >= 1
    number, chainage, level = found.unplaced[-1]
    assert number == 4
    assert any(shape.buffer(1e-6).contains(shapely.Point(chainage, level)) for shape, _ in patches)
