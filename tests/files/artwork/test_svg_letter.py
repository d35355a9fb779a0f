"""What SVG and CSS say of odd lengths, clips by a function and values that are none."""

from __future__ import annotations

import math

import pytest

from giornata.core.foundation import Severity
from giornata.files.artwork.reading import Reading
from giornata.files.artwork.svg import read_svg

# Chords stay within 1e-5 of the canvas's mean side; a few canvas perimeters of curved edge at
# that distance are 1e-4 of its area, 20,000.
AREA = 2.0


def read(body: str, root: str = 'viewBox="0 0 200 100"') -> Reading:
    return read_svg(
        f'<svg xmlns="http://www.w3.org/2000/svg" {root}>{body}</svg>'.encode(), "drawing.svg"
    )


def area(reading: Reading) -> float:
    assert reading.picture is not None
    return sum(float(flat.area.area) for flat in reading.picture.shapes)


def stops(reading: Reading) -> set[str]:
    return {f.code for f in reading.findings if f.severity is Severity.STOP} - {"artwork.empty"}


def warnings(reading: Reading) -> set[str]:
    return {f.code for f in reading.findings if f.severity is Severity.WARN}


@pytest.mark.parametrize(
    ("width", "pixels", "said"),
    [
        # CSS Values and Units Level 4, section 6.2: 1 Q = 1/40 cm = 96 / 101.6 px
        ("40Q", 96 / 2.54, set()),
        # section 6.1.1: rem is the root's font size; 16 px is every browser's initial size
        ("2rem", 32.0, set()),
        # section 6.1.1: where it cannot be measured, ch is 0.5 em and ic 1 em
        ("2ch", 16.0, {"artwork.unit"}),
        ("1ic", 16.0, {"artwork.unit"}),
        ("1rch", 8.0, {"artwork.unit"}),
        # section 6.1.2: hundredths of the viewport's width (200), height (100), lesser, greater;
        # i and b are along and across the lines of a text, here horizontal
        ("10vw", 20.0, {"artwork.unit"}),
        ("10vh", 10.0, {"artwork.unit"}),
        ("10vi", 20.0, {"artwork.unit"}),
        ("10vb", 10.0, {"artwork.unit"}),
        ("10vmin", 10.0, {"artwork.unit"}),
        ("10vmax", 20.0, {"artwork.unit"}),
        ("10svw", 20.0, {"artwork.unit"}),
        ("10lvmin", 10.0, {"artwork.unit"}),
        ("10dvh", 10.0, {"artwork.unit"}),
    ],
)
def test_lengths_by_the_viewport_and_the_root(width: str, pixels: float, said: set[str]) -> None:
    reading = read(f'<rect width="{width}" height="10"/>')
    assert area(reading) == pytest.approx(10 * pixels, abs=1e-3)
    assert stops(reading) == set()
    assert warnings(reading) == said


def test_root_size_of_type_and_of_viewport_are_the_given_ones() -> None:
    # rem: 10 px; the viewport is 20 mm wide = 75.59 px, of which 50 vw are half; user units are
    # px times 200 / 75.59 of them.
    root = 'width="20mm" height="10mm" viewBox="0 0 200 100" font-size="10"'
    reading = read('<rect width="2rem" height="50vw"/>', root)
    shown = (20 * 96 / 25.4 / 200) ** 2
    assert area(reading) == pytest.approx(20 * (10 * 96 / 25.4) * shown, rel=1e-4)


def test_width_of_a_line_in_a_style() -> None:
    # 101.6 Q = 1 in = 96 px
    reading = read('<path d="M0 50H100" stroke="#000" style="stroke-width:10.16Q"/>')
    assert area(reading) == pytest.approx(100 * 9.6, abs=1e-2)


@pytest.mark.parametrize("width", ["2cap", "2lh", "2rlh", "2rcap"])
def test_lengths_that_hang_on_a_font_stop(width: str) -> None:
    assert stops(read(f'<rect width="{width}" height="10"/>')) == {"artwork.unit"}


def test_lengths_that_cannot_be_told_stop() -> None:
    # The drawing's size hangs on what shows it.
    assert "artwork.unit" in stops(
        read('<rect width="2vw" height="10"/>', 'width="50%" height="80"')
    )


def test_size_of_type_by_a_rule() -> None:
    body = '<style>svg{font-size:9px}</style><rect width="2rem" height="10"/>'
    assert area(read(body)) == pytest.approx(2 * 9 * 10)


# A rectangle of 80 x 40 at (20, 10)
BLOCK = '<rect x="20" y="10" width="80" height="40" {}/>'


@pytest.mark.parametrize(
    ("clip", "covered"),
    [
        # CSS Shapes Level 1, section 3.1: the circle reaches the closest side, r = 20
        ("circle()", math.pi * 400),
        ("circle(10px)", math.pi * 100),
        # at a corner of the box: a quarter
        ("circle(10px at 0 0)", math.pi * 25),
        ("circle(10px at left top)", math.pi * 25),
        ("circle(10px at right)", math.pi * 50),
        # percentages of sqrt(w² + h²) / sqrt(2) = sqrt(4000) = 63.246: 10 % are 6.3246
        ("circle(10%)", math.pi * 40),
        ("ellipse()", math.pi * 40 * 20),
        ("ellipse(25% 10px)", math.pi * 20 * 10),
        # top, right, bottom, left
        ("inset(10px)", 60 * 20),
        ("inset(25% 10px)", 60 * 20),
        ("inset(0 0 30px 70px)", 10 * 10),
        ("polygon(0 0, 100% 0, 0 100%)", 1600.0),
        # the box of the filling is the box of the stroke where there is none
        ("circle() fill-box", math.pi * 400),
        ("circle() stroke-box", math.pi * 400),
        # of the view box, 200 x 100 with its middle at the block's right and lower corner: of
        # r = 50, what lies over the block up to there; inset says it more simply
        ("inset(20px 150px 60px 30px) view-box", 20 * 20),
    ],
)
def test_clip_by_a_function(clip: str, covered: float) -> None:
    for given in (f'clip-path="{clip}"', f'style="fill:#060;clip-path:{clip}"'):
        reading = read(BLOCK.format(given))
        assert stops(reading) == set()
        assert area(reading) == pytest.approx(covered, abs=AREA)


def test_clip_by_a_function_goes_by_the_line_too() -> None:
    # CSS Masking 1, 5.1: without a word the border box, in SVG the stroke's: 84 x 44, r = 22.
    # fill-box: 80 x 40, r = 20
    block = BLOCK.format('stroke="#f00" stroke-width="4" fill="#f00" clip-path="{}"')
    for box, radius in (("", 22), (" stroke-box", 22), (" fill-box", 20)):
        reading = read(block.format(f"circle(){box}"))
        assert reading.picture is not None
        lying = reading.picture.shapes[0].area
        for flat in reading.picture.shapes[1:]:
            lying = lying.union(flat.area)
        assert lying.area == pytest.approx(math.pi * radius**2, abs=AREA)


@pytest.mark.parametrize(
    "clip",
    ["inset(1px round 2px)", "path('M0 0H9V9z')", "circle(2em)", "circle(calc(1px + 2px))"],
)
def test_clips_of_other_kinds_stop(clip: str) -> None:
    assert stops(read(BLOCK.format(f'clip-path="{clip}"'))) == {"artwork.style"}


@pytest.mark.parametrize("around", ["<g {}><path d='M0 0H9V9z'/></g>", "<path d='M0 0H9V9z' {}/>"])
def test_clip_by_a_function_where_no_box_is_told_stops(around: str) -> None:
    assert stops(read(around.format('clip-path="circle()"'))) == {"artwork.style"}


@pytest.mark.parametrize("transform", ["qwe", "scale(NaN)", "rotate(30, 5)", "scale(2) foo"])
def test_a_transform_that_is_none_counts_as_not_given(transform: str) -> None:
    # SVG 2, error processing: an attribute in error is treated as not specified.
    reading = read(f'<rect width="10" height="10" transform="{transform}"/>')
    assert area(reading) == pytest.approx(100.0)
    assert stops(reading) == set()
    assert warnings(reading) == {"artwork.number"}


def test_points_end_where_they_are_none() -> None:
    # the first three corners: a triangle of 60 x 40 / 2
    reading = read('<polygon points="0,0 60,0 0,40 text 9,9"/>')
    assert area(reading) == pytest.approx(1200.0)
    assert warnings(reading) == {"artwork.number"}


def test_corners_as_arcs_are_mitres() -> None:
    # 20 + 20 long, 4 wide, and a mitred corner of 2 x 2 squares, less the overlap of the two
    # halves: (20 + 2) x 4 + (20 - 2) x 4 = 160
    line = '<path d="M10 40V20H30" fill="none" stroke="#000" stroke-width="4" {}/>'
    reading = read(line.format('stroke-linejoin="arcs"'))
    assert area(reading) == pytest.approx(160.0, abs=1e-2)
    assert stops(reading) == set()
    assert warnings(reading) == {"artwork.stroke"}
    assert stops(read(line.format('stroke-linejoin="miter-clip"'))) == {"artwork.stroke"}


def test_a_colour_by_a_profile_is_read_by_its_fallback() -> None:
    # SVG 1.1, section 12.2: the sRGB colour before it is the fallback of icc-color().
    reading = read('<rect width="9" height="9" fill="#f00 icc-color(press, 0, 1, 1, 0)"/>')
    assert reading.picture is not None
    assert [flat.colour for flat in reading.picture.shapes] == ["#ff0000"]
    assert stops(reading) == set()
    assert warnings(reading) == {"artwork.colour"}


def test_markers_on_a_circle_are_read_and_told() -> None:
    # SVG 2, section 13.7: markers apply to every shape; Chromium 156 draws none here. On a circle
    # the start marker stands at the right, where its outline begins (section 10.3): a square of
    # 3 x 3, the size of its viewport, hanging from that point.
    marker = '<marker id="m" markerUnits="userSpaceOnUse"><path d="M0 0H9V9H0z"/></marker>'
    reading = read(f'{marker}<circle cx="50" cy="50" r="20" fill="none" marker-start="url(#m)"/>')
    assert reading.picture is not None
    assert [flat.area.bounds for flat in reading.picture.shapes] == [
        pytest.approx((70, 50, 73, 53), abs=1e-3)
    ]
    assert warnings(reading) == {"artwork.marker"}
