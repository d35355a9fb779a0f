"""The artwork laid on the wall: areas by hand, clashes with openings, what falls off."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import artwork, setting_out
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.foundation import Severity, affine_applied
from giornata.core.geometry import OUTSIDE
from giornata.core.setting_out import ArtworkPlacement, PlacedArtwork

HAZE = Paint(number=1, key="haze", name="Haze", role=Role.GROUND, artwork=("#c9d6d5",))
TIDE = Paint(number=2, key="tide", name="Tide", artwork=("#5f9aa3",))
INK = Paint(number=3, key="ink", name="Ink", artwork=("#101418",))
PAINTS = (HAZE, TIDE, INK)
GROUND, TIDE_COLOUR, INK_COLOUR = "#c9d6d5", "#5f9aa3", "#101418"
MM = 0.001


def laid(
    *shapes: tuple[shapely.Geometry, str],
    canvas: tuple[float, float] = (6120.0, 290.0),
    placement: ArtworkPlacement | None = None,
    net: shapely.Geometry | None = None,
    openings: tuple[tuple[str, shapely.Geometry], ...] = (),
    outline: shapely.Geometry | None = None,
) -> PlacedArtwork:
    """Shapes in artwork units, y down, on a wall of 61.20 × 2.90 m at 10 mm to a unit."""
    drawing = Drawing(
        name="frieze.svg",
        width=canvas[0],
        height=canvas[1],
        shapes=tuple(Shape(area=area, colour=colour) for area, colour in shapes),
    )
    coverage, _ = artwork.painted(artwork.flattened(drawing), PAINTS)
    wall = shapely.box(0, 0, 61.2, 2.9)
    if net is None:
        net = wall.difference(shapely.union_all([polygon for _, polygon in openings]))
    return setting_out.place(
        coverage,
        canvas=canvas,
        placement=placement or ArtworkPlacement(scale=0.01),
        net=net,
        paints=PAINTS,
        openings=openings,
        outline=outline,
    )


def area_of(placed: PlacedArtwork, number: int) -> float:
    coverage = placed.coverage
    return float(shapely.area(coverage.faces[coverage.labels == number]).sum())


def codes(placed: PlacedArtwork) -> list[str]:
    return [finding.code for finding in placed.findings]


# --------------------------------------------------------------------------- frames


@pytest.mark.parametrize(
    ("placement", "scale"),
    [
        (ArtworkPlacement(scale=0.01), 0.01),
        (ArtworkPlacement(width=61.2), 0.01),
        (ArtworkPlacement(height=5.8), 0.02),
    ],
)
def test_scale_from_width_height_or_scale(placement: ArtworkPlacement, scale: float) -> None:
    assert setting_out.placed_scale(placement, (6120.0, 290.0)) == pytest.approx(scale)


def test_the_canvas_corners_on_the_wall() -> None:
    # By hand: 100 × 50 units at 0.1 m, foot at -0.5: 10 m × 5 m from 3 to 13, from -0.5 to 4.5.
    placement = ArtworkPlacement(at=3.0, foot=-0.5, scale=0.1)
    corners = [(0, 0), (100, 0), (100, 50), (0, 50)]  # y runs down
    on_wall = affine_applied(setting_out.wall_from_artwork(placement, (100, 50)), corners)
    assert on_wall.tolist() == pytest.approx(np.array([(3, 4.5), (13, 4.5), (13, -0.5), (3, -0.5)]))


def test_a_mirrored_artwork_reads_from_right_to_left() -> None:
    placement = ArtworkPlacement(at=3.0, scale=0.1, mirrored=True)
    on_wall = affine_applied(setting_out.wall_from_artwork(placement, (100, 50)), [(0, 50)])
    assert on_wall.tolist() == [[13.0, 0.0]]


def test_a_canvas_without_size_is_refused() -> None:
    with pytest.raises(ValueError, match="width and a height above 0"):
        setting_out.placed_scale(ArtworkPlacement(width=1), (0.0, 5.0))


# --------------------------------------------------------------------------- areas and edges


def test_areas_and_edges_of_a_frieze_with_a_gate() -> None:
    # By hand: the tide is 0.90 m high over 61.20 m, less the gate's 3.60 m; the wall 61.20 m ×
    # 2.90 m less 3.60 m × 2.90 m.
    gate = shapely.box(18.4, 0, 22.0, 2.9)
    placed = laid((shapely.box(0, 200, 6120, 290), TIDE_COLOUR), openings=(("Gate", gate),))
    assert area_of(placed, 2) == pytest.approx(0.9 * (61.2 - 3.6))
    assert area_of(placed, 1) == pytest.approx(2.0 * (61.2 - 3.6))
    assert placed.net_area == pytest.approx(2.9 * (61.2 - 3.6), rel=1e-12)
    coverage = placed.coverage
    inner = coverage.left != OUTSIDE
    assert shapely.length(coverage.edges[inner]).sum() == pytest.approx(61.2 - 3.6)
    # Outline and gate: two rectangles of 18.4 × 2.9 and 39.2 × 2.9.
    assert shapely.length(coverage.edges[~inner]).sum() == pytest.approx(
        2 * (18.4 + 2.9) + 2 * (39.2 + 2.9)
    )


def test_a_mirrored_artwork_keeps_its_areas() -> None:
    shapes = ((shapely.box(100, 0, 900, 290), TIDE_COLOUR), (shapely.box(0, 0, 50, 9), INK_COLOUR))
    plain = laid(*shapes)
    turned = laid(*shapes, placement=ArtworkPlacement(scale=0.01, mirrored=True))
    for number in (1, 2, 3):
        assert area_of(turned, number) == pytest.approx(area_of(plain, number))
    ink = turned.coverage.faces[turned.coverage.labels == 3][0]
    assert ink.bounds == pytest.approx((60.7, 2.81, 61.2, 2.9))


def test_a_canvas_that_ends_at_the_wall_s_end_but_for_rounding_leaves_no_strip() -> None:
    # 78.6 m over 78,613.7 units: the right edge comes out a few 1e-14 m beside 78.6.
    canvas = (78613.7, 3300.0)
    wall = shapely.box(0, 0, 78.6, 3.2)
    placed = laid(
        (shapely.box(0, 0, *canvas), TIDE_COLOUR),
        canvas=canvas,
        placement=ArtworkPlacement(width=78.6, foot=-0.05),
        net=wall,
    )
    assert placed.coverage.labels.tolist() == [2]
    assert placed.net_area == pytest.approx(wall.area, rel=1e-12)
    assert "setting_out.wall_uncovered" not in codes(placed)


def test_ground_between_shapes_at_the_wall_s_end_leaves_no_strip_beside_them() -> None:
    # As above, with ground above and below the tide: a strip of ground as thin as the rounding
    # along the tide's end would hang on to it, and count 1.65 m of edge that is not there.
    canvas = (78613.7, 3300.0)
    placed = laid(
        (shapely.box(0, 1000, 78613.7, 2650), TIDE_COLOUR),
        canvas=canvas,
        placement=ArtworkPlacement(width=78.6),
        net=shapely.box(0, 0, 78.6, 3.2),
    )
    inner = placed.coverage.left != OUTSIDE
    assert shapely.length(placed.coverage.edges[inner]).sum() == pytest.approx(2 * 78.6, rel=1e-12)


def test_wall_beyond_the_canvas_is_ground() -> None:
    # By hand: the canvas covers 61.2 × 2.9 m from 10 m on, so 51.2 m of the wall; ground edge
    # against ground is no edge, but the tide ends at the canvas's edge with 0.9 m of edge.
    placed = laid(
        (shapely.box(0, 200, 6120, 290), TIDE_COLOUR),
        placement=ArtworkPlacement(scale=0.01, at=10.0),
    )
    assert placed.uncovered == pytest.approx(10.0 * 2.9)
    assert area_of(placed, 1) == pytest.approx(61.2 * 2.9 - 51.2 * 0.9)
    inner = placed.coverage.left != OUTSIDE
    assert shapely.length(placed.coverage.edges[inner]).sum() == pytest.approx(51.2 + 0.9)
    note = next(f for f in placed.findings if f.code == "setting_out.wall_uncovered")
    assert note.severity is Severity.NOTE
    assert "29.00 m²" in note.message


def test_regions_tile_a_wall_that_steps_and_slopes() -> None:
    rng = np.random.default_rng(2)
    net = shapely.Polygon(
        [(0, 0), (12, 0.05), (52.4, 0.52), (78.6, 0.85), (78.6, 2.75), (52.4, 2.75), (52.4, 3.2),
         (0, 3.2)]
    )  # fmt: skip
    gates = (("A", shapely.box(21.4, 0, 25, 4)), ("B", shapely.box(60.2, 0, 61.5, 2.6)))
    net = net.difference(shapely.union_all([polygon for _, polygon in gates]))
    discs = [
        (
            shapely.Point(rng.uniform(0, 78600), rng.uniform(0, 3300)).buffer(rng.uniform(50, 900)),
            (TIDE_COLOUR, INK_COLOUR)[k % 2],
        )
        for k in range(300)
    ]
    placed = laid(
        *discs,
        canvas=(78600.0, 3300.0),
        placement=ArtworkPlacement(width=78.6, foot=-0.1),
        net=net,
        openings=gates,
    )
    assert placed.net_area == pytest.approx(net.area, rel=1e-9)
    assert shapely.coverage_is_valid(placed.coverage.faces)


def test_an_empty_net_wall_is_refused() -> None:
    with pytest.raises(ValueError, match="net wall is a valid polygon"):
        laid((shapely.box(0, 0, 10, 10), TIDE_COLOUR), net=shapely.Polygon())


# --------------------------------------------------------------------------- clashes

GATE = (("Gate", shapely.box(18.4, 0.0, 22.0, 2.9)),)


def test_n08_a_head_that_a_gate_cuts() -> None:
    # N8: gate from 18.40 to 22.00 m, head from 21.70 to 22.90 m: 0.30 m of overlap; with 0.15 m
    # of clearance the head must move 0.45 m to the right.
    placed = laid((shapely.box(2170, 50, 2290, 100), INK_COLOUR), openings=GATE)
    (clash,) = placed.clashes
    assert clash.overlap == pytest.approx(0.30, abs=0.5 * MM)
    assert clash.shift == pytest.approx(0.45, abs=0.5 * MM)
    assert clash.area == pytest.approx(0.30 * 0.50, abs=1e-4)
    assert (clash.opening, clash.paint) == ("Gate", 3)
    assert (clash.start, clash.end) == pytest.approx((21.70, 22.90))
    (finding,) = placed.findings
    assert (finding.code, finding.severity) == ("setting_out.clash", Severity.WARN)
    assert "by 0.30 m" in finding.message
    assert "0.45 m right" in finding.message


def test_a_shape_on_the_other_side_moves_to_the_left() -> None:
    # By hand: 17.00 to 18.60 m, clear at 18.40 - 0.15: 0.35 m to the left.
    placed = laid((shapely.box(1700, 50, 1860, 100), INK_COLOUR), openings=GATE)
    assert [c.shift for c in placed.clashes] == pytest.approx([-0.35])
    assert "0.35 m left" in placed.findings[0].message


def test_a_shape_wholly_in_the_opening_is_listed_with_all_its_area() -> None:
    placed = laid((shapely.box(1900, 50, 2000, 100), INK_COLOUR), openings=GATE)
    (clash,) = placed.clashes
    assert (clash.overlap, clash.area) == pytest.approx((1.0, 0.5))
    # By hand: to the left 20.00 - 18.25 = 1.75 m, to the right 22.15 - 19.00 = 3.15 m.
    assert clash.shift == pytest.approx(-1.75)


def test_a_shape_nearer_than_the_clearance_is_worth_a_note() -> None:
    placed = laid((shapely.box(2205, 50, 2290, 100), INK_COLOUR), openings=GATE)
    (clash,) = placed.clashes
    assert (clash.overlap, clash.shift) == pytest.approx((0.0, 0.10))
    (finding,) = placed.findings
    assert (finding.code, finding.severity) == ("setting_out.near_opening", Severity.NOTE)


def test_a_shape_at_the_clearance_is_clear() -> None:
    placed = laid((shapely.box(2216, 50, 2290, 100), INK_COLOUR), openings=GATE)
    assert placed.clashes == ()
    assert placed.findings == ()


def test_a_band_that_runs_across_is_noted_once() -> None:
    placed = laid((shapely.box(0, 200, 6120, 290), TIDE_COLOUR), openings=GATE)
    (clash,) = placed.clashes
    assert clash.runs_across
    assert clash.shift == 0.0
    (finding,) = placed.findings
    assert (finding.code, finding.severity) == ("setting_out.runs_across", Severity.NOTE)
    assert "3.24 m²" in finding.message  # 3.60 m × 0.90 m


def test_a_window_above_a_shape_does_not_cut_it() -> None:
    window = (("Window", shapely.box(18.4, 1.5, 22.0, 2.5)),)
    placed = laid((shapely.box(1900, 200, 2000, 290), INK_COLOUR), openings=window)
    assert placed.clashes == ()


def test_many_shapes_in_one_opening_make_one_finding() -> None:
    shapes = [(shapely.box(1850 + 30 * k, 50, 1860 + 30 * k, 100), INK_COLOUR) for k in range(10)]
    placed = laid(*shapes, (shapely.box(0, 0, 100, 100), TIDE_COLOUR), openings=GATE)
    assert len(placed.clashes) == 10
    (finding,) = placed.findings
    assert "Cuts 10 shapes" in finding.message
    assert "4 smaller ones" in finding.message


# --------------------------------------------------------------------------- overruns


def test_what_falls_off_each_side_is_listed() -> None:
    # By hand, a cross of ink 80 m × 1 m and 1 m × 6 m about the middle of a wall of 61.2 × 2.9 m,
    # with its lower left corner at (-9.4, -1.55): arms run over by 9.4 m, posts by 1.55 m.
    arms = shapely.box(0, 250, 8000, 350)
    posts = shapely.box(3950, 0, 4050, 600)
    placed = laid(
        (arms.union(posts), INK_COLOUR),
        canvas=(8000.0, 600.0),
        placement=ArtworkPlacement(scale=0.01, at=-9.4, foot=-1.55),
    )
    total = 80 + 6 - 1
    assert {over.side: over.area for over in placed.overruns} == pytest.approx(
        {"left end": 9.4, "right end": 9.4, "top": 1.55, "ground": 1.55}
    )
    assert {over.side: over.share for over in placed.overruns} == pytest.approx(
        {"left end": 9.4 / total, "right end": 9.4 / total, "top": 1.55 / total,
         "ground": 1.55 / total}
    )  # fmt: skip
    assert {over.paints for over in placed.overruns} == {(3,)}
    assert [f.severity for f in placed.findings if f.code == "setting_out.overrun"] == [
        Severity.WARN
    ] * 4


def test_a_small_loss_is_only_noted() -> None:
    # 0.02 m of 2.9 m is 0.7 % of the figure, under the limit of 1 %.
    placed = laid(
        (shapely.box(100, 0, 200, 290), INK_COLOUR),
        placement=ArtworkPlacement(scale=0.01, foot=-0.02),
    )
    overrun = next(f for f in placed.findings if f.code == "setting_out.overrun")
    assert overrun.severity is Severity.NOTE
    assert overrun.subject == "artwork beyond the ground"


def test_what_an_opening_takes_is_no_overrun() -> None:
    placed = laid((shapely.box(1900, 50, 2000, 100), INK_COLOUR), openings=GATE)
    assert placed.overruns == ()


def test_an_artwork_beside_the_wall_holds_the_job_up() -> None:
    placed = laid(
        (shapely.box(0, 0, 100, 290), INK_COLOUR),
        placement=ArtworkPlacement(scale=0.01, at=100.0),
    )
    assert area_of(placed, 1) == pytest.approx(61.2 * 2.9)
    off = next(f for f in placed.findings if f.code == "setting_out.off_wall")
    assert off.severity is Severity.STOP
    assert "100.00 to 161.20 m" in off.message


def test_an_empty_artwork_is_all_ground_without_further_complaint() -> None:
    placed = laid()
    assert placed.coverage.labels.tolist() == [1]
    assert placed.findings == ()
