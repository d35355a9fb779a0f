"""Vector PDF pages, each held against the picture that pdfium makes of it.

pdfium paints without antialiasing, so do we; areas by colour may differ by 0.1 % of the page in sum
and 0.15 % of the pixels away from edges, at 4 pixels to the point. A pixel counts as a whole or not
at all, so where the areas differ by more the page is painted 12 and 36 pixels to the point: what
edges alone do becomes a third and a ninth (pdfium blurs the edges of clips all the same), a true
difference stays.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import io
import math
from dataclasses import replace
from types import ModuleType
from typing import Any

import numpy as np
import pikepdf
import pypdfium2
import pytest
import skia
import typst
from pikepdf import Array, Dictionary
from PIL import ImageCms

from giornata.core.foundation import Severity
from giornata.files.artwork.display import Picture
from giornata.files.artwork.pdf import read_pdf
from giornata.files.artwork.reading import Reading

AREA, PLACE = 1.0e-3, 1.5e-3  # of the page


def page(content: str, resources: str = "", box: str = "0 0 200 100", more: str = "") -> bytes:
    """A PDF of one page; resources and more keys of the page as PDF source."""
    with pikepdf.new() as document:
        given = f"<< /Type /Page /MediaBox [{box}] /Resources << {resources} >> {more} >>"
        made = pikepdf.Object.parse(given.encode())
        made.Contents = document.make_stream(content.encode())
        document.pages.append(pikepdf.Page(document.make_indirect(made)))
        return saved(document)


def saved(document: pikepdf.Pdf, **options: Any) -> bytes:
    out = io.BytesIO()
    document.save(out, **options)
    return out.getvalue()


def form(document: pikepdf.Pdf, content: str, keys: str = "") -> Any:
    """A form of 200 x 100 points."""
    stream = document.make_stream(content.encode())
    for key, value in pikepdf.Object.parse(
        f"<< /Type /XObject /Subtype /Form /BBox [0 0 200 100] {keys} >>".encode()
    ).items():
        stream[key] = value
    return stream


def with_forms(content: str, *forms: tuple[str, str], resources: str = "") -> bytes:
    """A page whose forms are /F0, /F1, ...; each can draw those before it."""
    with pikepdf.open(io.BytesIO(page(content, resources))) as document:
        held = document.pages[0].Resources
        known = Dictionary()
        for number, (inner, keys) in enumerate(forms):
            one = form(document, inner, keys)
            own = Dictionary({key: value for key, value in held.items() if key != "/XObject"})
            own.XObject = Dictionary(dict(known.items()))
            one.Resources = own
            known[f"/F{number}"] = one
        held.XObject = known
        return saved(document)


def stops(reading: Reading) -> set[str]:
    return {f.code for f in reading.findings if f.severity is Severity.STOP}


def warned(reading: Reading) -> set[str]:
    return {f.code for f in reading.findings if f.severity is Severity.WARN}


def by_pdfium(data: bytes, scale: float) -> Any:
    with pypdfium2.PdfDocument(data) as document:
        shown = document[0].render(
            scale=scale, no_smoothpath=True, draw_annots=False, rev_byteorder=True
        )
        return np.array(shown.to_numpy()[..., :3])


@pytest.fixture
def same(comparing: ModuleType, painting: ModuleType) -> Any:
    """Asserts that a page is read without a STOP, and as pdfium shows it."""

    def check(data: bytes, said: set[str] | None = None) -> Picture:
        reading = read_pdf(data, "drawing.pdf")
        assert stops(reading) == set(), reading.findings
        assert warned(reading) == (said or set())
        assert reading.picture is not None
        for scale in (4.0, 12.0, 36.0):
            theirs = by_pdfium(data, scale)
            height, width = theirs.shape[:2]
            zoom = width / reading.picture.width
            assert height == pytest.approx(zoom * reading.picture.height, abs=1.0)
            ours = painting.painted(reading.picture, width, height, zoom)
            on_white = ours[..., :3] + (255 - ours[..., 3:])
            solid = np.full((height, width, 1), 255, dtype=np.uint8)
            area, place = comparing.errors(
                np.concatenate((on_white, solid), axis=2), np.concatenate((theirs, solid), axis=2)
            )
            if area <= AREA and place <= PLACE:
                break
        assert (area, place) <= (AREA, 1.0)
        assert place <= PLACE
        return reading.picture

    return check


STAR = "100 90 m 60 10 l 190 60 l 10 60 l 140 10 l h"
PATHS = {
    "rectangle": "1 0 0 rg 20 10 80 40 re f",
    "nonzero star": f"0 0 1 rg {STAR} f",
    "even-odd star": f"0 0 1 rg {STAR} f*",
    "curves c, v, y": "0 .5 0 rg 10 50 m 10 90 90 90 90 50 c 120 20 150 50 v 180 90 190 10 y h f",
    "not closed": "1 0 0 rg 10 10 m 100 10 l 50 80 l f",
    "old fill": "1 0 0 rg 10 10 m 100 10 l 50 80 l F",
    "filled and lined": "1 0 0 rg 0 0 1 RG 6 w 20 20 100 50 re B",
    "closed, filled even-odd, lined": f"1 0 0 rg 0 0 1 RG 3 w {STAR[:-2]} b*",
    "corner after closing": "1 0 0 rg 10 10 m 60 10 l 60 60 l h 90 90 l 10 90 l f",
    "turned": "q .866 .5 -.5 .866 80 10 cm 1 0 0 rg 0 0 60 30 re f Q 0 0 1 rg 0 0 9 9 re f",
    "mirrored line": "q -2 0 0 1 150 10 cm 0 0 1 RG 6 w 10 10 m 50 60 l S Q",
    "line under a skew": "q 1 0 .8 .5 10 10 cm 0 0 1 RG 10 w 1 J 10 10 m 50 60 l 90 20 l S Q",
    "caps": "8 w 0 J 20 20 m 180 20 l S 1 J 20 50 m 180 50 l S 2 J 20 80 m 180 80 l S",
    "mitres": "8 w 20 20 m 60 80 l 90 20 l S 3 M 120 20 m 135 80 l 150 20 l S",
    "round corners": "8 w 1 j 20 20 m 60 80 l 90 20 l S 2 j 120 20 m 160 80 l 190 20 l S",
    "dashes": "6 w [20 10 5] 8 d 10 30 m 190 30 l S [12] 0 d 20 50 160 40 re S",
    "round dots": "10 w 1 J [0 20] 0 d 10 50 m 190 50 l S",
    "clip": f"q {STAR} W n 1 0 0 rg 0 0 200 60 re f Q 0 0 1 rg 0 0 9 9 re f",
    "even-odd clip": f"q {STAR} W* n 1 0 0 rg 0 0 200 100 re f Q",
    "clip on clip": "q 20 20 90 60 re W n 60 0 130 50 re W n 1 0 0 rg 0 0 200 100 re f Q",
    "clip that paints": "20 20 90 60 re W f 1 0 0 rg 60 0 130 50 re f",
    "nothing left by a clip": "1 0 0 rg 5 5 9 9 re f q 0 0 9 9 re W n 50 50 9 9 re W n "
    "0 0 200 100 re f Q",
    "grey, cmyk black": "0.5 g 10 10 50 50 re f 0 G 4 w 100 10 50 50 re S",
    "unbalanced": "Q Q q 1 0 0 rg 10 10 50 50 re f q q",
    "outside the page": "1 0 0 rg -50 -50 100 100 re f 190 90 500 500 re f",
}


@pytest.mark.parametrize("content", PATHS.values(), ids=PATHS.keys())
def test_paths(content: str, same: Any) -> None:
    assert same(page(content)).shapes


@pytest.mark.parametrize("turn", [0, 90, 180, 270, -90, 450])
@pytest.mark.parametrize("box", ["0 0 200 100", "-30 20 170 120", "200 100 0 0"])
def test_turned_and_shifted_pages(turn: int, box: str, same: Any) -> None:
    data = page(
        "1 0 0 rg 20 30 80 40 re f 0 0 1 rg 20 30 9 9 re f", box=box, more=f"/Rotate {turn}"
    )
    picture = same(data)
    assert picture.width == (200.0 if turn % 180 == 0 else 100.0)


@pytest.mark.parametrize(
    ("crop", "size"),
    [
        ("20 10 120 80", (100.0, 70.0)),
        ("-50 -50 120 80", (120.0, 80.0)),
        ("120 80 20 10", (100.0, 70.0)),
    ],
)
def test_cropped_pages(crop: str, size: tuple[float, float], same: Any) -> None:
    picture = same(page(f"1 0 0 rg {STAR} f", more=f"/CropBox [{crop}]"))
    assert (picture.width, picture.height) == size


def test_unit_of_a_page_scales_it(same: Any) -> None:
    # ISO 32000-1, 14.11: UserUnit gives the size of a unit in 1/72 inch. (pdfium passes it over,
    # the shares of the page are the same.)
    picture = same(page(f"1 0 0 rg {STAR} f", more="/UserUnit 2.5"))
    assert (picture.width, picture.height) == (500.0, 250.0)


def test_what_a_page_inherits(same: Any) -> None:
    # ISO 32000-1, table 30: Resources, MediaBox, CropBox and Rotate are inheritable.
    with pikepdf.open(io.BytesIO(page("/A gs 1 0 0 rg 20 30 80 40 re f"))) as document:
        leaf, tree = document.pages[0].obj, document.Root.Pages
        del leaf.Resources, leaf.MediaBox
        tree.MediaBox = Array([0, 0, 200, 100])
        tree.CropBox = Array([10, 10, 190, 90])
        tree.Rotate = 90
        tree.Resources = pikepdf.Object.parse(b"<< /ExtGState << /A << /ca .5 >> >> >>")
        data = saved(document)
    picture = same(data)
    assert (picture.width, picture.height) == (80.0, 180.0)
    assert [shape.opacity for shape in picture.shapes] == [pytest.approx(0.5)]


STATES = (
    "/ExtGState << /H << /ca .5 /CA .25 >> /O << /ca 1 /CA 1 >>"
    " /L << /LW 9 /LC 1 /D [[30 15] 5] >> >>"
)
ALPHA = {
    "filling": "/H gs 1 0 0 rg 10 10 80 60 re f 0 0 1 rg 50 30 100 60 re f",
    "line": "/H gs 12 w 1 0 0 RG 10 10 m 190 90 l 10 90 m 190 10 l S",
    "back again": "q /H gs 1 0 0 rg 10 10 80 60 re f Q 0 0 1 rg 50 30 100 60 re f",
    "switched off": "/H gs /O gs 1 0 0 rg 10 10 80 60 re f",
    "line by a state": "/L gs 0 0 1 RG 20 20 m 180 80 l S",
}


@pytest.mark.parametrize("content", ALPHA.values(), ids=ALPHA.keys())
def test_opacity(content: str, same: Any) -> None:
    same(page(content, STATES))


TWO = "1 0 0 rg 10 10 80 60 re f 0 0 1 rg 50 30 100 60 re f"
GROUP = "/Group << /S /Transparency >>"
FORMS = {
    "placed twice": ("q .5 0 0 .5 0 0 cm /F0 Do Q q .5 0 0 .5 100 50 cm /F0 Do Q", (TWO, "")),
    "with a matrix": ("/F0 Do", (TWO, "/Matrix [.5 .2 -.2 .5 40 10]")),
    "cut off at its box": ("/F0 Do", (TWO.replace("re f", "re f "), "/Matrix [1 0 0 1 120 40]")),
    "translucent shapes": ("/H gs /F0 Do", (TWO, "")),
    "translucent as one": ("/H gs /F0 Do", (TWO, GROUP)),
    "colour from around it": ("0 .6 0 rg /F0 Do", ("20 20 50 50 re f", "")),
    "own stack": (
        "/F0 Do 1 0 0 rg 10 10 9 9 re f",
        ("q q 0 0 1 rg 2 0 0 2 0 0 cm 9 9 9 9 re f", ""),
    ),
}


@pytest.mark.parametrize(("content", "inner"), FORMS.values(), ids=FORMS.keys())
def test_forms(content: str, inner: tuple[str, str], same: Any) -> None:
    same(with_forms(content, inner, resources=STATES))


def test_groups_within_groups(same: Any) -> None:
    outer = "0 .6 0 rg 0 0 60 60 re f /H gs /F0 Do"
    same(with_forms("/H gs /F1 Do", (TWO, GROUP), (outer, GROUP), resources=STATES))


MASKS = {
    "brightness": ("1 g 20 20 100 60 re f .5 g 120 20 60 60 re f", "/S /Luminosity"),
    "brightness on white": ("0 g 20 20 100 60 re f", "/S /Luminosity /BC [1]"),
    "brightness of red": ("1 0 0 rg 20 20 100 60 re f", "/S /Luminosity"),
    "brightness of green": ("0 1 0 rg 20 20 100 60 re f", "/S /Luminosity"),
    "brightness of blue": ("0 0 1 rg 20 20 100 60 re f", "/S /Luminosity /BC [1 .5 0]"),
    "opacity": ("0 g 20 20 100 60 re f /H gs 100 10 60 60 re f", "/S /Alpha"),
}


@pytest.mark.parametrize(("inner", "keys"), MASKS.values(), ids=MASKS.keys())
def test_soft_masks(inner: str, keys: str, same: Any) -> None:
    space = "/DeviceRGB" if "rg" in inner else "/DeviceGray"
    grey = f"/Group << /S /Transparency /CS {space} >>"
    with pikepdf.open(io.BytesIO(page("q /M gs " + TWO + " Q", STATES))) as document:
        held = document.pages[0].Resources
        mask = form(document, inner, grey)
        mask.Resources = Dictionary(ExtGState=held.ExtGState)
        soft = pikepdf.Object.parse(f"<< /Type /Mask {keys} >>".encode())
        soft.G = mask
        held.ExtGState.M = Dictionary(SMask=soft)
        same(saved(document))


def test_inks_of_a_mask_are_said_where_their_brightness_counts() -> None:
    for kind, told in (("Luminosity", {"artwork.cmyk"}), ("Alpha", set())):
        with pikepdf.open(io.BytesIO(page("q /M gs " + TWO + " Q", STATES))) as document:
            soft = pikepdf.Object.parse(f"<< /Type /Mask /S /{kind} >>".encode())
            group = "/Group << /S /Transparency /CS /DeviceCMYK >>"
            soft.G = form(document, "1 0 0 0 k 20 20 100 60 re f", group)
            document.pages[0].Resources.ExtGState.M = Dictionary(SMask=soft)
            reading = read_pdf(saved(document), "drawing.pdf")
        assert warned(reading) == told
        assert reading.picture is not None
        # Cyan alone is red 0, green and blue 1: 0.59 + 0.11 of it lets through.
        opacities = {round(shape.opacity, 6) for shape in reading.picture.shapes}
        assert opacities == ({0.7} if told else {1.0})


BLOCK = "10 10 80 60 re f"
D65 = "/WhitePoint [.9505 1 1.089]"
TINT = "<< /FunctionType 2 /Domain [0 1] /C0 [1 1 1] /C1 [1 .5 0] /N 1 >>"
RUST = "<< /FunctionType 2 /Domain [0 1] /C0 [100 0 0] /C1 [45 40 40] /N 1 >>"
# X, Y, Z of red, green and blue (IEC 61966-2-1)
PRIMARIES = "[.4124 .2126 .0193 .3576 .7152 .1192 .1805 .0722 .9505]"
SPACES = {
    "spot": ("/S cs .5 scn", f"[/Separation /Gold /DeviceRGB {TINT}]"),
    "spot of one name in DeviceN": ("/S cs .25 scn", f"[/DeviceN [/Gold] /DeviceRGB {TINT}]"),
    "table": ("/S cs 1 scn", "[/Indexed /DeviceRGB 1 <ff000000a000>]"),
    # the primaries of sRGB under its white, by a plain gamma
    "calibrated RGB": (
        "/S cs .8 .5 .2 scn",
        f"[/CalRGB << {D65} /Gamma [2.2 2.2 2.2] /Matrix {PRIMARIES} >>]",
    ),
    "L*a*b*": ("/S cs 60 50 20 scn", f"[/Lab << {D65} /Range [-100 100 -100 100] >>]"),
    "L*a*b* behind a spot colour": (
        "/S cs 1 scn",
        f"[/Separation /Rust [/Lab << {D65} /Range [-100 100 -100 100] >>] {RUST}]",
    ),
}


@pytest.mark.parametrize(("choice", "space"), SPACES.values(), ids=SPACES.keys())
def test_colour_spaces(choice: str, space: str, same: Any) -> None:
    same(page(f"{choice} {BLOCK}", f"/ColorSpace << /S {space} >>"))


def colour_of(data: bytes) -> str:
    reading = read_pdf(data, "drawing.pdf")
    assert reading.picture is not None
    return reading.picture.shapes[-1].colour


@pytest.mark.parametrize(
    ("content", "space", "colour"),
    [
        # ISO 32000-1, 8.6.6.4: a spot colour's first tint is 1; C1 is 1, .5, 0
        ("/S cs", f"[/Separation /Gold /DeviceRGB {TINT}]", "#ff8000"),
        # 8.6.6.3: an index beyond the table is taken for its last
        ("/S cs 7 scn", "[/Indexed /DeviceRGB 1 <ff000000a000>]", "#00a000"),
        # 8.6.5.2: the light is .5 ** 2 = .25; sRGB (IEC 61966-2-1): 1.055 × .25 ** (1 / 2.4) - .055
        # = .5371, × 255 = 137 = 89 hex
        ("/S cs .5 scn", f"[/CalGray << {D65} /Gamma 2 >>]", "#898989"),
        # 10.3.5: red = 1 - min(1, cyan + black)
        ("0 .5 1 .25 k", "/DeviceRGB", "#bf4000"),
    ],
)
def test_colours_by_the_standard(content: str, space: str, colour: str) -> None:
    assert colour_of(page(f"{content} {BLOCK}", f"/ColorSpace << /S {space} >>")) == colour


@pytest.mark.parametrize(
    ("screen", "shown"),
    [("sRGB", "#cc8033"), ("unfit", "#cc8033")],
)
def test_colour_by_an_icc_profile(screen: str, shown: str) -> None:
    # .8, .5, .2 of 255 are 204, 127.5, 51; the profile of sRGB changes none by more than a level,
    # and a profile that cannot be used is passed over for its number of channels (8.6.5.5).
    profile = b"junk"
    if screen == "sRGB":
        profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    with pikepdf.open(io.BytesIO(page(f"/S cs .8 .5 .2 scn {BLOCK}"))) as document:
        stream = document.make_stream(profile, N=3)
        held = document.pages[0].Resources
        held.ColorSpace = Dictionary(S=Array([pikepdf.Name.ICCBased, stream]))
        found = colour_of(saved(document))
    assert np.abs(
        np.frombuffer(bytes.fromhex(found[1:]), dtype=np.uint8).astype(int)
        - np.frombuffer(bytes.fromhex(shown[1:]), dtype=np.uint8)
    ).max() <= 1  # fmt: skip


def test_spot_colour_of_no_name_paints_nothing(same: Any) -> None:
    space = f"/ColorSpace << /S [/Separation /None /DeviceRGB {TINT}] >>"
    picture = same(page(f"/S cs 1 scn {BLOCK} 0 0 1 rg 100 10 40 40 re f", space))
    assert [flat.colour for flat in picture.shapes] == ["#0000ff"]


def test_printing_colours_are_said_and_their_areas_read() -> None:
    # pdfium mixes printing inks by a table of its own; what is not white is as large all the same.
    data = page(f"1 0 0 0 k {BLOCK} 0 1 1 0 k 100 10 50 50 re f")
    reading = read_pdf(data, "drawing.pdf")
    assert reading.picture is not None
    assert warned(reading) == {"artwork.cmyk"}
    inked = (by_pdfium(data, 4.0) != 255).any(axis=2).mean() * 200 * 100
    assert sum(flat.area.area for flat in reading.picture.shapes) == pytest.approx(inked, rel=1e-6)


def test_lines_of_no_width_are_said(same: Any) -> None:
    # 8.4.3.2: a width of 0 is the thinnest line that can be drawn: at 4 pixels to the point a
    # quarter of a point wide and 20 long, 2.5e-4 of the page.
    picture = same(page(f"1 0 0 rg {BLOCK} 0 w 0 0 1 RG 120 10 m 140 10 l S"), {"artwork.hairline"})
    assert len(picture.shapes) == 1


@pytest.mark.parametrize(
    ("content", "code"),
    [
        ("BT /F 12 Tf (x) Tj ET", "artwork.text"),
        ("BI /W 1 /H 1 /CS /G /BPC 8 ID x EI", "artwork.image"),
        ("/M gs " + BLOCK, "artwork.blend"),
        ("/Pattern cs /P scn " + BLOCK, "artwork.gradient"),
        ("/G sh", "artwork.gradient"),
        ("/N cs .5 .5 scn " + BLOCK, "artwork.colour"),
    ],
)
def test_what_is_not_flat_stops(content: str, code: str) -> None:
    fade = f"<< /ShadingType 2 /ColorSpace /DeviceRGB /Coords [0 0 200 0] /Function {TINT} >>"
    resources = (
        "/ExtGState << /M << /BM /Multiply >> >>"
        f" /Shading << /G {fade} >> /Pattern << /P << /PatternType 2 /Shading {fade} >> >>"
        " /ColorSpace << /N [/DeviceN [/A /B] /DeviceRGB << /FunctionType 4 >>] >>"
    )
    assert code in stops(read_pdf(page(f"1 0 0 rg 0 0 9 9 re f {content}", resources), "d.pdf"))


@pytest.mark.parametrize(
    ("content", "resources"),
    [
        # 9.3.6: mode 3 neither fills nor strokes
        ("BT 3 Tr (x) Tj ET", ""),
        # 11.6.3: of several modes the first that is known
        ("/M gs", "/ExtGState << /M << /BM [/Foo /Normal] >> >>"),
        # a clip without a path, as pdfium has it: none
        ("W n", ""),
        ("/foo bar 1 2 baz", ""),
    ],
)
def test_what_harms_nothing(content: str, resources: str, same: Any) -> None:
    assert same(page(f"{content} 1 0 0 rg {BLOCK}", resources)).shapes


LAYERED = (
    "/OC /Front BDC 1 0 0 rg 10 10 80 60 re f EMC /OC /Back BDC 0 0 1 rg 50 30 100 60 re f EMC"
    " /OC /Both BDC 0 .6 0 rg 150 5 40 20 re f EMC 0 g 0 0 9 9 re f"
)


def layered(off: list[str], policy: str = "/AllOn") -> bytes:
    with pikepdf.open(io.BytesIO(page(LAYERED))) as document:
        made = {
            name: document.make_indirect(Dictionary(Type=pikepdf.Name.OCG, Name=f"{name} layer"))
            for name in ("Front", "Back")
        }
        both = Dictionary(Type=pikepdf.Name.OCMD, OCGs=Array(list(made.values())))
        both.P = pikepdf.Name(policy)
        document.pages[0].Resources.Properties = Dictionary(
            Front=made["Front"], Back=made["Back"], Both=document.make_indirect(both)
        )
        document.Root.OCProperties = Dictionary(
            OCGs=Array(list(made.values())), D=Dictionary(OFF=Array([made[name] for name in off]))
        )
        return saved(document)


@pytest.mark.parametrize("off", [[], ["Front"], ["Back"], ["Front", "Back"]])
def test_layers_on_and_off(off: list[str], painting: ModuleType) -> None:
    # What pdfium shows of a colour is what is read of it outside the layers that are hidden.
    data = layered(off)
    reading = read_pdf(data, "drawing.pdf")
    assert reading.picture is not None
    assert stops(reading) == set()
    assert reading.picture.groups == ("Front layer", "Back layer")
    assert reading.picture.hidden == tuple(f"{name} layer" for name in off)
    hidden = set(reading.picture.hidden)
    seen = [flat for flat in reading.picture.shapes if not hidden & set(flat.names)]
    theirs = by_pdfium(data, 4.0)
    ours = painting.painted(replace(reading.picture, shapes=tuple(seen)), 800, 400, 4.0)
    assert np.array_equal(ours[..., :3] + (255 - ours[..., 3:]), theirs)


@pytest.mark.parametrize("policy", ["/AllOn", "/AnyOn", "/AnyOff", "/AllOff"])
def test_what_hangs_on_several_layers(policy: str) -> None:
    data = layered(["Back"], policy)
    reading = read_pdf(data, "drawing.pdf")
    assert reading.picture is not None
    read = "#009900" in {flat.colour for flat in reading.picture.shapes}
    assert read == (by_pdfium(data, 1.0) == [0, 153, 0]).all(axis=2).any()
    # one of two is on (8.11.2.2)
    assert read == (policy in ("/AnyOn", "/AnyOff"))


def test_a_page_locked_without_a_password_is_read(same: Any) -> None:
    with pikepdf.open(io.BytesIO(page(f"1 0 0 rg {BLOCK}"))) as document:
        same(saved(document, encryption=pikepdf.Encryption(owner="a", user="")))


def test_content_in_pieces(same: Any) -> None:
    # 7.8.2: the streams of an array are one; the break may stand between any two tokens.
    with pikepdf.open(io.BytesIO(page(""))) as document:
        parts = [b"q 1 0 0 rg 10 10", b"80 60 re f", b"Q 0 0 1 rg 100 10 40 40 re f"]
        document.pages[0].obj.Contents = Array([document.make_stream(part) for part in parts])
        same(saved(document))


# Pages by other programs

ART = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 100"><g opacity=".5">'
    '<path fill="#d22" d="M10 50C10 10 90 10 90 50S170 90 190 20L100 95Z"/>'
    '<circle cx="120" cy="40" r="30" fill="#24a"/></g>'
    '<path d="M10 90L60 20L110 90" fill="none" stroke="#063" stroke-width="7"'
    ' stroke-linejoin="round" stroke-dasharray="30 12" stroke-linecap="round"/></svg>'
)


def test_a_page_by_a_typesetter(same: Any) -> None:
    source = b'#set page(width: 200pt, height: 100pt, margin: 0pt)\n#image("a.svg", width: 100%)'
    files: Any = {"main.typ": source, "a.svg": ART.encode()}
    same(typst.compile(files, ignore_system_fonts=True))


def test_a_page_by_a_drawing_library(same: Any) -> None:
    stream = skia.DynamicMemoryWStream()
    with skia.PDF.MakeDocument(stream) as document, document.page(200, 100) as canvas:
        paint = skia.Paint(AntiAlias=True, Color=skia.ColorSetARGB(128, 221, 34, 34))
        canvas.drawCircle(60, 50, 40, paint)
        canvas.saveLayerAlpha(None, 100)
        canvas.drawRect(skia.Rect.MakeXYWH(80, 20, 90, 60), skia.Paint(Color=skia.ColorBLUE))
        canvas.drawOval(skia.Rect.MakeXYWH(100, 40, 90, 50), skia.Paint(Color=skia.ColorRED))
        canvas.restore()
        canvas.clipPath(skia.Path.Circle(150, 50, 40))
        line = skia.Paint(Style=skia.Paint.kStroke_Style, StrokeWidth=9, Color=skia.ColorBLACK)
        canvas.drawLine(100, 10, 200, 90, line)
    same(bytes(stream.detachAsData()))


def test_a_page_by_cairo(same: Any) -> None:
    found = ctypes.util.find_library("cairo")
    if found is None:
        pytest.skip("no cairo on this machine")
    cairo = ctypes.CDLL(found)
    pieces: list[bytes] = []
    writer = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.c_void_p, ctypes.c_void_p, ctypes.c_uint)
    write = writer(lambda _, data, size: pieces.append(ctypes.string_at(data, size)) or 0)
    cairo.cairo_pdf_surface_create_for_stream.restype = ctypes.c_void_p
    cairo.cairo_create.restype = ctypes.c_void_p
    surface = ctypes.c_void_p(
        cairo.cairo_pdf_surface_create_for_stream(
            write, None, ctypes.c_double(200), ctypes.c_double(100)
        )
    )
    context = ctypes.c_void_p(cairo.cairo_create(surface))

    def draw(step: str, *numbers: float) -> None:
        getattr(cairo, f"cairo_{step}")(context, *(ctypes.c_double(n) for n in numbers))

    draw("set_source_rgb", 0.9, 0.2, 0.1)
    draw("rectangle", 20, 10, 90, 60)
    draw("fill")
    draw("set_source_rgba", 0.1, 0.2, 0.9, 0.5)
    draw("arc", 110, 50, 35, 0.0, 2 * math.pi)
    draw("clip")
    draw("paint_with_alpha", 0.5)
    draw("set_line_width", 8)
    draw("move_to", 60, 20)
    draw("curve_to", 90, 90, 120, 10, 190, 90)
    draw("stroke")
    cairo.cairo_destroy(context)
    cairo.cairo_surface_destroy(surface)
    same(b"".join(pieces))
