"""Regions made in bays: the same as in one piece, however the bays are shared out."""

from __future__ import annotations

import pickle
from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from giornata.core import artwork
from giornata.core.artwork import Drawing, FlatArtwork, Shape, Veil, in_bays, regions

COLOURS = ("#c9d6d5", "#5f9aa3", "#101418", "#d2553a")
LENGTH, HEIGHT = 60.0, 3.0
AREA = 1e-9  # of the canvas
EDGE = 1e-6  # of all edges, as promised for one piece and bays


@pytest.fixture
def in_many_bays(monkeypatch: pytest.MonkeyPatch) -> Callable[..., FlatArtwork]:
    """Flattens a drawing in bays of about 400 vertices."""

    def made(drawing: Drawing, mapped: in_bays.Mapped = map) -> FlatArtwork:
        with monkeypatch.context() as patch:
            patch.setattr(regions, "ONE_PIECE", replace(regions.ONE_PIECE, value=0.0))
            patch.setattr(in_bays, "BAY_VERTICES", replace(in_bays.BAY_VERTICES, value=400.0))
            return artwork.flattened(drawing, mapped=mapped)

    return made


def made_of(*shapes: Shape) -> Drawing:
    return Drawing(name="bays.svg", width=LENGTH, height=HEIGHT, shapes=shapes)


def blobs(seed: int, count: int, opacities: tuple[float, ...] = (1.0,)) -> Drawing:
    """Wavy shapes of all sizes, two bands over the whole length, and copies with little noise."""
    rng = np.random.default_rng(seed)
    noise = 10.0 ** rng.uniform(-16, -7)
    turn = np.linspace(0, 2 * np.pi, 40, endpoint=False)
    shapes, last = [], None
    for number in range(count):
        if last is not None and number % 4 == 0:
            xy = last + rng.normal(0, noise, last.shape)
        else:
            ray = np.exp(rng.normal(-1.2, 0.7)) * (1 + 0.3 * np.cos(3 * turn + rng.uniform(0, 6)))
            xy = rng.uniform([0, 0], [LENGTH, HEIGHT]) + ray[:, None] * np.stack(
                [np.cos(turn), np.sin(turn)], axis=1
            )
        last = xy
        area = shapely.make_valid(shapely.Polygon(xy), method="structure")
        shapes.append(
            Shape(
                area=area,
                colour=COLOURS[rng.integers(4)],
                opacity=float(rng.choice(opacities)),
                veils=(Veil(number=1, opacity=0.5),) if len(opacities) > 1 and number < 9 else (),
            )
        )
    bands = (
        Shape(area=shapely.box(0, y, LENGTH, y + 0.4), colour=COLOURS[k])
        for k, y in enumerate((0.3, 2.1))
    )
    return made_of(*bands, *shapes)


def by_pair(flat: FlatArtwork) -> dict[tuple[str, str], float]:
    names = (*flat.colours, "outside")
    cover = flat.coverage
    found: dict[tuple[str, str], float] = {}
    for left, right, length in zip(
        cover.left.tolist(), cover.right.tolist(), shapely.length(cover.edges), strict=True
    ):
        key = names[left], names[right]
        found[key] = found.get(key, 0.0) + float(length)
    return found


def apart(one: dict[Any, float], other: dict[Any, float]) -> float:
    """Greatest difference; a colour of slivers alone may be missing in one of the two."""
    return max(abs(one.get(key, 0.0) - other.get(key, 0.0)) for key in one.keys() | other.keys())


def same(one: FlatArtwork, other: FlatArtwork) -> None:
    assert sum(other.areas().values()) == pytest.approx(LENGTH * HEIGHT, rel=AREA)
    assert apart(one.areas(), other.areas()) < EDGE * LENGTH * HEIGHT
    total = sum(by_pair(one).values())
    assert apart(by_pair(one), by_pair(other)) < EDGE * total
    rim = sum(length for key, length in by_pair(other).items() if "outside" in key)
    assert rim == pytest.approx(2 * (LENGTH + HEIGHT), rel=AREA)
    assert shapely.coverage_is_valid(other.coverage.faces)


@pytest.mark.parametrize("seed", range(25))
def test_bays_give_what_one_piece_gives(
    seed: int, in_many_bays: Callable[..., FlatArtwork]
) -> None:
    # Reference: the same outlines laid over one another in one piece.
    drawing = blobs(seed, 150, (1.0, 1.0, 0.5) if seed % 2 else (1.0,))
    one, bays = artwork.flattened(drawing), in_many_bays(drawing)
    same(one, bays)
    # A region that touches itself at a point may count as one or as two.
    assert abs(len(bays.coverage.faces) - len(one.coverage.faces)) <= 1


def gap_between_bands(y: float, widest: float) -> list[Shape]:
    """A band of one colour below, six steps of two colours above, a gap that widens to the right.

    It is no shape: in it the canvas shows.
    """
    low = shapely.Polygon([(0, y), (LENGTH, y), (LENGTH, y - 0.2), (0, y - 0.2)])
    steps = [
        shapely.Polygon(
            [
                (x, y + widest * x / LENGTH),
                (x + 10, y + widest * (x + 10) / LENGTH),
                (x + 10, y + 0.2),
                (x, y + 0.2),
            ]
        )
        for x in range(0, 60, 10)
    ]
    return [
        Shape(area=low, colour=COLOURS[0]),
        *(Shape(area=one, colour=COLOURS[1 + k % 2]) for k, one in enumerate(steps)),
    ]


@pytest.mark.parametrize("widest", [4e-5, 5.9e-5, 6.1e-5, 9e-5])
def test_a_hairline_across_bays_is_judged_as_a_whole(
    widest: float, in_many_bays: Callable[..., FlatArtwork]
) -> None:
    # By hand: a gap is a sliver where its mean width, half the widest, is below 1e-5 of the
    # canvas's shorter side of 3, so where the widest is below 6e-5; then it goes to the long
    # band as a whole. Bay by bay the parts to the left of 3e-5 of width would go, the others stay.
    discs = [
        Shape(area=shapely.Point(0.7 + 1.5 * k, 2.4).buffer(0.4), colour=COLOURS[3])
        for k in range(40)
    ]
    drawing = made_of(
        Shape(area=shapely.box(0, 0, LENGTH, 0.8), colour=COLOURS[0]),
        Shape(area=shapely.box(0, 1.1, LENGTH, HEIGHT), colour=COLOURS[0]),
        *gap_between_bands(1.0, widest),
        *discs,
    )
    one, bays = artwork.flattened(drawing), in_many_bays(drawing)
    same(one, bays)
    pairs = by_pair(bays)
    if widest < 6e-5:
        assert bays.areas().keys() == set(COLOURS)
        assert pairs[COLOURS[1], COLOURS[0]] == pytest.approx(60.0, abs=1e-3)  # above and below
    else:
        assert bays.areas()[""] == pytest.approx(LENGTH * widest / 2, rel=1e-6)
        assert pairs["", COLOURS[0]] == pytest.approx(LENGTH, rel=1e-4)


def gaps_with_waists(seed: int) -> tuple[Drawing, float]:
    """Slanting gaps between two shapes, each closed at the one point where a corner meets a side.

    The corner is computed, so it misses that side by rounding. The second figure is the area of
    the wider halves of the gaps.
    """
    rng = np.random.default_rng(seed)
    shapes, wider = [Shape(area=shapely.box(0, 0.1, LENGTH, 1.9), colour=COLOURS[2])], 0.0
    for x in range(0, 60, 5):
        for y in (0.3, 0.6, 0.9, 1.2, 1.5):
            start, end = np.array([[x, y], [x + 5.0, y]]) + rng.uniform([0, 0], [0, 0.1], (2, 2))
            share, up = rng.uniform(0.3, 0.7), np.array([0.0, 1.0])
            corner, top = start + share * (end - start), [end + 0.05 * up, start + 0.05 * up]
            for colour, outline in (
                (3, [start, end, *top]),  # what shows in the gap
                (0, [start, end, end - 0.05 * up, start - 0.05 * up]),
                (1, [start + 4e-5 * up, corner, end + 1.5e-4 * up, *top]),
            ):
                shapes.append(Shape(area=shapely.Polygon(outline), colour=COLOURS[colour]))
            wider += 5 * (1 - share) * 1.5e-4 / 2
    for k in range(40):
        disc = shapely.Point(0.7 + 1.5 * k, 2.4).buffer(0.4)
        shapes.append(Shape(area=disc, colour=COLOURS[1]))
    return made_of(*shapes), wider


@pytest.mark.parametrize("seed", range(3))
def test_outlines_within_rounding_of_one_another_meet(
    seed: int, in_many_bays: Callable[..., FlatArtwork]
) -> None:
    # By hand: at its corner each gap falls into two triangles. The thin one has a mean width of
    # 2e-5, below the sliver's 3e-5, and goes; that of the other is 7.5e-5, and it stays. Where the
    # corner missed its side by rounding, the whole gap would stay, in one piece or in a bay whose
    # line gives the side another rounding: that parted 5 % of all edges here.
    drawing, wider = gaps_with_waists(seed)
    one, bays = artwork.flattened(drawing), in_many_bays(drawing)
    same(one, bays)
    for flat in (one, bays):
        assert flat.areas()[COLOURS[3]] == pytest.approx(wider, rel=1e-9)
    total = sum(by_pair(one).values())
    assert apart(by_pair(one), by_pair(bays)) < 1e-12 * total


def test_a_shape_across_all_bays_is_one_region(
    in_many_bays: Callable[..., FlatArtwork],
) -> None:
    # By hand: 40 discs on a ground leave one ground; a band across them all makes it two.
    discs = [
        Shape(area=shapely.Point(0.7 + 1.5 * k, 1.5).buffer(0.4), colour=COLOURS[0])
        for k in range(40)
    ]
    apart = in_many_bays(made_of(*discs))
    assert np.bincount(apart.coverage.labels).tolist() == [1, 40]
    band = Shape(area=shapely.box(0, 1.4, LENGTH, 1.6), colour=COLOURS[1])
    across = in_many_bays(made_of(*discs, band))
    count = dict(zip(across.colours, np.bincount(across.coverage.labels).tolist(), strict=True))
    assert count == {"": 2, COLOURS[0]: 80, COLOURS[1]: 1}


def test_the_order_in_which_bays_are_made_does_not_matter(
    in_many_bays: Callable[..., FlatArtwork],
) -> None:
    def backwards(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
        return [function(item) for item in list(items)[::-1]][::-1]

    drawing = blobs(21, 120)
    one, other = in_many_bays(drawing), in_many_bays(drawing, backwards)
    assert (
        shapely.to_wkb(one.coverage.faces).tolist() == shapely.to_wkb(other.coverage.faces).tolist()
    )
    assert (
        shapely.to_wkb(one.coverage.edges).tolist() == shapely.to_wkb(other.coverage.edges).tolist()
    )


def test_a_line_whose_sides_do_not_match_is_left_out(
    in_many_bays: Callable[..., FlatArtwork],
) -> None:
    # One bay comes back with a node moved, as rounding might do; it is made again with its
    # neighbours, and nothing of the fault is left.
    bays_made = []

    def faulty(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
        done = [function(item) for item in items]
        bays_made.append(len(done))
        if len(bays_made) == 1:
            bay, names = done[2]
            done[2] = replace(bay, seams=bay.seams + 1e-9), names
        return done

    drawing = blobs(5, 120)
    bays = in_many_bays(drawing, faulty)
    assert len(bays_made) == 2
    assert bays_made[1] == 1
    same(artwork.flattened(drawing), bays)


def test_where_no_line_will_do_the_drawing_is_laid_out_in_one_piece(
    in_many_bays: Callable[..., FlatArtwork],
) -> None:
    bays_made = []

    def faulty(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
        done = [function(item) for item in items]
        bays_made.append(len(done))
        return [
            (replace(bay, seams=bay.seams + np.array([0, 1e-9 * k, 1e-9 * k])), names)
            for k, (bay, names) in enumerate(done)
        ]

    drawing = blobs(5, 120)
    bays = in_many_bays(drawing, faulty)
    assert bays_made[0] > 5
    assert bays_made[1:] == [1]
    same(artwork.flattened(drawing), bays)


def test_a_drawing_most_of_which_lies_beside_the_canvas_needs_no_line(
    in_many_bays: Callable[..., FlatArtwork],
) -> None:
    # By hand: 20 discs of 65 vertices to the left of the canvas, where a bay line would be no use.
    aside = [shapely.Point(-90 + 4 * k, 1).buffer(1) for k in range(20)]
    shapes = [Shape(area=one, colour=COLOURS[0]) for one in (*aside, shapely.box(1, 1, 3, 2))]
    areas = in_many_bays(made_of(*shapes)).areas()
    assert areas == pytest.approx({"": LENGTH * HEIGHT - 2, COLOURS[0]: 2.0}, rel=1e-12)


def test_bays_that_travelled_give_the_same(in_many_bays: Callable[..., FlatArtwork]) -> None:
    def elsewhere(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
        """As another process does: what goes there and what comes back is pickled."""
        return [pickle.loads(pickle.dumps(function(pickle.loads(pickle.dumps(i))))) for i in items]

    drawing = blobs(3, 120, (1.0, 0.5))
    here, there = in_many_bays(drawing), in_many_bays(drawing, elsewhere)
    assert here.areas() == there.areas()
    assert by_pair(here) == by_pair(there)


def test_small_drawings_stay_in_one_piece() -> None:
    def never(function: Callable[[Any], Any], items: Iterable[Any], /) -> list[Any]:
        raise AssertionError("a small drawing was shared out")

    assert len(artwork.flattened(blobs(2, 50), mapped=never).coverage.faces) > 20
