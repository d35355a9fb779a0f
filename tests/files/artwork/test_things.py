"""Patterns, embedded pictures, soft effects and lettering: named, placed, and drawn out."""

from __future__ import annotations

import base64
import io

import numpy as np
import pikepdf
import pytest
from PIL import Image, ImageDraw

from giornata.core import artwork, colour
from giornata.core.artwork import Decision, Kind, Paint, Role, Way
from giornata.files.artwork import read_artwork

pytestmark = pytest.mark.usefixtures("read_here")

PAINTS = (Paint(number=1, key="a", name="A", role=Role.GROUND, artwork=("#ffffff",)),)


def drawing_of(tmp_path, body, name="drawing.svg"):
    path = tmp_path / name
    head = (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
        ' width="200" height="100">'
    )
    path.write_bytes(body if isinstance(body, bytes) else f"{head}{body}</svg>".encode())
    return read_artwork(path)


def areas(drawing, thing, way=Way.AS_DRAWN):
    decision = Decision(thing=thing, way=way)
    done, _ = artwork.carried_out(drawing, [decision], PAINTS, tone=colour.lab_from_srgb)
    return artwork.flattened(done).areas()


def picture(size=(40, 20), box=(0, 0, 19, 19), kind="PNG"):
    """A red left half on white, as a file."""
    image = Image.new("RGB", size, "white")
    ImageDraw.Draw(image).rectangle(box, fill="#cc0000")
    out = io.BytesIO()
    image.save(out, kind)
    return out.getvalue()


def embedded(data, attributes):
    coded = base64.b64encode(data).decode()
    return f'<image id="photo" {attributes} xlink:href="data:image/png;base64,{coded}"/>'


def test_a_pattern_drawn_out(tmp_path):
    body = (
        '<pattern id="dots" width="10" height="10" patternUnits="userSpaceOnUse">'
        '<rect x="2" y="3" width="4" height="5" fill="#cc0000"/></pattern>'
        '<rect x="20" y="10" width="105" height="50" fill="url(#dots)"/>'
    )
    drawing, findings = drawing_of(tmp_path, body)
    (thing,) = drawing.things
    assert (thing.name, thing.kind) == ("dots", Kind.PATTERN)
    assert [one.code for one in findings] == ["artwork.pattern"]
    assert thing.finding == findings[0]
    assert thing.box == pytest.approx((20, 10, 125, 60))
    # Tiles of 10 x 10 from 20 to 125 and 10 to 60: ten and a half by five. A whole one holds
    # 4 x 5; the half one ends at x = 5 of its cell, so it holds 3 x 5.
    assert areas(drawing, "dots")["#cc0000"] == pytest.approx(5 * (10 * 20 + 15))


def test_a_pattern_in_two_shapes_is_two_things_by_one_name(tmp_path):
    body = (
        '<pattern id="dots" width="0.1" height="0.5"><rect width="4" height="5" fill="#cc0000"/>'
        '</pattern><rect width="100" height="50" fill="url(#dots)"/>'
        '<circle cx="150" cy="50" r="40" fill="url(#dots)"/>'
    )
    drawing, _ = drawing_of(tmp_path, body)
    assert [thing.name for thing in drawing.things] == ["dots 1", "dots 2"]
    decision = Decision(thing="dots", way=Way.LEFT_OUT)
    assert [artwork.chosen(thing, [decision]) for thing in drawing.things] == [decision] * 2


@pytest.mark.parametrize(
    ("cell", "doubt"),
    [
        ('<rect width="4" height="5" fill="url(#g)"/>', "gradient"),
        ('<rect width="0.02" height="0.02"/>', "more than 10,000 shapes"),
    ],
)
def test_a_pattern_that_is_not_drawn_out(tmp_path, cell, doubt):
    size = "0.05" if "0.02" in cell else "10"
    body = (
        '<linearGradient id="g"><stop stop-color="#fff"/><stop offset="1"/></linearGradient>'
        f'<pattern id="p" width="{size}" height="{size}" patternUnits="userSpaceOnUse">{cell}'
        '</pattern><rect width="200" height="100" fill="url(#p)"/>'
    )
    (thing,) = drawing_of(tmp_path, body)[0].things
    assert thing.drawn is None
    assert doubt in thing.doubt


@pytest.mark.parametrize(
    ("attributes", "area"),
    [
        # 40 x 20 pixels into 80 x 40: the red half is 40 x 40
        ('x="10" y="10" width="80" height="40"', 1600.0),
        # turned and stretched: the same share of the area, 80 x 40 x 2 / 2
        ('width="80" height="40" transform="translate(90 5) rotate(30) scale(1 0.5)"', 800.0),
        # fitted whole into a square: 60 x 30, half of it red
        ('width="60" height="60"', 900.0),
        # filling the square: 60 high, 120 wide, its middle 60 seen: red from 0 to 30
        ('width="60" height="60" preserveAspectRatio="xMidYMid slice"', 1800.0),
        # stretched to the square
        ('width="60" height="60" preserveAspectRatio="none"', 1800.0),
        # of its own size, and of its own shape
        ("", 400.0),
        ('width="80"', 1600.0),
        # half of the red beyond the canvas
        ('x="-20" width="80" height="40"', 800.0),
    ],
)
def test_an_embedded_picture_drawn_out(tmp_path, attributes, area):
    drawing, findings = drawing_of(tmp_path, embedded(picture(), attributes))
    (thing,) = drawing.things
    assert (thing.name, thing.kind) == ("photo", Kind.PICTURE)
    assert "artwork.image" in {one.code for one in findings}
    assert areas(drawing, "photo")["#cc0000"] == pytest.approx(area, rel=1e-3)
    assert "#cc0000" not in areas(drawing, "photo", Way.LEFT_OUT)


def test_a_photograph_is_not_drawn_out(tmp_path):
    noise = np.random.default_rng(7).integers(0, 255, (60, 60, 3), dtype=np.uint8)
    out = io.BytesIO()
    Image.fromarray(noise).save(out, "PNG")
    drawing, _ = drawing_of(tmp_path, embedded(out.getvalue(), 'width="60" height="60"'))
    (thing,) = drawing.things
    assert thing.drawn is None
    assert "flat" in thing.doubt
    assert thing.box == pytest.approx((0, 0, 60, 60))


@pytest.mark.parametrize(
    ("link", "doubt"),
    [
        ("photo.png", "outside the file"),
        ("data:image/png;base64,AAAA", "damaged"),
        ("data:text/plain,hello", "not read"),
    ],
)
def test_a_picture_whose_pixels_are_not_had(tmp_path, link, doubt):
    body = f'<image width="60" height="60" xlink:href="{link}"/>'
    (thing,) = drawing_of(tmp_path, body)[0].things
    assert (thing.drawn, thing.name) == (None, "picture 1")
    assert doubt in thing.doubt


def test_a_picture_lies_in_its_place_between_shapes(tmp_path):
    body = (
        '<rect width="200" height="100" fill="#0000cc"/>'
        + embedded(picture(), 'width="80" height="40"')
        + '<rect width="20" height="100" fill="#00cc00"/>'
    )
    drawing, _ = drawing_of(tmp_path, body)
    found = areas(drawing, "photo")
    # red 40 x 40, of which the green covers 20 x 40; white 40 x 40
    assert found["#cc0000"] == pytest.approx(800, rel=1e-3)
    assert found["#ffffff"] == pytest.approx(1600, rel=1e-3)
    assert found["#00cc00"] == pytest.approx(2000)


def test_a_soft_shadow(tmp_path):
    body = (
        '<filter id="f"><feGaussianBlur stdDeviation="2"/></filter>'
        '<g id="shade" filter="url(#f)"><rect x="20" y="10" width="50" height="30"/></g>'
    )
    drawing, _ = drawing_of(tmp_path, body)
    (thing,) = drawing.things
    assert (thing.name, thing.kind) == ("shade", Kind.EFFECT)
    assert thing.box == pytest.approx((20, 10, 70, 40))
    assert thing.finding.code == "artwork.filter"
    assert areas(drawing, "shade", Way.LEFT_OUT)["#000000"] == pytest.approx(1500)
    assert drawing.groups == ("shade",)  # the mark is no group


def test_lettering_has_its_words_and_about_its_place(tmp_path):
    body = (
        '<g transform="translate(20 0)"><text x="10" y="40" font-size="20">HARBOUR'
        ' <tspan x="10" y="60">STEPS</tspan></text></g><rect width="5" height="5"/>'
    )
    drawing, _ = drawing_of(tmp_path, body)
    (thing,) = drawing.things
    assert (thing.kind, thing.words) == (Kind.LETTERING, "HARBOUR STEPS")
    assert thing.box[:2] == pytest.approx((30, 24))  # x 10 + 20; four fifths of 20 above y 40
    assert len(drawing.shapes) == 1


def pdf_of(content, **resources):
    document = pikepdf.new()
    page = document.add_blank_page(page_size=(200, 100))
    page.Contents = document.make_stream(content)
    page.Resources = document.make_indirect(pikepdf.Dictionary(**resources))
    return document


def saved(document):
    out = io.BytesIO()
    document.save(out)
    return out.getvalue()


def test_a_picture_in_a_pdf(tmp_path):
    document = pdf_of(b"q 80 0 0 40 10 50 cm /I Do Q")
    levels = np.asarray(Image.open(io.BytesIO(picture())).convert("RGB"))
    image = document.make_stream(
        levels.tobytes(), Type=pikepdf.Name("/XObject"), Subtype=pikepdf.Name("/Image"),
        Width=40, Height=20, ColorSpace=pikepdf.Name("/DeviceRGB"), BitsPerComponent=8,
    )  # fmt: skip
    document.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
    drawing, findings = drawing_of(tmp_path, saved(document), "drawing.pdf")
    assert [one.code for one in findings] == ["artwork.image"]
    (thing,) = drawing.things
    # 50 to 90 above the foot of a page of 100 is 10 to 50 from its top
    assert thing.box == pytest.approx((10, 10, 90, 50))
    found = areas(drawing, "pictures")
    assert found["#cc0000"] == pytest.approx(1600, rel=1e-3)
    red = [s for s in thing.drawn if s.colour == "#cc0000"]
    assert red[0].area.bounds == pytest.approx((10, 10, 50, 50), abs=0.05)


@pytest.mark.parametrize(("key", "doubt"), [("/SMask", "mask"), ("/ImageMask", "stencil")])
def test_a_picture_in_a_pdf_that_is_not_read(tmp_path, key, doubt):
    document = pdf_of(b"q 80 0 0 40 10 50 cm /I Do Q")
    image = document.make_stream(
        b"\0", Subtype=pikepdf.Name("/Image"), Width=1, Height=1, BitsPerComponent=8,
        ColorSpace=pikepdf.Name("/DeviceGray"),
    )  # fmt: skip
    image[key] = True if key == "/ImageMask" else document.make_stream(b"\0")
    document.pages[0].Resources = pikepdf.Dictionary(XObject=pikepdf.Dictionary(I=image))
    drawing, _ = drawing_of(tmp_path, saved(document), "drawing.pdf")
    assert doubt in drawing.things[0].doubt


def test_a_picture_within_the_text_of_a_pdf(tmp_path):
    content = b"q 80 0 0 40 10 50 cm BI /W 1 /H 1 /CS /G /BPC 8 ID \0 EI Q"
    drawing, _ = drawing_of(tmp_path, saved(pdf_of(content)), "drawing.pdf")
    assert "within the page's own text" in drawing.things[0].doubt


def test_a_pattern_in_a_pdf(tmp_path):
    document = pdf_of(b"/Pattern cs /P scn 20 40 100 50 re f")
    cell = document.make_stream(
        b"0.8 0 0 rg 2 3 4 5 re f", PatternType=1, PaintType=1, TilingType=1, BBox=[0, 0, 10, 10],
        XStep=10, YStep=10, Resources=pikepdf.Dictionary(),
    )  # fmt: skip
    document.pages[0].Resources = pikepdf.Dictionary(Pattern=pikepdf.Dictionary(P=cell))
    drawing, _ = drawing_of(tmp_path, saved(document), "drawing.pdf")
    # fifty whole cells of 4 x 5
    assert areas(drawing, "patterns")["#cc0000"] == pytest.approx(1000)
