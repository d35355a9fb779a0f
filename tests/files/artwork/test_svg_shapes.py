"""Areas of SVG shapes against areas known by construction."""

from __future__ import annotations

import math
from collections import defaultdict

import pytest
import shapely

from giornata.files.artwork.display import Flat, Picture
from giornata.files.artwork.svg import read_svg

# Chords stay within 1e-5 of the canvas's mean side; a few canvas perimeters of curved edge at
# that distance are 1e-4 of its area.
AREA = 1.0e-4


def picture_of(body: str, root: str = 'viewBox="0 0 200 100"') -> Picture:
    source = (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        f" {root}>{body}</svg>"
    )
    reading = read_svg(source.encode(), "drawing.svg")
    assert reading.picture is not None
    assert not reading.findings
    return reading.picture


def areas_of(body: str, root: str = 'viewBox="0 0 200 100"') -> list[float]:
    return [float(flat.area.area) for flat in picture_of(body, root).shapes]


def near(area: float, canvas: float = 20_000.0) -> object:
    return pytest.approx(area, abs=AREA * canvas)


@pytest.mark.parametrize(
    ("body", "area"),
    [
        # pi r²
        ('<circle cx="50" cy="50" r="30"/>', math.pi * 900),
        # pi a b
        ('<ellipse cx="80" cy="50" rx="60" ry="20"/>', math.pi * 1200),
        # w h
        ('<rect x="10" y="10" width="80" height="30"/>', 2400.0),
        # w h - (4 - pi) rx ry: four corners, each a rectangle less a quarter ellipse
        ('<rect x="10" y="10" width="80" height="40" rx="10"/>', 3200 - (4 - math.pi) * 100),
        # SVG 2, 10.2: radii are cut to half the side, so this is a stadium: 40 x 40 + pi 20²
        ('<rect x="10" y="10" width="80" height="40" rx="20" ry="20"/>', 1600 + math.pi * 400),
        # base x height / 2
        ('<polygon points="0,0 60,0 0,40"/>', 1200.0),
        # an open polyline fills as if closed
        ('<polyline points="0,0 60,0 0,40"/>', 1200.0),
        # half of a disc, drawn with an elliptical arc
        ('<path d="M20 50A30 30 0 0 1 80 50Z"/>', math.pi * 450),
        # segment under one quadratic: 2/3 base x height of the control triangle's half:
        # area = 2/3 x 60 x 20 (a parabola of rise 20 over chord 60)
        ('<path d="M0 0Q30 40 60 0Z"/>', 2 / 3 * 60 * 20),
        # one cubic over chord L with both handles at height h straight above its ends:
        # y = 3 h t (1 - t) and x = L (3 t² - 2 t³); area = integral y dx = 3/5 L h
        ('<path d="M0 0C0 30 60 30 60 0Z"/>', 3 / 5 * 60 * 30),
        # smooth curves: the same cubic twice, one up and one down
        ('<path d="M0 50C0 80 60 80 60 50S120 20 120 50Z"/>', 2 * 3 / 5 * 60 * 30),
        # relative and shorthand steps: a 20 x 10 rectangle
        ('<path d="m5 5h20v10h-20z"/>', 200.0),
    ],
)
def test_area_of_a_shape(body: str, area: float) -> None:
    assert areas_of(body) == [near(area)]


@pytest.mark.parametrize(
    ("transform", "factor"),
    [
        # the determinant of the transform
        ("translate(20 10)", 1.0),
        ("rotate(30 50 50)", 1.0),
        ("scale(2)", 4.0),
        ("scale(2 .5)", 1.0),
        ("scale(-1 1) translate(-100 0)", 1.0),
        ("skewX(20)", 1.0),
        ("matrix(1 .5 -.25 1.5 20 5)", 1 * 1.5 - 0.5 * -0.25),
        ("translate(20 10) scale(1.5) rotate(10)", 2.25),
    ],
)
def test_area_under_a_transform(transform: str, factor: float) -> None:
    # a disc of radius 10 about (40, 20); all of it stays on the canvas
    body = f'<g transform="{transform}"><circle cx="40" cy="20" r="10"/></g>'
    assert areas_of(body) == [near(factor * math.pi * 100)]


def test_transforms_of_nested_groups_multiply_outermost_last() -> None:
    body = (
        '<g transform="translate(100 0)"><g transform="scale(2)">'
        '<rect x="5" y="5" width="10" height="10"/></g></g>'
    )
    # x: 100 + 2 x 5 = 110; y: 2 x 5 = 10; side 2 x 10
    (flat,) = picture_of(body).shapes
    assert flat.area.bounds == pytest.approx((110.0, 10.0, 130.0, 30.0), abs=1e-4)


# A regular pentagram on a circle of radius R = 50, worked by hand: the whole star (nonzero) is
# ten triangles with apex at the centre, area 5 R r sin 36°, where r = R cos 72° / cos 36° is the
# radius of the inner pentagon; the pentagon (left open by even-odd) is 5/2 r² sin 72°.
_INNER = 50.0 * math.cos(math.radians(72)) / math.cos(math.radians(36))
STAR_AREA = 5.0 * 50.0 * _INNER * math.sin(math.radians(36))
PENTAGON = 2.5 * _INNER**2 * math.sin(math.radians(72))


def pentagram() -> str:
    corners = [
        (50 + 50 * math.sin(k * 4 * math.pi / 5), 50 - 50 * math.cos(k * 4 * math.pi / 5))
        for k in range(5)
    ]
    return "M" + "L".join(f"{x:.6f} {y:.6f}" for x, y in corners) + "Z"


def test_nonzero_fills_the_heart_of_a_star() -> None:
    assert areas_of(f'<path d="{pentagram()}"/>') == [near(STAR_AREA)]


def test_even_odd_leaves_the_heart_of_a_star_open() -> None:
    body = f'<path d="{pentagram()}" fill-rule="evenodd"/>'
    assert areas_of(body) == [near(STAR_AREA - PENTAGON)]


@pytest.mark.parametrize(
    ("inner", "rule", "area"),
    [
        # a 20 x 20 square inside a 40 x 40 one; same turn: winding 2 inside
        ("M20 20h20v20h-20z", "nonzero", 1600.0),
        ("M20 20h20v20h-20z", "evenodd", 1200.0),
        # opposite turn: winding 0 inside
        ("M20 20v20h20v-20z", "nonzero", 1200.0),
        ("M20 20v20h20v-20z", "evenodd", 1200.0),
    ],
)
def test_ring_in_a_ring(inner: str, rule: str, area: float) -> None:
    body = f'<path fill-rule="{rule}" d="M10 10h40v40h-40z{inner}"/>'
    assert areas_of(body) == [near(area)]


def test_a_path_over_itself_counts_once() -> None:
    # two discs of radius 20 whose centres are 20 apart, in one path: union = 2 disc - lens,
    # lens = 2 r² acos(d / 2r) - d/2 sqrt(4 r² - d²)
    r, d = 20.0, 20.0
    lens = 2 * r * r * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r * r - d * d)
    disc = "M{0} 50a20 20 0 1 0 40 0a20 20 0 1 0 -40 0z"
    body = f'<path d="{disc.format(20)}{disc.format(40)}"/>'
    assert areas_of(body) == [near(2 * math.pi * r * r - lens)]


@pytest.mark.parametrize(
    ("width", "pixels"),
    [
        # CSS Values and Units Level 3, section 6.2: 1in = 96px = 2.54cm = 72pt = 6pc
        ("20", 20.0),
        ("20px", 20.0),
        ("1in", 96.0),
        ("25.4mm", 96.0),
        ("2.54cm", 96.0),
        ("72pt", 96.0),
        ("6pc", 96.0),
        # the initial font size is 16 px (CSS's "medium" as browsers have it); 1em = font size
        ("2em", 32.0),
        # of the viewport's width, 200
        ("10%", 20.0),
    ],
)
def test_units_of_length(width: str, pixels: float) -> None:
    assert areas_of(f'<rect width="{width}" height="10"/>') == [near(10 * pixels)]


@pytest.mark.parametrize(
    ("root", "width", "height", "box"),
    [
        # no size: the view box
        ('viewBox="0 0 200 100"', 200.0, 100.0, (10, 10, 30, 20)),
        # half size
        ('width="100" height="50" viewBox="0 0 200 100"', 100.0, 50.0, (5, 5, 15, 10)),
        # origin shifted
        ('viewBox="10 10 200 100"', 200.0, 100.0, (0, 0, 20, 10)),
        # meet, centred: scale min(400/200, 100/100) = 1, spare width 200, half of it 100
        ('width="400" height="100" viewBox="0 0 200 100"', 400, 100, (110, 10, 130, 20)),
        # meet, at the left
        (
            'width="400" height="100" viewBox="0 0 200 100" preserveAspectRatio="xMinYMin"',
            400,
            100,
            (10, 10, 30, 20),
        ),
        # slice, centred: scale 2, spare height 200 - 100, half of it cut off above
        (
            'width="400" height="100" viewBox="0 0 200 100" preserveAspectRatio="xMidYMid slice"',
            400,
            100,
            (20, 0, 60, 0),
        ),
        # none: stretched twofold across
        (
            'width="400" height="100" viewBox="0 0 200 100" preserveAspectRatio="none"',
            400,
            100,
            (20, 10, 60, 20),
        ),
        # 100 mm = 100 x 96 / 25.4 px
        (
            'width="100mm" height="50mm" viewBox="0 0 200 100"',
            100 * 96 / 25.4,
            50 * 96 / 25.4,
            tuple(v * 96 / 50.8 for v in (10, 10, 30, 20)),
        ),
    ],
)
def test_view_box_and_aspect_ratio(
    root: str, width: float, height: float, box: tuple[float, float, float, float]
) -> None:
    drawn = '<rect x="10" y="10" width="20" height="10"/>'
    if "slice" in root:
        # y 10..20 goes to 2 y - 50 = -30..-10, off the canvas: nothing is left; take one that is
        drawn, box = '<rect x="10" y="30" width="20" height="10"/>', (20, 10, 60, 30)
    picture = picture_of(drawn, root)
    assert (picture.width, picture.height) == pytest.approx((width, height), rel=1e-6)
    (flat,) = picture.shapes
    assert flat.area.bounds == pytest.approx(box, abs=1e-3)


def test_nested_viewport_cuts_off_and_scales() -> None:
    body = (
        '<svg x="20" y="10" width="40" height="40" viewBox="0 0 10 10">'
        '<rect x="-5" y="2" width="10" height="4"/></svg>'
    )
    # scale 4; x from -5 is cut at 0: 20..40; y 10 + 8 .. 10 + 24
    (flat,) = picture_of(body).shapes
    assert flat.area.bounds == pytest.approx((20, 18, 40, 34), abs=1e-3)


def test_translucent_nested_viewport_is_translucent_once() -> None:
    body = (
        '<svg width="50" height="50" opacity=".5" transform="translate(10 10)">'
        '<rect width="20" height="20"/></svg>'
    )
    (flat,) = picture_of(body).shapes
    assert flat.opacity == pytest.approx(0.5)
    assert flat.area.bounds == pytest.approx((10, 10, 30, 30), abs=1e-3)


def test_shapes_are_cut_off_at_the_canvas() -> None:
    assert areas_of('<rect x="-50" y="-50" width="100" height="100"/>') == [near(2500.0)]


def test_shape_off_the_canvas_is_left_out() -> None:
    body = '<rect x="300" y="0" width="10" height="10"/><rect width="10" height="10"/>'
    assert areas_of(body) == [near(100.0)]


def test_use_places_a_copy() -> None:
    body = (
        '<defs><g id="gull"><circle r="5"/></g></defs>'
        '<use xlink:href="#gull" x="20" y="20"/><use href="#gull" x="60" y="20"'
        ' transform="scale(2)"/>'
    )
    assert areas_of(body) == [near(math.pi * 25), near(math.pi * 100)]


def test_symbol_has_a_viewport_of_its_own() -> None:
    body = (
        '<symbol id="boat" viewBox="0 0 10 10"><rect width="20" height="5"/></symbol>'
        '<use xlink:href="#boat" x="10" y="10" width="40" height="40"/>'
    )
    # scale 4; 20 wide is cut at 10: 40 x 20
    assert areas_of(body) == [near(800.0)]


def test_use_inherits_its_colour() -> None:
    body = '<defs><rect id="r" width="9" height="9"/></defs><use href="#r" fill="#336699"/>'
    assert [flat.colour for flat in picture_of(body).shapes] == ["#336699"]


def test_clip_path_cuts() -> None:
    # quarter of a disc of radius 30 about the corner of a square
    body = (
        '<clipPath id="c"><circle cx="40" cy="40" r="30"/></clipPath>'
        '<rect x="40" y="40" width="50" height="50" clip-path="url(#c)"/>'
    )
    assert areas_of(body) == [near(math.pi * 900 / 4)]


def test_clip_paths_of_nested_groups_cut_one_another() -> None:
    body = (
        '<clipPath id="a"><rect width="50" height="50"/></clipPath>'
        '<clipPath id="b"><rect x="30" y="30" width="50" height="50"/></clipPath>'
        '<g clip-path="url(#a)"><g clip-path="url(#b)"><rect width="200" height="100"/></g></g>'
    )
    assert areas_of(body) == [near(400.0)]  # 30..50 squared


def test_clip_path_clipped_by_a_clip_path() -> None:
    body = (
        '<clipPath id="a"><rect width="50" height="50"/></clipPath>'
        '<clipPath id="b" clip-path="url(#a)"><rect x="30" y="30" width="50" height="50"/>'
        '</clipPath><rect width="200" height="100" clip-path="url(#b)"/>'
    )
    assert areas_of(body) == [near(400.0)]


def test_clip_path_of_several_shapes_is_their_union() -> None:
    body = (
        '<clipPath id="c"><rect width="30" height="30"/><rect x="20" width="30" height="30"/>'
        '</clipPath><rect width="200" height="100" clip-path="url(#c)"/>'
    )
    assert areas_of(body) == [near(1500.0)]  # 0..50 by 30


def test_clip_rule_even_odd() -> None:
    body = (
        '<clipPath id="c"><path clip-rule="evenodd" d="M10 10h40v40h-40zM20 20h20v20h-20z"/>'
        '</clipPath><rect width="200" height="100" clip-path="url(#c)"/>'
    )
    assert areas_of(body) == [near(1200.0)]


def test_clip_path_in_units_of_the_box() -> None:
    body = (
        '<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height=".5"/>'
        '</clipPath><rect x="20" y="20" width="60" height="40" clip-path="url(#c)"/>'
    )
    assert areas_of(body) == [near(30.0 * 20.0)]


def test_flat_mask_gives_one_opacity_to_each_region() -> None:
    body = (
        '<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="200" height="100">'
        '<rect width="50" height="50" fill="white"/><rect width="20" height="50" fill="#808080"/>'
        '</mask><rect width="100" height="100" mask="url(#m)"/>'
    )
    found = {round(f.opacity, 4): float(f.area.area) for f in picture_of(body).shapes}
    # grey 128 of 255 lets 0.5020 through, on 20 x 50; white the rest, 30 x 50
    assert found == {0.502: near(1000.0), 1.0: near(1500.0)}


def test_brightness_of_a_coloured_mask_is_what_svg_says() -> None:
    # SVG 1.1, 14.4: 0.7154 of green counts. (A PDF says 0.59.)
    body = (
        '<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="200" height="100">'
        '<rect width="50" height="50" fill="#00ff00"/></mask>'
        '<rect width="100" height="100" mask="url(#m)"/>'
    )
    (shape,) = picture_of(body).shapes
    assert shape.opacity == pytest.approx(0.7154, abs=1e-4)


def test_masked_group_is_translucent_as_one() -> None:
    body = (
        '<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="200" height="100">'
        '<rect width="200" height="100" fill="#808080"/></mask>'
        '<g mask="url(#m)"><rect width="50" height="50"/>'
        '<rect x="20" width="50" height="50" fill="#ff0000"/></g>'
    )
    shapes = picture_of(body).shapes
    assert [flat.opacity for flat in shapes] == [1.0, 1.0]
    assert len({flat.veils for flat in shapes}) == 1
    assert shapes[0].veils[0][1] == pytest.approx(128 / 255, abs=1e-6)


def test_group_opacity_is_one_veil_over_all_its_shapes() -> None:
    body = (
        '<g opacity=".5"><rect width="50" height="50"/><g opacity=".25">'
        '<rect x="20" width="50" height="50"/><rect x="40" width="50" height="50"/></g></g>'
    )
    first, second, third = picture_of(body).shapes
    assert [veil[1] for veil in first.veils] == [0.5]
    assert [veil[1] for veil in second.veils] == [0.5, 0.25]
    assert second.veils == third.veils
    assert second.veils[0] == first.veils[0]


def test_fill_opacity_stays_on_the_shape() -> None:
    shapes = picture_of('<rect width="9" height="9" fill-opacity=".4" opacity=".5"/>').shapes
    assert [flat.opacity for flat in shapes] == [pytest.approx(0.2)]


STYLE = """<style>
/* a class, an id, an element, a child, a list */
rect { fill: #111111 }
.pale, .light { fill: #eeeeee }
#one { fill: #0000ff }
g > circle { fill: #00ff00 }
.out { display: none }
.strong { fill: #ff0000 !important }
</style>"""


@pytest.mark.parametrize(
    ("element", "colour"),
    [
        ('<rect width="9" height="9"/>', "#111111"),
        ('<rect class="pale" width="9" height="9"/>', "#eeeeee"),
        ('<rect class="a light b" width="9" height="9"/>', "#eeeeee"),
        ('<rect id="one" class="pale" width="9" height="9"/>', "#0000ff"),
        ('<g><circle r="9"/></g>', "#00ff00"),
        ('<circle r="9"/>', "#000000"),
        # a style attribute beats every rule but an important one (CSS Cascading Level 3, 6.1)
        ('<rect class="pale" style="fill:#123456" width="9" height="9"/>', "#123456"),
        ('<rect class="strong" style="fill:#123456" width="9" height="9"/>', "#ff0000"),
        # every rule beats a presentation attribute
        ('<rect fill="#123456" width="9" height="9"/>', "#111111"),
        ('<g fill="#123456"><circle r="9" style=";fill:inherit;"/></g>', "#123456"),
    ],
)
def test_style_sheet(element: str, colour: str) -> None:
    assert [flat.colour for flat in picture_of(STYLE + element).shapes] == [colour]


def test_style_sheet_hides() -> None:
    body = f'{STYLE}<rect class="out" width="9" height="9"/><circle r="9"/>'
    assert len(picture_of(body).shapes) == 1


@pytest.mark.parametrize(
    ("colour", "hexed"),
    [
        ("red", "#ff0000"),
        ("#0f8", "#00ff88"),
        ("#00FF88", "#00ff88"),
        ("rgb(1, 2, 3)", "#010203"),
        ("rgb(100%, 0%, 50%)", "#ff0080"),
        # CSS Color Level 3, 4.2.4: hsl(120, 100%, 25%) is 0, 127.5, 0
        ("hsl(120, 100%, 25%)", "#008000"),
        ("teal", "#008080"),
        # SVG 1.1, 12.2: the colour before a profile colour is its fallback
    ],
)
def test_colours(colour: str, hexed: str) -> None:
    shapes = picture_of(f'<rect width="9" height="9" fill="{colour}"/>').shapes
    assert [flat.colour for flat in shapes] == [hexed]


@pytest.mark.parametrize("colour", ["rgba(255, 0, 0, 50%)", "rgba(255, 0, 0, .5)", "#ff000080"])
def test_colour_with_opacity(colour: str) -> None:
    (flat,) = picture_of(f'<rect width="9" height="9" fill="{colour}"/>').shapes
    assert (flat.colour, flat.opacity) == ("#ff0000", pytest.approx(0.5, abs=1 / 255))


def test_painting_order_is_document_order() -> None:
    body = (
        '<rect width="9" height="9" fill="#000001"/><g><rect width="9" height="9" fill="#000002"/>'
        '</g><rect width="9" height="9" fill="#000003" stroke="#000004"/>'
    )
    colours = [flat.colour for flat in picture_of(body).shapes]
    assert colours == ["#000001", "#000002", "#000003", "#000004"]


def test_every_shape_is_a_valid_polygon() -> None:
    def whole(flat: Flat) -> bool:
        kind = isinstance(flat.area, shapely.Polygon | shapely.MultiPolygon)
        return kind and bool(flat.area.is_valid) and not flat.area.is_empty

    body = (
        f'<path d="{pentagram()}"/><path d="M0 0L9 9L9 0L0 9Z"/>'
        f'<path d="{pentagram()}" fill="none" stroke="red" stroke-width="7"/>'
    )
    assert all(map(whole, picture_of(body).shapes))


def test_switch_shows_the_first_that_fits() -> None:
    body = (
        '<switch><rect systemLanguage="xx" width="9" height="9" fill="red"/>'
        '<rect width="9" height="9" fill="lime"/><rect width="9" height="9" fill="blue"/></switch>'
    )
    assert [flat.colour for flat in picture_of(body).shapes] == ["#00ff00"]


def test_overlapping_shapes_are_kept_whole() -> None:
    found: dict[str, float] = defaultdict(float)
    body = '<rect width="50" height="50" fill="red"/><rect width="40" height="50" fill="lime"/>'
    for flat in picture_of(body).shapes:
        found[flat.colour] += float(flat.area.area)
    assert found == {"#ff0000": near(2500.0), "#00ff00": near(2000.0)}
