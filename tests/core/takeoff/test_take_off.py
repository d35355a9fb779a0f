"""Quantities by paint against plane geometry; lengths in metres, areas in square metres."""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal

import numpy as np
import pytest
import shapely
import shapely.affinity

from giornata.core import takeoff
from giornata.core.foundation import Basis, Severity, given
from giornata.core.takeoff import BrushAndRoller, NarrowKind, TakeOff

TakenOff = Callable[..., TakeOff]
GROUND, TIDE, INK = 1, 2, 3


def edge(taken: TakeOff, first: int, second: int) -> float:
    return sum(float(p.length) for p in taken.pairs if (p.first, p.second) == (first, second))


# --------------------------------------------------------------------------- needs


def test_n13_black_pixels_as_outlines(taken_off: TakenOff) -> None:
    # N13 and N1: 6,120 × 290 px at 10 mm to the pixel on a wall of 61.2 × 2.9 m with gates of
    # 3.6 × 2.1 m and 1.2 × 2.0 m; 412,300 black pixels (5,000 × 80 + 123 × 100), none on a gate.
    gates = (
        ("Gate 1", shapely.box(18.4, 0, 22.0, 2.1)),
        ("Gate 2", shapely.box(40.0, 0, 41.2, 2.0)),
    )
    black = [(shapely.box(5, 2.1, 55, 2.9), INK), (shapely.box(30, 0.5, 31.23, 1.5), INK)]
    taken = taken_off(*black, openings=gates)
    area = float(taken.paint(INK).area)
    assert area == pytest.approx(41.23, abs=1e-9)
    assert area / 177.48 == pytest.approx(0.232, abs=0.0005)
    assert float(taken.net_area) == pytest.approx(167.52)
    assert area / float(taken.net_area) == pytest.approx(0.246, abs=0.0005)
    assert sum(float(p.area) for p in taken.paints) == pytest.approx(167.52, rel=1e-12)


def test_n14_a_disc_of_one_metre(taken_off: TakenOff) -> None:
    # N14: 2 π = 6.283 m of edge, within 2 %; as an outline of 4,096 chords it is exact to 1e-5.
    disc = shapely.Point(10, 1.45).buffer(1.0, quad_segs=1024)
    taken = taken_off((disc, INK))
    assert edge(taken, GROUND, INK) == pytest.approx(2 * math.pi, rel=1e-5)
    assert float(taken.paint(INK).area) == pytest.approx(math.pi, rel=1e-5)
    assert float(taken.paint(INK).edge) == pytest.approx(2 * math.pi, rel=1e-5)


def test_n15_a_twig_narrower_than_the_brush(taken_off: TakenOff) -> None:
    # N15: 18 mm wide, texture 8 mm, narrowest brush 25 mm; from x 10.00 to 10.40 at y 1.20.
    twig = shapely.affinity.rotate(shapely.box(10.0, 1.191, 10.4, 1.209), 20)
    tools = BrushAndRoller(roller=0.18, narrowest_brush=0.025, texture=0.008)
    taken = taken_off((twig, INK), tools=tools)
    (place,) = taken.narrow
    assert (place.kind, place.paint) == (NarrowKind.LINE, INK)
    assert place.width == pytest.approx(0.018, abs=1e-5)
    assert place.limit == 0.025
    assert place.suggested == (0.025, 0.030)
    assert twig.contains(shapely.Point(place.x, place.y))
    (finding,) = taken.findings
    assert (finding.code, finding.severity, finding.subject) == (
        "takeoff.unpaintable",
        Severity.WARN,
        "Ink",
    )
    assert "Unpaintable (<25 mm) in 1 place: 18 mm at x 10." in finding.message
    assert "25-30 mm" in finding.remedy


# --------------------------------------------------------------------------- shapes by hand


def test_nested_rings_of_three_paints(taken_off: TakenOff) -> None:
    # Discs of radius 1.2, 0.9, 0.6, 0.3 laid on one another: tide, ink, ground, tide.
    discs = [shapely.Point(30, 1.45).buffer(r, quad_segs=512) for r in (1.2, 0.9, 0.6, 0.3)]
    taken = taken_off(*zip(discs, (TIDE, INK, GROUND, TIDE), strict=True))
    areas = {p.number: float(p.area) for p in taken.paints}
    assert areas[TIDE] == pytest.approx(math.pi * (1.44 - 0.81 + 0.09), rel=1e-4)
    assert areas[INK] == pytest.approx(math.pi * (0.81 - 0.36), rel=1e-4)
    assert areas[GROUND] == pytest.approx(61.2 * 2.9 - math.pi * (1.44 - 0.36 + 0.09), rel=1e-6)
    assert edge(taken, GROUND, TIDE) == pytest.approx(2 * math.pi * (1.2 + 0.3), rel=1e-5)
    assert edge(taken, TIDE, INK) == pytest.approx(2 * math.pi * 0.9, rel=1e-5)
    assert edge(taken, GROUND, INK) == pytest.approx(2 * math.pi * 0.6, rel=1e-5)
    assert [p.shapes for p in taken.paints] == [2, 2, 1]


def test_one_even_odd_outline_of_nested_squares(taken_off: TakenOff) -> None:
    # By hand: squares of side 2.4, 1.8, 1.2, 0.6 about one middle.
    squares = [shapely.box(30 - s, 1.45 - s, 30 + s, 1.45 + s) for s in (1.2, 0.9, 0.6, 0.3)]
    outline = (squares[0] - squares[1]) | (squares[2] - squares[3])
    taken = taken_off((outline, INK))
    assert float(taken.paint(INK).area) == pytest.approx(5.76 - 3.24 + 1.44 - 0.36)
    assert edge(taken, GROUND, INK) == pytest.approx(4 * (2.4 + 1.8 + 1.2 + 0.6))
    assert taken.paint(INK).shapes == 2
    assert taken.paint(GROUND).shapes == 3


def test_a_star_of_five_points(taken_off: TakenOff) -> None:
    # Ten triangles between radii R and r at 36°: area 5 R r sin 36°; side by the law of cosines.
    big, small, step = 1.2, 0.5, math.pi / 5
    corners = [
        (
            20 + (big, small)[i % 2] * math.sin(i * step),
            1.4 + (big, small)[i % 2] * math.cos(i * step),
        )
        for i in range(10)
    ]
    taken = taken_off((shapely.Polygon(corners), INK))
    side = math.sqrt(big**2 + small**2 - 2 * big * small * math.cos(step))
    assert float(taken.paint(INK).area) == pytest.approx(5 * big * small * math.sin(step))
    assert edge(taken, GROUND, INK) == pytest.approx(10 * side)
    assert taken.narrow == ()  # its points are no thin features


def test_a_chequerboard_shares_each_edge_once(taken_off: TakenOff) -> None:
    # By hand: 4 × 4 squares of 0.5 m, two paints in turn: 24 inner sides, and 16 outer sides of
    # which each paint has eight, all 0.5 m long.
    board = [
        (shapely.box(10 + 0.5 * i, 0.4 + 0.5 * j, 10.5 + 0.5 * i, 0.9 + 0.5 * j), 2 + (i + j) % 2)
        for i in range(4)
        for j in range(4)
    ]
    taken = taken_off(*board)
    assert edge(taken, TIDE, INK) == pytest.approx(12.0)
    assert edge(taken, GROUND, TIDE) == pytest.approx(4.0)
    assert edge(taken, GROUND, INK) == pytest.approx(4.0)
    assert float(taken.edge) == pytest.approx(20.0)
    assert taken.paint(TIDE).shapes == 8  # squares that meet at corners stay apart
    assert taken.edge_matrix().tolist() == pytest.approx(
        np.array([[0, 4, 4], [4, 0, 12], [4, 12, 0]])
    )


def test_wall_outline_and_openings_are_no_edges_between_paints(taken_off: TakenOff) -> None:
    # By hand: a band of tide 1 m high along the foot, a gate of 4 × 2 m through it.
    gate = (("Gate", shapely.box(20, 0, 24, 2)),)
    taken = taken_off((shapely.box(0, 0, 61.2, 1), TIDE), openings=gate)
    assert float(taken.edge) == pytest.approx(61.2 - 4)
    tide, ground = taken.paint(TIDE), taken.paint(GROUND)
    assert float(tide.border) == pytest.approx((61.2 - 4) + 2 * 1 + 2 * 1)  # foot, ends, gate
    assert float(ground.border) == pytest.approx(61.2 + 2 * 1.9 + 4 + 2 * 1)


# --------------------------------------------------------------------------- rules


def test_ground_base_coat_and_figure_are_kept_apart(taken_off: TakenOff) -> None:
    taken = taken_off((shapely.box(0, 0, 10, 1), TIDE), (shapely.box(5, 0, 10, 2), INK))
    # By hand: tide 5 m², ink 10 m², the wall 177.48 m².
    assert float(taken.base) == pytest.approx(177.48)
    assert float(taken.figure) == pytest.approx(15.0)
    assert float(taken.ground) == pytest.approx(162.48)
    assert float(taken.ground) + float(taken.figure) == pytest.approx(float(taken.net_area))


def test_an_edge_is_cut_by_the_paint_that_goes_on_later(taken_off: TakenOff) -> None:
    taken = taken_off((shapely.box(0, 0, 10, 1), TIDE), (shapely.box(5, 0, 10, 2), INK))
    # By hand: tide meets ground on its top, 5 m; ink meets tide on 1 m, ground on 1 + 5 + 2 m.
    assert {(p.first, p.second): p.cut_by for p in taken.pairs} == {
        (GROUND, TIDE): TIDE,
        (GROUND, INK): INK,
        (TIDE, INK): INK,
    }
    assert float(taken.paint(GROUND).cut) == 0.0
    assert float(taken.paint(TIDE).cut) == pytest.approx(5.0)
    assert float(taken.paint(INK).cut) == pytest.approx(9.0)
    assert sum(float(p.cut) for p in taken.paints) == pytest.approx(float(taken.edge))
    assert sum(float(p.edge) for p in taken.paints) == pytest.approx(2 * float(taken.edge))


def test_roller_and_brush_share_the_area(taken_off: TakenOff) -> None:
    # By hand: a square of 1 m loses (4 - π) r² at its corners to the brush, a bar of 0.1 m is
    # all brush; roller 0.18 m.
    taken = taken_off((shapely.box(10, 1, 11, 2), INK), (shapely.box(20, 1, 23, 1.1), INK))
    ink = taken.paint(INK)
    assert float(ink.brushed) == pytest.approx((4 - math.pi) * 0.09**2 + 0.3, abs=2e-5)
    assert float(ink.rolled) + float(ink.brushed) == pytest.approx(float(ink.area), rel=1e-12)


def test_a_paint_that_does_not_occur_has_zeros(taken_off: TakenOff) -> None:
    taken = taken_off((shapely.box(0, 0, 10, 1), TIDE))
    ink = taken.paint(INK)
    assert [float(v) for v in (ink.area, ink.edge, ink.cut, ink.border, ink.rolled)] == [0.0] * 5
    assert ink.shapes == 0


def test_an_empty_artwork_is_all_ground(taken_off: TakenOff) -> None:
    taken = taken_off()
    assert float(taken.ground) == pytest.approx(177.48)
    assert float(taken.figure) == 0.0
    assert (float(taken.edge), taken.pairs, taken.narrow) == (0.0, (), ())
    assert taken.findings == ()


# --------------------------------------------------------------------------- narrow places


def test_the_texture_sets_the_limit_where_it_is_deep(taken_off: TakenOff) -> None:
    # Roughcast 12 mm deep: lines of three depths, 36 mm, read on it (common practice, no source).
    tools = BrushAndRoller(narrowest_brush=0.025, texture=0.012)
    assert takeoff.narrowest_line(tools) == pytest.approx(0.036)
    taken = taken_off((shapely.box(10, 1, 12, 1.03), INK), tools=tools)
    assert [place.width for place in taken.narrow] == pytest.approx([0.03])
    assert taken.narrow[0].suggested == pytest.approx((0.036, 0.045))


def test_a_gap_between_later_paints_is_no_line_to_paint(taken_off: TakenOff) -> None:
    # Two ink shapes 10 mm apart on the ground: the ground shows through, nobody paints it.
    taken = taken_off((shapely.box(10, 1, 11, 2), INK), (shapely.box(11.01, 1, 12, 2), INK))
    (place,) = taken.narrow
    assert (place.kind, place.paint) == (NarrowKind.GAP, GROUND)
    assert place.width == pytest.approx(0.010, abs=1e-6)
    assert place.x == pytest.approx(11.005, abs=1e-6)
    (finding,) = taken.findings
    assert (finding.code, finding.severity) == ("takeoff.narrow_gap", Severity.NOTE)


def test_a_strip_beside_an_earlier_paint_must_be_painted(taken_off: TakenOff) -> None:
    # A strip of tide 15 mm wide between ground and ink: tide goes on after the ground.
    taken = taken_off((shapely.box(10, 1, 11, 2), TIDE), (shapely.box(10.015, 0.5, 12, 2.5), INK))
    (place,) = taken.narrow
    assert (place.kind, place.paint) == (NarrowKind.LINE, TIDE)
    assert place.width == pytest.approx(0.015, abs=1e-6)


def test_a_blade_that_runs_out_to_a_point_is_worth_a_note(taken_off: TakenOff) -> None:
    # By trigonometry, 60 mm wide running out over 1.2 m: under 25 mm over the last 0.50 m.
    blade = shapely.Polygon([(10, 1.47), (11.2, 1.5), (10, 1.53)])
    taken = taken_off((blade, INK))
    (place,) = taken.narrow
    assert place.kind is NarrowKind.POINT
    assert place.length == pytest.approx(0.5, abs=0.03)
    (finding,) = taken.findings
    assert (finding.code, finding.severity) == ("takeoff.fine_point", Severity.NOTE)
    assert "under 25 mm wide in 1 place" in finding.message


def test_a_sliver_is_a_fault_of_the_drawing(taken_off: TakenOff) -> None:
    # Two bands of ink that miss one another by 0.4 mm.
    taken = taken_off((shapely.box(10, 1, 11, 1.5), INK), (shapely.box(10, 1.5004, 11, 2), INK))
    (place,) = taken.narrow
    assert place.kind is NarrowKind.SLIVER
    (finding,) = taken.findings
    assert (finding.code, finding.severity) == ("takeoff.slivers", Severity.NOTE)
    assert "0.4 mm" in finding.message


def test_many_narrow_places_make_one_finding_and_a_full_list(taken_off: TakenOff) -> None:
    twigs = [(shapely.box(2.0 * k, 1, 2.0 * k + 0.5, 1.01 + 0.001 * k), INK) for k in range(9)]
    taken = taken_off(*twigs)
    assert len(taken.narrow) == 9
    assert [place.x for place in taken.narrow] == sorted(place.x for place in taken.narrow)
    (finding,) = taken.findings
    assert "in 9 places: 10 mm" in finding.message
    assert "and 4 more" in finding.message


# --------------------------------------------------------------------------- figures, bill


def test_every_quantity_explains_itself(taken_off: TakenOff) -> None:
    taken = taken_off((shapely.box(0, 0, 10, 1), TIDE), (shapely.box(5, 0, 10, 2), INK))
    quantities = [taken.base, taken.ground, taken.figure, taken.edge]
    for paint in taken.paints:
        quantities += [paint.area, paint.edge, paint.cut, paint.border, paint.rolled, paint.brushed]
    for figure in quantities:
        assert figure.basis is Basis.DERIVED
        assert figure.method == "takeoff.take_off v1"
        assert {part.basis for part in figure.walk()} <= {Basis.DERIVED, Basis.GIVEN}
    assert taken.net_area in tuple(taken.base.walk())
    assert taken.net_area in tuple(taken.paint(TIDE).area.walk())
    assert taken.edge.parts == tuple(pair.length for pair in taken.pairs)


def test_the_bill_follows_the_work(taken_off: TakenOff) -> None:
    taken = taken_off((shapely.box(0, 0, 10, 1), TIDE))
    lines = takeoff.bill(taken)
    assert [(line.item, line.name) for line in lines] == [
        ("Base coat", "Net wall"),
        ("Fill, roller", "Tide"),
        ("Fill, brush", "Tide"),
        ("Cut in", "Tide"),
    ]
    assert [line.quantity.unit for line in lines] == ["m²", "m²", "m²", "m"]
    assert float(lines[1].quantity) + float(lines[2].quantity) == pytest.approx(10.0)
    assert float(lines[3].quantity) == pytest.approx(11.0)  # 10 m of top and 1 m of end


def test_a_net_wall_that_differs_from_the_regions_is_reported(taken_off: TakenOff) -> None:
    # With 1.2 m² of painted pier returns in the surveyed net area.
    net = given("net area", Decimal("178.68"), "m²", source="made for the test")
    taken = taken_off((shapely.box(0, 0, 10, 1), TIDE), net_area=net)
    (finding,) = taken.findings
    assert (finding.code, finding.severity) == ("takeoff.net_differs", Severity.WARN)
    assert "-1.200 m²" in finding.message


def test_a_paint_number_that_is_not_there_is_refused(taken_off: TakenOff) -> None:
    with pytest.raises(ValueError, match="no paint has the number 9"):
        taken_off().paint(9)
