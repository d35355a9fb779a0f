"""The artwork fitted to the wall's length: gaps worked by hand, shapes rigid, the wall tiled."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core import artwork, setting_out
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.foundation import Severity
from giornata.core.setting_out import Anchor, ArtworkPlacement, FitTerms, PlacedArtwork

HAZE = Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#c9d6d5",))
TIDE = Paint(number=2, key="tide", name="Tide", artwork=("#5f9aa3",))
INK = Paint(number=3, key="ink", name="Ink", artwork=("#101418",))
PAINTS = (HAZE, TIDE, INK)
TIDE_COLOUR, INK_COLOUR = "#5f9aa3", "#101418"
LENGTH, HEIGHT = 20.0, 3.0
MM = 0.001
# Three birds on 20 m: from 2 to 4, 8 to 10 and 15 to 18 m; gaps of 2, 4, 5 and 2 m.
BIRDS = tuple(shapely.box(a, 1, b, 2) for a, b in ((2, 4), (8, 10), (15, 18)))
WATER = shapely.Polygon([(0, 2.4), (20, 2.7), (20, 3), (0, 3)])


def fitted(
    *shapes: tuple[shapely.Geometry, str],
    length: float,
    terms: FitTerms | None = None,
    ties: tuple[tuple[float, float], ...] = (),
) -> PlacedArtwork:
    """Shapes on a canvas of 20 × 3 m, 1 m to a unit, y down, on a wall of another length."""
    drawing = Drawing(
        name="frieze.svg",
        width=LENGTH,
        height=HEIGHT,
        shapes=tuple(Shape(area=area, colour=colour) for area, colour in shapes),
    )
    coverage, _ = artwork.painted(artwork.flattened(drawing), PAINTS)
    anchors = [(0.0, 0.0), (LENGTH, length), *ties]
    return setting_out.place(
        coverage,
        canvas=(LENGTH, HEIGHT),
        placement=ArtworkPlacement(scale=1.0, fit=terms or FitTerms()),
        net=shapely.box(0, 0, length, HEIGHT),
        paints=PAINTS,
        anchors=[Anchor(name=f"tie {at}", at=at, to=to) for at, to in anchors],
    )


def birds(length: float, **more: object) -> PlacedArtwork:
    return fitted(*((bird, INK_COLOUR) for bird in BIRDS), length=length, **more)  # type: ignore[arg-type]


def starts(placed: PlacedArtwork, number: int = 3) -> list[float]:
    faces = placed.coverage.faces[placed.coverage.labels == number]
    return sorted(shapely.bounds(faces)[:, 0].tolist())


def finding(placed: PlacedArtwork, code: str) -> str:
    (found,) = (f for f in placed.findings if f.code == code)
    return found.message


def test_a_difference_goes_into_the_gaps_in_proportion() -> None:
    # By hand: 130 mm over 13 m of gaps are 10 mm to a metre: gaps 2.02, 4.04, 5.05, 2.02 m.
    placed = birds(20.13)
    assert starts(placed) == pytest.approx([2.02, 8.06, 15.11])
    assert placed.fit is not None
    assert [gap.change for gap in placed.fit.gaps] == pytest.approx([0.02, 0.04, 0.05, 0.02])
    assert [move.shift for move in placed.fit.moves] == pytest.approx([0.02, 0.06, 0.11])
    message = finding(placed, "setting_out.fitted")
    assert "+130 mm" in message
    assert "4 gaps take it" in message
    assert "10.00-15.00 m by +50 mm" in message
    assert "at most 110 mm right (15.00-18.00 m)" in message


def test_shapes_keep_their_form_and_the_wall_is_tiled() -> None:
    placed = birds(19.35)
    faces, labels = placed.coverage.faces, placed.coverage.labels
    assert sorted(shapely.area(faces[labels == 3])) == pytest.approx([2, 2, 3], abs=1e-9)
    assert shapely.area(faces).sum() == pytest.approx(19.35 * 3, abs=1e-9)
    assert shapely.coverage_is_valid(faces)


def test_no_gap_gets_narrower_than_the_least() -> None:
    # By hand: -6 m. In proportion the first gap, of 2 m, would give 12/13 m, to 1.077; with a
    # least of 1.5 m it and the last give 0.5 m each, and the others 5 m as 4 to 5.
    placed = birds(14.0, terms=FitTerms(least_gap=1.5))
    assert placed.fit is not None
    changes = [gap.change for gap in placed.fit.gaps]
    assert changes == pytest.approx([-0.5, -5 * 4 / 9, -5 * 5 / 9, -0.5])
    assert placed.fit.residual < 1e-9
    altered = finding(placed, "setting_out.fit_alters")
    assert altered.startswith("2 of 4 gaps change by more than 25 %")


def test_a_tie_holds_a_shape_and_each_side_is_fitted_alone() -> None:
    # The second bird's left edge belongs at 9.00 m: 2 and 4 m of gaps take 1 m, as 1 to 2; right
    # of it 5 and 2 m of gaps take what is left of 130 mm, -0.87 m.
    placed = birds(20.13, ties=((8.0, 9.0),))
    assert starts(placed) == pytest.approx([2 + 1 / 3, 9.0, 15 + 1 - 0.87 * 5 / 7])
    assert placed.fit is not None
    assert [move.anchored for move in placed.fit.moves] == [False, True, False]


def test_a_tie_in_empty_ground_holds_the_ground() -> None:
    # The artwork's step at 12 m belongs at the wall's, at 12.40 m: 2 m before it and 3 m after.
    placed = birds(20.13, ties=((12.0, 12.4),))
    assert placed.fit is not None
    assert [gap.change for gap in placed.fit.gaps] == pytest.approx(
        [0.1, 0.2, 0.1, -0.27 * 3 / 5, -0.27 * 2 / 5]
    )
    assert len(placed.fit.moves) == 3


def test_shapes_over_one_another_move_as_one() -> None:
    low = shapely.box(9, 2.2, 13, 2.6)  # shares chainages 9 to 10 with the second bird
    placed = fitted(*((bird, INK_COLOUR) for bird in (*BIRDS, low)), length=20.13)
    assert placed.fit is not None
    assert [(m.start, m.end, m.shapes) for m in placed.fit.moves] == [
        (2, 4, 1), (8, 13, 2), (15, 18, 1),
    ]  # fmt: skip


def test_a_band_that_bridges_everything_is_named_as_the_reason() -> None:
    placed = fitted((WATER, TIDE_COLOUR), *((b, INK_COLOUR) for b in BIRDS), length=20.13)
    assert placed.fit is None
    (found,) = (f for f in placed.findings if f.code == "setting_out.no_fit")
    assert found.severity is Severity.STOP
    assert "grow by 130 mm" in found.message
    assert "no strip of empty ground" in found.message
    assert "Tide, 0.00 to 20.00 m" in found.message
    assert starts(placed) == pytest.approx([2, 8, 15])


def test_a_band_that_may_be_stretched_goes_on_over_the_gaps() -> None:
    placed = fitted((WATER, TIDE_COLOUR), *((b, INK_COLOUR) for b in BIRDS), length=20.13,
                    terms=FitTerms(bands=("tide",)))  # fmt: skip
    faces, labels = placed.coverage.faces, placed.coverage.labels
    assert shapely.coverage_is_valid(faces)
    assert sorted(shapely.area(faces[labels == 3])) == pytest.approx([2, 2, 3], abs=1e-9)
    # By hand: the band is 0.6 m high at the left, 0.3 m at the right: 0.6 - 0.015 x. Over each
    # gap it grows by its mean height there times the gap's change.
    grown = sum(
        change * (0.6 - 0.015 * middle)
        for change, middle in ((0.02, 1), (0.04, 6), (0.05, 12.5), (0.02, 19))
    )
    assert placed.fit is not None
    assert placed.fit.stretched == pytest.approx(grown)
    assert shapely.area(faces[labels == 2]).sum() == pytest.approx(9.0 + grown)
    assert "Bands of Tide are stretched" in finding(placed, "setting_out.fitted")


def test_a_bird_of_the_bands_paint_stays_rigid() -> None:
    bird = shapely.box(5, 1, 7, 2)
    placed = fitted((WATER, TIDE_COLOUR), (bird, TIDE_COLOUR), length=20.4,
                    terms=FitTerms(bands=("tide",)))  # fmt: skip
    faces = placed.coverage.faces[placed.coverage.labels == 2]
    assert min(shapely.area(faces)) == pytest.approx(2.0, abs=1e-9)
    shorter = fitted((WATER, TIDE_COLOUR), (bird, TIDE_COLOUR), length=20.4,
                     terms=FitTerms(bands=("tide",), band_length=1.5))  # fmt: skip
    assert shorter.fit is not None
    assert shorter.fit.moves == ()


def test_too_little_empty_ground_is_told_with_what_it_could_give() -> None:
    # Gaps of 2, 4, 5, 2 m less a least of 1.9 m each: 0.1 + 2.1 + 3.1 + 0.1 = 5.4 m of 6 m.
    placed = birds(14.0, terms=FitTerms(least_gap=1.9))
    assert "4 strips of empty ground can give 5400 mm" in finding(placed, "setting_out.no_fit")


def test_two_ties_in_one_shape_that_ask_different_moves_have_no_fit() -> None:
    placed = birds(20.13, ties=((8.0, 8.0), (10.0, 10.3)))
    message = finding(placed, "setting_out.no_fit")
    assert "grow by 300 mm" in message
    assert "Ink, 8.00 to 10.00 m" in message


def test_an_artwork_of_the_walls_length_is_left_as_it_is() -> None:
    placed = birds(20.0)
    assert starts(placed) == [2, 8, 15]
    assert [f.code for f in placed.findings] == []


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.3, 2.5), st.floats(0.2, 1.5)), min_size=1, max_size=6),
    st.floats(-0.3, 0.5),
)
def test_whatever_the_shapes_they_stay_rigid_in_order_and_the_wall_is_tiled(
    made: list[tuple[float, float]], share: float
) -> None:
    x, shapes, room = 0.0, [], 0.0
    for k, (gap, wide) in enumerate(made):
        x += gap
        level = 0.4 + 0.3 * (k % 5)
        shapes.append(shapely.Point(x + wide / 2, level + 0.2).buffer(0.1))
        shapes[-1] = shapely.affinity.scale(shapes[-1], wide / 0.2, 1.0)
        x += wide
        room += gap
    scale = LENGTH / (x + 1.0)
    shapes = [shapely.affinity.scale(s, scale, 1.0, origin=(0, 0)) for s in shapes]
    wanted = share * room * scale
    placed = fitted(*((shape, INK_COLOUR) for shape in shapes), length=LENGTH + wanted)
    assert placed.fit is not None
    faces, labels = placed.coverage.faces, placed.coverage.labels
    assert shapely.coverage_is_valid(faces)
    assert shapely.area(faces).sum() == pytest.approx((LENGTH + wanted) * HEIGHT, abs=1e-9)
    after = faces[labels == 3][np.argsort(shapely.bounds(faces[labels == 3])[:, 0])]
    assert shapely.area(after) == pytest.approx(shapely.area(shapes), abs=1e-9)
    ends = shapely.bounds(after)
    assert (ends[1:, 0] - ends[:-1, 2] >= 0.02 - 1e-9).all()
    assert placed.fit.residual < 1e-9


@pytest.mark.parametrize(
    ("terms", "says"),
    [
        ({"least_gap": 0.0}, "least gap is above 0"),
        ({"band_length": 0.0}, "length above 0"),
        ({"start": 3.0, "end": 2.0}, "ends after it starts"),
    ],
)
def test_impossible_terms_are_refused(terms: dict[str, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        FitTerms(**terms)  # type: ignore[arg-type]


def test_a_fit_without_anchors_is_refused() -> None:
    coverage, _ = artwork.painted(
        artwork.flattened(Drawing(name="x", width=2.0, height=1.0, shapes=())), PAINTS
    )
    with pytest.raises(ValueError, match="has an anchor"):
        setting_out.place(
            coverage, canvas=(2.0, 1.0), placement=ArtworkPlacement(scale=1.0, fit=FitTerms()),
            net=shapely.box(0, 0, 2, 1), paints=PAINTS,
        )  # fmt: skip
