"""Groups, their names and visibility, and the areas that show: whole drawings through the door.

Every area is of rectangles and discs laid over one another, worked by hand beside the test.
"""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from giornata.core.artwork import Drawing, flattened
from giornata.core.foundation import Finding, Severity
from giornata.files.artwork import read_artwork

pytestmark = pytest.mark.usefixtures("read_here")

SPACES = (
    'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    ' xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
)
AREA = 2.0  # 1e-4 of the canvas, 200 x 100: curves are chords within 1e-5 of its side


def read(
    folder: Path, body: str, root: str = 'viewBox="0 0 200 100"'
) -> tuple[Drawing, tuple[Finding, ...]]:
    path = folder / "drawing.svg"
    path.write_text(f"<svg {SPACES} {root}>{body}</svg>", encoding="utf-8")
    drawing, findings = read_artwork(path)
    assert drawing is not None
    return drawing, findings


def drawn(folder: Path, body: str, root: str = 'viewBox="0 0 200 100"') -> Drawing:
    drawing, findings = read(folder, body, root)
    assert findings == ()
    return drawing


def rect(x: float, y: float, width: float, height: float, fill: str = "#000000") -> str:
    return f'<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{fill}"/>'


HARBOUR = (
    f'<g id="sky">{rect(0, 0, 200, 40, "#0000ff")}</g>'
    f'<g id="boats">{rect(0, 50, 20, 20, "#ff0000")}'
    f'<g id="rigging">{rect(20, 50, 10, 20, "#ffff00")}</g></g>'
    f"{rect(0, 90, 200, 10, '#00ff00')}"
)


def test_groups_are_named_in_document_order(tmp_path: Path) -> None:
    drawing = drawn(tmp_path, HARBOUR)
    assert drawing.groups == ("sky", "boats", "rigging")
    assert [(shape.colour, shape.group) for shape in drawing.shapes] == [
        ("#0000ff", "sky"),
        ("#ff0000", "boats"),
        ("#ffff00", "boats/rigging"),
        ("#00ff00", ""),
    ]
    assert drawing.hidden == ()


@pytest.mark.parametrize(
    ("hide", "areas"),
    [
        # sky 200 x 40, boats 20 x 20, rigging 10 x 20, ground 200 x 10
        ((), {"#0000ff": 8000, "#ff0000": 400, "#ffff00": 200, "#00ff00": 2000, "": 9400}),
        (("sky",), {"#ff0000": 400, "#ffff00": 200, "#00ff00": 2000, "": 17400}),
        (("boats",), {"#0000ff": 8000, "#00ff00": 2000, "": 10000}),
        (("rigging",), {"#0000ff": 8000, "#ff0000": 400, "#00ff00": 2000, "": 9600}),
    ],
)
def test_a_group_is_left_out(
    hide: tuple[str, ...], areas: dict[str, float], tmp_path: Path
) -> None:
    flat = flattened(drawn(tmp_path, HARBOUR), hide=hide)
    assert flat.areas() == pytest.approx(areas, abs=AREA)


@pytest.mark.parametrize(
    "off", ['display="none"', 'style="display:none"', 'visibility="hidden"', 'class="off"']
)
def test_a_hidden_group_is_read_and_listed(off: str, tmp_path: Path) -> None:
    body = (
        "<style>.off {display: none}</style>"
        f'<g id="night" {off}>{rect(0, 0, 50, 100, "#000080")}</g>'
        f'<g id="day">{rect(100, 0, 100, 100, "#ffffaa")}</g>'
    )
    drawing = drawn(tmp_path, body)
    assert drawing.groups == ("night", "day")
    assert drawing.hidden == ("night",)
    assert flattened(drawing).areas() == pytest.approx({"#ffffaa": 10_000, "": 10_000}, abs=AREA)
    assert flattened(drawing, show=["night"]).areas() == pytest.approx(
        {"#000080": 5_000, "#ffffaa": 10_000, "": 5_000}, abs=AREA
    )


def test_a_hidden_group_in_a_hidden_group(tmp_path: Path) -> None:
    body = (
        f'<g id="night" display="none">{rect(0, 0, 10, 10)}'
        f'<g id="moon">{rect(10, 0, 10, 10)}</g>'
        f'<g id="stars" display="none">{rect(20, 0, 10, 10)}</g></g>{rect(0, 50, 10, 10)}'
    )
    drawing = drawn(tmp_path, body)
    assert drawing.hidden == ("night", "stars")  # the moon is off only with the night
    shown = flattened(drawing, show=["night"])
    assert shown.areas()["#000000"] == pytest.approx(300, abs=AREA)


def test_a_hidden_shape_is_not_read(tmp_path: Path) -> None:
    body = f'{rect(0, 0, 10, 10)}<rect width="90" height="90" display="none"/>'
    assert len(drawn(tmp_path, body).shapes) == 1


@pytest.mark.parametrize(
    ("group", "name"),
    [
        ('<g inkscape:label="Fair boats" id="layer1">', "Fair boats"),
        ('<g data-name="Fair boats" id="Fair_boats">', "Fair boats"),
        ('<g id="boats">', "boats"),
        ('<g inkscape:label="boats/sails">', "boats-sails"),
        ("<g><title>Fair\n boats</title>", "Fair boats"),
        ('<g inkscape:label="Möwen &amp; Boote">', "Möwen & Boote"),
    ],
)
def test_names_of_groups(group: str, name: str, tmp_path: Path) -> None:
    drawing = drawn(tmp_path, f"{group}{rect(0, 0, 9, 9)}</g>")
    assert drawing.groups == (name,)
    assert drawing.shapes[0].group == name


@pytest.mark.parametrize("identity", ["g12", "g-7", "XMLID_4_", "SVGID_1_", "surface1"])
def test_numbers_of_programs_are_no_names(identity: str, tmp_path: Path) -> None:
    drawing = drawn(tmp_path, f'<g id="{identity}">{rect(0, 0, 9, 9)}</g>')
    assert drawing.groups == ()
    assert drawing.shapes[0].group == ""


def test_a_repeated_name_is_numbered(tmp_path: Path) -> None:
    body = "".join(f'<g inkscape:label="boat">{rect(k, 0, 1, 9)}</g>' for k in range(3))
    assert drawn(tmp_path, body).groups == ("boat", "boat (2)", "boat (3)")


def test_a_copied_group_keeps_its_name(tmp_path: Path) -> None:
    body = f'<g id="boat">{rect(0, 0, 10, 10)}</g><use xlink:href="#boat" x="50"/>'
    drawing = drawn(tmp_path, body)
    assert [shape.group for shape in drawing.shapes] == ["boat", "boat"]
    assert drawing.shapes[1].area.bounds == pytest.approx((50, 0, 60, 10), abs=1e-3)


def test_names_leave_translucency_alone(tmp_path: Path) -> None:
    # black at half over white is (255 + 0) / 2 = 127.5, and the squares are one under the veil
    body = f'<g id="veil" opacity=".5">{rect(0, 0, 20, 10)}{rect(10, 0, 20, 10)}</g>'
    drawing = drawn(tmp_path, body)
    (colour,) = set(flattened(drawing).areas()) - {""}
    assert colour in ("#7f7f7f", "#808080")
    assert flattened(drawing).areas()[colour] == pytest.approx(300, abs=AREA)
    assert [shape.group for shape in drawing.shapes] == ["veil", "veil"]


def test_translucent_shapes_darken_where_they_overlap(tmp_path: Path) -> None:
    # by shape, not by group: 10 x 10 of black at 1 - 0.5², the rest at 0.5
    one = '<rect x="{}" width="20" height="10" fill-opacity=".5"/>'
    found = flattened(drawn(tmp_path, one.format(0) + one.format(10))).areas()
    dark = min(found.keys() - {""})
    assert int(dark[1:3], 16) == pytest.approx(255 / 4, abs=1)
    assert found[dark] == pytest.approx(100, abs=AREA)


def test_what_covers_and_what_is_covered(tmp_path: Path) -> None:
    # a disc of radius 30 on a 100 x 100 square on a ground of 200 x 100
    body = (
        rect(0, 0, 200, 100, "#eeeeee")
        + rect(50, 0, 100, 100, "#ff0000")
        + '<circle cx="100" cy="50" r="30" fill="#0000ff"/>'
    )
    disc = math.pi * 900
    assert flattened(drawn(tmp_path, body)).areas() == pytest.approx(
        {"#eeeeee": 10_000, "#ff0000": 10_000 - disc, "#0000ff": disc}, abs=AREA
    )


def test_styles_come_down_through_groups(tmp_path: Path) -> None:
    body = (
        '<style>.warm {fill: #ff8000} g.warm .cold {fill: #0080ff}</style><g class="warm">'
        '<g><rect width="10" height="10"/><rect class="cold" x="20" width="10" height="10"/></g>'
        '<g fill="#00ff00"><rect x="40" width="10" height="10"/></g></g>'
        '<rect class="cold" x="60" width="10" height="10"/>'
    )
    # the last stands outside the group and has no rule of its own: black
    colours = [shape.colour for shape in drawn(tmp_path, body).shapes]
    assert colours == ["#ff8000", "#0080ff", "#00ff00", "#000000"]


def test_clips_transforms_and_copies_at_once(tmp_path: Path) -> None:
    # A 40 x 40 square twice as large and turned by 90°, cut to a disc of radius 20 about a point
    # within it, then to the right half of that disc, and copied once.
    body = (
        '<clipPath id="disc"><circle cx="20" cy="20" r="10"/></clipPath>'
        '<clipPath id="half"><rect x="100" width="100" height="100"/></clipPath>'
        '<g id="art" clip-path="url(#half)"><g transform="translate(140 10) rotate(90) scale(2)">'
        '<g clip-path="url(#disc)"><rect width="40" height="40"/></g></g></g>'
    )
    # the disc's centre (20, 20) goes to (140 - 40, 10 + 40) = (100, 50), on the half's edge
    (shape,) = drawn(tmp_path, body).shapes
    assert shape.area.area == pytest.approx(math.pi * 400 / 2, abs=AREA)
    assert shape.area.bounds == pytest.approx((100, 30, 120, 70), abs=0.01)


def test_a_drawing_in_millimetres_keeps_shares(tmp_path: Path) -> None:
    # 1 inch is 25.4 mm is 96 px (CSS Values Level 3, 5.2); a half of the page is a half of it
    root = 'width="254mm" height="127mm" viewBox="0 0 200 100"'
    drawing = drawn(tmp_path, rect(0, 0, 100, 100), root)
    assert (drawing.width, drawing.height) == pytest.approx((960, 480), rel=1e-5)
    assert drawing.shapes[0].area.area == pytest.approx(960 * 480 / 2, rel=1e-4)


FADE = '<linearGradient id="l"><stop stop-color="#fff"/><stop offset="1"/></linearGradient>'
GRID = '<pattern id="p" width=".1" height=".1"><rect width="5" height="5"/></pattern>'


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (f'{FADE}<rect width="90" height="90" fill="url(#l)"/>', "artwork.gradient"),
        (
            (
                # a slanting line: in a box of no height a gradient does not show (SVG 2, 14.2.3)
                '<radialGradient id="l"><stop stop-color="#fff"/><stop offset="1"/>'
                "</radialGradient>"
                '<path d="M0 9L90 40" stroke-width="9" stroke="url(#l)"/>'
            ),
            "artwork.gradient",
        ),
        (f'{GRID}<rect width="90" height="90" fill="url(#p)"/>', "artwork.pattern"),
        (
            (
                '<filter id="f"><feGaussianBlur stdDeviation="3"/></filter>'
                '<g filter="url(#f)"><rect width="9" height="9"/></g>'
            ),
            "artwork.filter",
        ),
        ('<text y="50">Port Merrow</text>', "artwork.text"),
        (
            '<image width="9" height="9" href="data:image/png;base64,iVBORw0KGgo="/>',
            "artwork.image",
        ),
        (
            (
                f'{FADE}<mask id="m"><rect width="99" height="99" fill="url(#l)"/></mask>'
                '<rect width="50" height="50" mask="url(#m)"/>'
            ),
            "artwork.mask",
        ),
        (
            '<g style="mix-blend-mode:multiply"><rect width="9" height="9"/></g>',
            "artwork.blend",
        ),
    ],
)
def test_what_is_not_flat_stops(body: str, code: str, tmp_path: Path) -> None:
    _, findings = read(tmp_path, rect(0, 0, 200, 100, "#ffffff") + "\n" + body)
    (said,) = [f for f in findings if f.code == code]
    assert said.severity is Severity.STOP
    assert said.remedy
    assert said.place is not None
    assert said.place.file == "drawing.svg"


def test_a_gradient_that_nothing_uses_is_not_spoken_of(tmp_path: Path) -> None:
    assert len(drawn(tmp_path, f"{FADE}{GRID}{rect(0, 0, 9, 9)}").shapes) == 1


def test_a_gradient_of_one_colour_is_flat(tmp_path: Path) -> None:
    body = (
        '<linearGradient id="l"><stop stop-color="#ff0000"/></linearGradient>'
        '<rect width="10" height="10" fill="url(#l)"/>'
    )
    # SVG 1.1, 13.2.4: one stop fills with its colour
    assert [shape.colour for shape in drawn(tmp_path, body).shapes] == ["#ff0000"]
