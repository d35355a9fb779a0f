"""Gradients as read from SVG and PDF, cut at the nearest paint, against a renderer's pixels.

The renderer is resvg: its picture at five pixels to the unit, each pixel given to the paint that is
nearest in CIELAB. Pixel centres stand 0.2 units apart, so a straight line of length l may be off by
0.1 l where it runs along them; and its levels are whole numbers, also before it lays them over one
another, so that a boundary may move by a level's worth of the run. The gradients are so steep that
both stay within 0.1 % of the canvas.
"""

from __future__ import annotations

import io

import numpy as np
import pikepdf
import pytest
import resvg_py
from PIL import Image

from giornata.core import artwork, colour
from giornata.core.artwork import Decision, Kind, Paint, Role, Way
from giornata.files.artwork import read_artwork

pytestmark = pytest.mark.usefixtures("read_here")

HUES = ("#ffffff", "#ff0000", "#0000ff", "#00ff00", "#990066", "#ffff00", "#888844")
PAINTS = tuple(
    Paint(number=k + 1, key=hue, name=hue, role=Role.FIGURE if k else Role.GROUND, artwork=(hue,))
    for k, hue in enumerate(HUES)
)
WIDTH, HEIGHT, ZOOM = 200, 100, 5
LIMIT = 0.001 * WIDTH * HEIGHT


def source(body, head=""):
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        f' width="{WIDTH}" height="{HEIGHT}" shape-rendering="crispEdges"{head}>{body}</svg>'
    )


def drawing_of(tmp_path, content, name="drawing.svg"):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode())
    drawing, findings = read_artwork(path)
    assert drawing is not None
    return drawing, findings


def areas_of(drawing, *, way=Way.NEAREST, kind="gradients"):
    done, said = artwork.carried_out(
        drawing, [Decision(thing=kind, way=way)], PAINTS, tone=colour.lab_from_srgb
    )
    assert said == ()
    found = artwork.flattened(done).areas()
    found["#ffffff"] = found.get("#ffffff", 0.0) + found.pop("", 0.0)
    return found


def pixels_of(svg):
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96, zoom=ZOOM))
    levels = np.asarray(Image.open(io.BytesIO(data)).convert("RGBA")).reshape(-1, 4) / 255.0
    seen = levels[:, :3] * levels[:, 3:] + 1.0 - levels[:, 3:]
    paints = np.array([[int(hue[k : k + 2], 16) / 255 for k in (1, 3, 5)] for hue in HUES])
    ours, theirs = colour.lab_from_srgb(seen), colour.lab_from_srgb(paints)
    nearest = ((ours[:, None] - theirs) ** 2).sum(axis=2).argmin(axis=1)
    return np.bincount(nearest, minlength=len(HUES)) / ZOOM**2


def stops(*rows):
    return "".join(
        f'<stop offset="{place}" stop-color="{hue}" stop-opacity="{opacity}"/>'
        for place, hue, opacity in rows
    )


TWO = stops((0, "red", 1), (1, "blue", 1))
THREE = stops((0, "red", 1), (0.3, "lime", 1), (1, "blue", 1))
HARD = stops((0.2, "red", 1), (0.5, "lime", 1), (0.5, "blue", 1), (0.9, "#ff0", 1))
FADE = stops((0, "red", 0.2), (1, "blue", 1))
BOX = '<rect x="10" y="10" width="150" height="60" fill="url(#g)"/>'
BACK = (
    '<rect width="100" height="100" fill="lime"/><rect y="40" width="200" height="60" fill="#ff0"/>'
)
TURNED = (
    '<rect x="40" y="5" width="120" height="50" fill="url(#g)" transform="rotate(20) skewX(9)"/>'
)
STROKED = '<path d="M20 20H180L100 90Z" fill="url(#g)" stroke="url(#g)" stroke-width="8"/>'


@pytest.mark.parametrize(
    "body",
    [
        f'<linearGradient id="g">{TWO}</linearGradient>{BOX}',
        f'<linearGradient id="g" x2="0.3" y2="1">{THREE}</linearGradient>{TURNED}',
        f'<linearGradient id="g" x1="0.3" x2="0.7">{HARD}</linearGradient>{BOX}',
        f'<linearGradient id="g" x2="0.25" spreadMethod="reflect">{THREE}</linearGradient>{TURNED}',
        f'<linearGradient id="g" x2="0.4" spreadMethod="repeat">{TWO}</linearGradient>{TURNED}',
        (f'<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="30" y1="20" x2="150" y2="60">'
         f"{THREE}</linearGradient>{STROKED}"),
        (f'<linearGradient id="g" gradientTransform="rotate(30) scale(0.5 2)">{THREE}'
         f"</linearGradient>{BOX}"),
        f'<radialGradient id="g">{TWO}</radialGradient>{BOX}',
        f'<radialGradient id="g" fx="0.3" fy="0.4" r="0.6">{THREE}</radialGradient>{TURNED}',
        f'<radialGradient id="g" r="0.6" fr="20%" fx="0.4">{TWO}</radialGradient>{TURNED}',
        (f'<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="90" cy="40" r="30" fx="80"'
         f' fy="30" spreadMethod="reflect">{TWO}</radialGradient>{BOX}'),
        (f'<radialGradient id="g" r="0.3" spreadMethod="repeat" gradientTransform="rotate(25)">'
         f"{THREE}</radialGradient>{STROKED}"),
        f'{BACK}<linearGradient id="g" x1="0.2" x2="0.6">{FADE}</linearGradient>{BOX}',
        f'{BACK}<radialGradient id="g" r="0.7">{FADE}</radialGradient><g opacity="0.8">{BOX}</g>',
        (f'<linearGradient id="a">{THREE}</linearGradient>'
         f'<linearGradient id="g" xlink:href="#a" x2="0" y2="1" spreadMethod="pad"/>{BOX}'),
        ("<style>.first{stop-color:lime} stop{stop-color:blue}</style>"
         '<linearGradient id="g"><stop class="first"/><stop offset="1"/></linearGradient>' + BOX),
        ('<linearGradient id="g" color="red"><stop stop-color="currentColor"/>'
         f'<stop offset="100%" style="stop-color:rgb(0,0,255)"/></linearGradient>{BOX}'),
    ],
)  # fmt: skip
def test_each_paint_of_a_gradient_covers_what_the_renderer_shows_of_it(tmp_path, body):
    svg = source(body)
    drawing, _ = drawing_of(tmp_path, svg)
    assert {thing.kind for thing in drawing.things} == {Kind.GRADIENT}
    assert {thing.source for thing in drawing.things} == {"g"}
    found = areas_of(drawing)
    assert sum(found.values()) == pytest.approx(WIDTH * HEIGHT, rel=1e-9)
    shown = pixels_of(svg)
    for hue, area in zip(HUES, shown, strict=True):
        assert found.get(hue, 0.0) == pytest.approx(area, abs=LIMIT), hue


def test_a_gradient_between_equal_colours_is_flat(tmp_path):
    even = stops((0, "red", 1), (1, "#f00", 1))
    drawing, findings = drawing_of(
        tmp_path, source(f'<linearGradient id="g">{even}</linearGradient>{BOX}')
    )
    assert (drawing.things, findings) == ((), ())
    assert artwork.flattened(drawing).areas()["#ff0000"] == pytest.approx(9000)


@pytest.mark.parametrize(
    "gradient",
    [
        f'<linearGradient id="g" x1="0.5" x2="50%">{TWO}</linearGradient>',
        f'<linearGradient id="g" x1="1" x2="1">{TWO}</linearGradient>',
        f'<radialGradient id="g" r="0">{TWO}</radialGradient>',
        f'<linearGradient id="g">{stops((0.4, "blue", 1))}</linearGradient>',
    ],
)
def test_a_gradient_without_a_run_is_its_last_colour(tmp_path, gradient):
    # SVG 1.1, 13.2.2 and 13.2.3: "the area to be painted will be painted as a single color using
    # the color and opacity of the last gradient stop"; one stop is a solid colour (13.2.4).
    drawing, _ = drawing_of(tmp_path, source(gradient + BOX))
    assert drawing.things == ()
    assert artwork.flattened(drawing).areas()["#0000ff"] == pytest.approx(9000)


@pytest.mark.parametrize(
    "inner", ['fr="0.7"', 'fr="0.5"', 'gradientUnits="userSpaceOnUse" r="30" fr="5%"']
)
def test_circles_that_are_not_one_inside_the_other_are_not_cut(tmp_path, inner):
    body = f'<radialGradient id="g" {inner}>{TWO}</radialGradient>{BOX}'
    (thing,) = drawing_of(tmp_path, source(body))[0].things
    assert thing.ramp is None
    assert thing.doubt


def test_stops_of_a_colour_that_is_not_read_are_not_guessed(tmp_path):
    svg = source(
        "<style>linearGradient > stop{stop-color:color(display-p3 0 1 0)}</style>"
        f'<linearGradient id="g">{TWO}</linearGradient>{BOX}'
    )
    drawing, _ = drawing_of(tmp_path, svg)
    (thing,) = drawing.things
    assert thing.ramp is None
    decision = Decision(thing="g", way=Way.NEAREST)
    (said,) = artwork.undecided(drawing.things, [decision], file="drawing.svg")
    assert said.code == "artwork.decision_impossible"
    assert "style" in said.message


def test_a_file_that_holds_the_very_colours_that_stand_for_gradients(tmp_path):
    # The colours by which gradients are told apart: seen as flat ones, nothing is told apart.
    svg = source(
        f'<rect x="170" width="20" height="50" fill="#a50001"/>'
        f'<linearGradient id="g">{TWO}</linearGradient>{BOX}'
    )
    drawing, _ = drawing_of(tmp_path, svg)
    assert areas_of(drawing, way=Way.LEFT_OUT)["#a50001"] == pytest.approx(1000)
    assert areas_of(drawing)["#0000ff"] == pytest.approx(pixels_of(svg)[2], abs=LIMIT)


def pdf_of(content, **resources):
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(WIDTH, HEIGHT))
    page.Contents = document.make_stream(content)
    page.Resources = document.make_indirect(pikepdf.Dictionary(**resources))
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def shading(kind, coords, **more):
    # Red to green up to 0.25, then green to blue.
    def part(first, last):
        return pikepdf.Dictionary(FunctionType=2, Domain=[0, 1], N=1, C0=first, C1=last)

    red, green, blue = [1, 0, 0], [0, 1, 0], [0, 0, 1]
    function = pikepdf.Dictionary(
        FunctionType=3, Domain=[0, 1], Bounds=[0.25], Encode=[0, 1, 0, 1],
        Functions=[part(red, green), part(green, blue)],
    )  # fmt: skip
    return pikepdf.Dictionary(
        ShadingType=kind, ColorSpace=pikepdf.Name("/DeviceRGB"), Coords=coords, Function=function,
        Extend=[True, True], **more,
    )  # fmt: skip


PDF_STOPS = stops((0, "red", 1), (0.25, "lime", 1), (1, "blue", 1))


@pytest.mark.parametrize(
    ("kind", "coords", "body"),
    [
        # Pattern space is the page, y up; the same gradient in SVG, y down.
        (2, [30, 80, 150, 40],
         ('<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="30" y1="20" x2="150"'
          f' y2="60">{PDF_STOPS}</linearGradient>')),
        (3, [80, 70, 0, 90, 60, 60],
         ('<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="90" cy="40" r="60" fx="80"'
          f' fy="30">{PDF_STOPS}</radialGradient>')),
    ],
)  # fmt: skip
@pytest.mark.parametrize("by", ["pattern", "sh"])
def test_shadings_of_a_pdf(tmp_path, kind, coords, body, by):
    run = shading(kind, coords)
    if by == "pattern":
        content = b"/Pattern cs /P scn 10 30 150 60 re f"
        resources = {"Pattern": pikepdf.Dictionary(
            P=pikepdf.Dictionary(PatternType=2, Shading=run))}  # fmt: skip
    else:
        content = b"10 30 150 60 re W n /S sh"
        resources = {"Shading": pikepdf.Dictionary(S=run)}
    drawing, findings = drawing_of(tmp_path, pdf_of(content, **resources), "drawing.pdf")
    assert [one.code for one in findings] == ["artwork.gradient"]
    assert [thing.name for thing in drawing.things] == ["gradient #ff0000 to #0000ff"]
    found, shown = areas_of(drawing), pixels_of(source(body + BOX))
    for hue, area in zip(HUES, shown, strict=True):
        assert found.get(hue, 0.0) == pytest.approx(area, abs=LIMIT), hue


def test_a_mesh_is_not_cut_into_steps(tmp_path):
    run = pikepdf.Dictionary(
        ShadingType=1, ColorSpace=pikepdf.Name("/DeviceRGB"), Domain=[0, 1, 0, 1],
        Function=pikepdf.Dictionary(FunctionType=2, Domain=[0, 1], N=1),
    )  # fmt: skip
    content = b"10 30 150 60 re W n /S sh"
    resources = {"Shading": pikepdf.Dictionary(S=run)}
    drawing, _ = drawing_of(tmp_path, pdf_of(content, **resources), "drawing.pdf")
    (thing,) = drawing.things
    assert (thing.ramp, thing.doubt) == (None, "its colours run in two ways")
