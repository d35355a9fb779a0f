"""Areas of stroked lines against areas known by construction (SVG 2, section 13)."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from giornata.files.artwork.svg import read_svg

AREA = 2.0  # 1e-4 of the canvas, 200 x 100


def stroked(body: str) -> float:
    source = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100"><g fill="none"'
        f' stroke="#000" stroke-width="10">{body}</g></svg>'
    )
    reading = read_svg(source.encode(), "drawing.svg")
    assert reading.picture is not None
    assert not reading.findings
    return sum(float(flat.area.area) for flat in reading.picture.shapes)


@pytest.mark.parametrize(
    ("cap", "more"),
    [
        # a line 60 long, 10 wide; each cap adds nothing, half a disc, or half a square
        ("butt", 0.0),
        ("round", math.pi * 25),
        ("square", 100.0),
    ],
)
def test_caps(cap: str, more: float) -> None:
    body = f'<path d="M20 50H80" stroke-linecap="{cap}"/>'
    assert stroked(body) == pytest.approx(600 + more, abs=AREA)


# A right-angled corner of two legs 40 long: the legs' rectangles overlap in a 5 x 5 square, and a
# wedge between them stays open: 2 x 400 - 25 = 775 without a join (bevel adds the 5 x 5 / 2
# triangle, round a quarter disc, mitre the whole 5 x 5 square).
@pytest.mark.parametrize(
    ("join", "more"),
    [("bevel", 12.5), ("round", math.pi * 25 / 4), ("miter", 25.0)],
)
def test_joins(join: str, more: float) -> None:
    body = f'<path d="M20 50H60V90" stroke-linejoin="{join}"/>'
    assert stroked(body) == pytest.approx(775 + more, abs=AREA)


@pytest.mark.parametrize(
    ("limit", "mitred"),
    [
        # mitre length over width is 1 / sin(angle / 2); for 60° that is 2
        (1.9, False),
        (2.1, True),
    ],
)
def test_mitre_limit(limit: float, mitred: bool) -> None:
    # two sides of an equilateral triangle, side 60. Each leg: 600. At the corner (60°, w = 10):
    # inner overlap is the kite of two right triangles with legs 5 and 5 / tan 30°;
    # bevel adds the isosceles triangle between the outer corners: (w/2)² sin(120°) / 2 ;
    # a mitre adds the kite 2 x 5 x (5 tan 60°) / 2.
    overlap = 5 * 5 / math.tan(math.radians(30))
    bevel = 25 * math.sin(math.radians(120)) / 2
    mitre = 5 * 5 * math.tan(math.radians(60))
    x, y = 60 + 60 * math.cos(math.radians(120)), 90 - 60 * math.sin(math.radians(120))
    body = f'<path d="M0 90H60L{x} {y}" stroke-miterlimit="{limit}"/>'
    expected = 1200 - overlap + (mitre if mitred else bevel)
    # the line starts at the canvas's edge; its butt end is not cut
    assert stroked(body) == pytest.approx(expected, abs=AREA)


@pytest.mark.parametrize(
    ("dashes", "covered"),
    [
        # of a line 100 long: dashes of 10 and gaps of 10: five dashes
        ("10 10", 500.0),
        ("10", 500.0),
        # an odd list is repeated: 20 on 10 off 5 on 20 off 10 on 5 off (SVG 2, 13.5.6):
        # 0-20, 30-35, 55-65, 70-90 : 55; after 70, the list starts again: 70-90 on, 90-100 off
        ("20 10 5", 550.0),
        # commas and percentages of the viewport's diagonal / sqrt 2: sqrt((200²+100²)/2)=158.114;
        # 10 % = 15.811: on at 0, 31.62, 63.25, 94.87 (5.13 left): 3 x 15.811 + 5.132
        ("10%", 10 * (3 * 15.8114 + 5.1317)),
        ("none", 1000.0),
        ("0", 1000.0),
    ],
)
def test_dashes(dashes: str, covered: float) -> None:
    body = f'<path d="M20 50H120" stroke-dasharray="{dashes}"/>'
    assert stroked(body) == pytest.approx(covered, abs=AREA)


def test_dash_offset() -> None:
    # the pattern starts 5 in: 5 on, then 10 off / 10 on: 5 + 4 x 10 + last 5 = 50 of 100
    body = '<path d="M20 50H120" stroke-dasharray="10 10" stroke-dashoffset="5"/>'
    assert stroked(body) == pytest.approx(500.0, abs=AREA)


def test_round_dots() -> None:
    # dashes of no length with round caps, 20 apart over 100: dots at 0, 20, ... 100
    body = '<path d="M20 50H120.5" stroke-dasharray="0 20" stroke-linecap="round"/>'
    assert stroked(body) == pytest.approx(6 * math.pi * 25, abs=AREA)


@pytest.mark.parametrize(
    "dot",
    [
        '<path d="M50 50h0" stroke-linecap="{}"/>',
        '<path d="M50 50L50 50" stroke-linecap="{}"/>',
        '<path d="m50,50z" stroke-linecap="{}"/>',
        '<line x1="50" y1="50" x2="50" y2="50" stroke-linecap="{}"/>',
        '<polyline points="50,50 50,50" stroke-linecap="{}"/>',
    ],
)
@pytest.mark.parametrize(("cap", "area"), [("round", math.pi * 25), ("square", 100.0)])
def test_lines_of_no_length_are_dots(dot: str, cap: str, area: float) -> None:
    assert stroked(dot.format(cap)) == pytest.approx(area, abs=AREA)


def test_line_of_no_length_with_butt_ends_shows_nothing() -> None:
    source = (
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100"><rect width="9"'
        b' height="9"/><path d="M50 50h0" stroke="#000" stroke-width="10"/></svg>'
    )
    picture = read_svg(source, "drawing.svg").picture
    assert picture is not None
    # 2e-5 x 50 long at most: 0.01 of an area unit
    assert sum(float(flat.area.area) for flat in picture.shapes) == pytest.approx(81, abs=0.02)


def test_ring_around_a_circle() -> None:
    # pi ((r + w/2)² - (r - w/2)²) = 2 pi r w
    body = '<circle cx="50" cy="50" r="30"/>'
    assert stroked(body) == pytest.approx(2 * math.pi * 30 * 10, abs=AREA)


def test_stroke_wider_than_its_circle_is_read_as_renderers_show_it() -> None:
    # By SVG 2 the whole disc is stroked; browsers and resvg leave a hole of radius w/2 - r, and
    # what the painter saw on the screen is what counts: pi (25² - 5²).
    body = '<circle cx="50" cy="50" r="10" stroke-width="30"/>'
    assert stroked(body) == pytest.approx(math.pi * (25**2 - 5**2), abs=AREA)


def test_frame_around_a_square() -> None:
    # outer 50², inner 30²
    body = '<rect x="20" y="20" width="40" height="40"/>'
    assert stroked(body) == pytest.approx(2500 - 900, abs=AREA)


def test_stroke_is_scaled_with_its_shape() -> None:
    # a circle r = 10, w = 4, stretched 3 x 1: the ring's area times 3
    body = '<circle cx="20" cy="50" r="10" stroke-width="4" transform="scale(3 1)"/>'
    assert stroked(body) == pytest.approx(3 * 2 * math.pi * 10 * 4, abs=AREA)


def test_line_that_crosses_itself_counts_once() -> None:
    # two lines 60 long crossing at right angles in one path, joined by a detour of no area:
    # drawn as two parts of one path: 2 x 600 - 100
    body = '<path d="M20 50H80M50 20V80"/>'
    assert stroked(body) == pytest.approx(1100.0, abs=AREA)


def test_stroke_small_in_its_own_numbers() -> None:
    # the same curve drawn in numbers 1 and 10,000 times as large covers the same
    small = '<path transform="translate(50 20) scale(40)" stroke-width=".2" d="M0 0C0 1 1 1 1 0"/>'
    large = (
        '<path transform="translate(50 20) scale(.004)" stroke-width="2000"'
        ' d="M0 0C0 10000 10000 10000 10000 0"/>'
    )
    assert stroked(small) == pytest.approx(stroked(large), abs=0.1)


def test_stroke_under_the_filling() -> None:
    source = (
        b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100"><circle cx="50" cy="50"'
        b' r="20" fill="#f00" stroke="#00f" paint-order="stroke"/></svg>'
    )
    picture = read_svg(source, "drawing.svg").picture
    assert picture is not None
    assert [flat.colour for flat in picture.shapes] == ["#0000ff", "#ff0000"]


def test_marker_at_the_end_of_a_line() -> None:
    # a marker is scaled by the stroke's width (10): a 3 x 3 square becomes 30 x 30, and half of
    # it lies over the line's end: 60 x 10 + 900 - 10 x 15
    body = (
        '<marker id="m" markerWidth="3" markerHeight="3" refX="1.5" refY="1.5">'
        '<rect width="3" height="3" fill="#000" stroke="none"/></marker>'
        '<path d="M20 50H80" marker-end="url(#m)"/>'
    )
    # the shapes lie over one another: 600 + 900
    assert stroked(body) == pytest.approx(1500.0, abs=AREA)


def test_dashes_of_all_lines_are_counted_together(monkeypatch: pytest.MonkeyPatch) -> None:
    # a line of 60 in dashes and gaps of 3 has ten; the limit lets two such lines through
    monkeypatch.setattr("giornata.files.artwork.painting._MOST_DASHES", 25)
    line = '<path d="M20 50H80" stroke="#000" stroke-dasharray="3"/>'
    source = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100">{line * 3}</svg>'
    reading = read_svg(source.encode(), "drawing.svg")
    assert reading.picture is not None
    assert len(reading.picture.shapes) == 2
    assert [finding.code for finding in reading.findings] == ["artwork.dashes"]


def test_a_line_far_from_its_own_origin_keeps_its_bends() -> None:
    # Stroked at single precision from the origin, this line (of a public-domain drawing) lost a
    # fifth of its area. The truth is the curve, finely sampled, with GEOS's buffer around it.
    corners = np.array(
        [(240.062, 1060.35), (250.613, 1062.16), (252.674, 1060.24), (257.35, 1061.6),
         (260.985, 1062.73), (253.597, 1061.29), (252.96, 1061.98),
         (252.373, 1062.5), (261.111, 1065.23), (264.739, 1065.54)]
    )  # fmt: skip
    t = np.linspace(0, 1, 2_001)[:, None]
    curve = np.concatenate(
        [
            (1 - t) ** 3 * p0 + 3 * (1 - t) ** 2 * t * p1 + 3 * (1 - t) * t**2 * p2 + t**3 * p3
            for p0, p1, p2, p3 in (corners[k : k + 4] for k in (0, 3, 6))
        ]
    )
    own = shapely.LineString(curve).buffer(4 / 6, quad_segs=64).area
    path = f"M{corners[0][0]} {corners[0][1]}C" + " ".join(f"{x},{y}" for x, y in corners[1:])
    source = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 842"><path fill="none"'
        ' transform="matrix(7.0653,1.26042,-4.75455,8.092041,3409.29,-8642.51)" stroke="#000"'
        ' stroke-width="1.3333333" stroke-linecap="round" stroke-linejoin="round"'
        f' d="{path}"/></svg>'
    )
    reading = read_svg(source.encode(), "drawing.svg")
    assert reading.picture is not None
    stretch = 7.0653 * 8.092041 + 1.26042 * 4.75455
    assert reading.picture.shapes[0].area.area == pytest.approx(own * stretch, rel=5e-4)
