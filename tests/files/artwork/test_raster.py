"""Raster files in, flat shapes out: formats, modes, profiles, transparency, and bad files."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
import resvg_py
import shapely
from PIL import Image, ImageCms, ImageDraw

from giornata.core.artwork import Drawing
from giornata.core.foundation import ArtworkError, Finding, Severity
from giornata.files.artwork import read_artwork
from giornata.files.artwork.raster import read_raster

PALE, INK, RED = "#f0ebe1", "#141828", "#be1e28"
SIZE = (90, 60)
BOX = (10, 10, 40, 40)  # ink
BAR = (50, 20, 80, 50)  # red


def picture() -> Image.Image:
    """Two squares on a pale ground, 90 × 60 px, no antialiasing."""
    image = Image.new("RGB", SIZE, PALE)
    draw = ImageDraw.Draw(image)
    draw.rectangle((BOX[0], BOX[1], BOX[2] - 1, BOX[3] - 1), fill=INK)
    draw.rectangle((BAR[0], BAR[1], BAR[2] - 1, BAR[3] - 1), fill=RED)
    return image


def saved(folder: Path, image: Image.Image, name: str, **settings: object) -> Path:
    path = folder / name
    image.save(path, **settings)
    return path


def read(path: Path) -> tuple[Drawing, tuple[Finding, ...]]:
    drawing, findings = read_raster(path)
    assert drawing is not None, findings
    return drawing, findings


def areas(drawing: Drawing) -> dict[str, float]:
    found: dict[str, float] = {}
    for shape in drawing.shapes:
        found[shape.colour] = found.get(shape.colour, 0.0) + shape.area.area
    return found


TRUE_AREAS = {PALE: 90 * 60 - 2 * 900, INK: 900, RED: 900}


@pytest.mark.parametrize(
    ("name", "settings"),
    [
        ("a.png", {}),
        ("a.tif", {}),
        ("lzw.tif", {"compression": "tiff_lzw"}),
        ("deflate.tiff", {"compression": "tiff_adobe_deflate"}),
        ("a.webp", {"lossless": True}),
    ],
)
def test_each_lossless_format(tmp_path: Path, name: str, settings: dict[str, object]) -> None:
    drawing, findings = read(saved(tmp_path, picture(), name, **settings))
    assert findings == ()
    assert (drawing.width, drawing.height) == SIZE
    assert drawing.disjoint
    assert areas(drawing) == TRUE_AREAS
    assert shapely.coverage_is_valid([shape.area for shape in drawing.shapes])
    ink = next(shape for shape in drawing.shapes if shape.colour == INK)
    assert ink.area.equals(shapely.box(*BOX))
    assert drawing.name == name


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif", "a.webp"])
def test_the_rooms_door_reads_raster_files(tmp_path: Path, name: str) -> None:
    path = saved(tmp_path, picture(), name)
    through, own = read_artwork(path), read(path)
    assert through[0] is not None
    assert areas(through[0]) == areas(own[0])
    assert through[1] == own[1]


def test_a_jpeg_has_no_false_paint(tmp_path: Path) -> None:
    large = picture().resize((900, 600), Image.Resampling.NEAREST)
    drawing, findings = read(saved(tmp_path, large, "a.jpg", quality=85))
    assert findings == ()
    found = areas(drawing)
    assert len(found) == 3
    assert len(drawing.shapes) == 3
    for colour, area in TRUE_AREAS.items():
        rgb = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
        near = [c for c in found if max(abs(int(c[i : i + 2], 16) - v) for i, v in
                                        zip((1, 3, 5), rgb, strict=True)) <= 1]  # fmt: skip
        assert len(near) == 1
        assert found[near[0]] == pytest.approx(100 * area, rel=0.002)


def as_indexed(image: Image.Image) -> Image.Image:
    return image.quantize(16)


def as_indexed_with_clear(image: Image.Image) -> Image.Image:
    clear = image.quantize(16)
    clear.info["transparency"] = clear.getpixel((0, 0))
    return clear


@pytest.mark.parametrize(
    ("make", "bare"),
    [
        (lambda im: im.convert("RGBA"), False),
        (as_indexed, False),
        (as_indexed_with_clear, True),
    ],
)
def test_colour_modes(tmp_path: Path, make: object, bare: bool) -> None:
    assert callable(make)
    drawing, findings = read(saved(tmp_path, make(picture()), "mode.png"))
    assert findings == ()
    expected = {c: a for c, a in TRUE_AREAS.items() if not (bare and c == PALE)}
    assert areas(drawing) == expected


@pytest.mark.parametrize("mode", ["1", "L", "LA", "I;16", "I"])
def test_grey_modes(tmp_path: Path, mode: str) -> None:
    grey = np.full((60, 90), 255, np.uint8)
    grey[10:40, 10:40] = 0
    image = Image.fromarray(grey)
    if mode in ("1", "LA"):
        image = image.convert(mode)
    elif mode != "L":
        image = Image.fromarray(grey.astype(np.uint16) * 257)
        image = image if mode == "I;16" else image.convert("I")
    name = "grey.tif" if mode == "I" else "grey.png"
    drawing, findings = read(saved(tmp_path, image, name))
    assert findings == ()
    assert areas(drawing) == {"#ffffff": 90 * 60 - 900, "#000000": 900}


def test_sixteen_bits_are_rounded_to_eight(tmp_path: Path) -> None:
    grey = np.full((20, 20), 0x80FF, np.uint16)  # 33023 × 255 ÷ 65535 = 128.49
    drawing, _ = read(saved(tmp_path, Image.fromarray(grey), "grey.png"))
    assert areas(drawing) == {"#808080": 400}


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("name", ["turned.jpg", "turned.tif", "turned.png"])
def test_the_picture_is_turned_upright(tmp_path: Path, orientation: int, name: str) -> None:
    # Exif 2.32, tag 0x0112: where the stored first row and first column are to be seen.
    upright = np.full((80, 120), 240, np.uint8)
    upright[:40, :32] = 16  # a dark block above left
    stored = {
        1: upright,
        2: upright[:, ::-1],
        3: upright[::-1, ::-1],
        4: upright[::-1],
        5: upright.T,
        6: np.rot90(upright, 1),
        7: upright[::-1, ::-1].T,
        8: np.rot90(upright, -1),
    }[orientation]
    exif = Image.Exif()
    exif[0x0112] = orientation
    image = Image.fromarray(np.ascontiguousarray(stored))
    drawing, _ = read(saved(tmp_path, image, name, exif=exif))
    assert (drawing.width, drawing.height) == (120, 80)
    dark = min(drawing.shapes, key=lambda shape: shape.area.area)
    assert dark.area.bounds == pytest.approx((0, 0, 32, 40), abs=0.05)


def rendered(svg: str) -> Image.Image:
    return Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))))


def test_transparent_is_bare_ground(tmp_path: Path) -> None:
    image = rendered(
        '<svg xmlns="http://www.w3.org/2000/svg" width="300" height="300">'
        f'<circle cx="150.4" cy="149.7" r="100" fill="{RED}"/>'
        f'<circle cx="150.4" cy="149.7" r="50" fill="{INK}"/></svg>'
    )
    assert image.mode == "RGBA"
    drawing, findings = read(saved(tmp_path, image, "clear.png"))
    assert findings == ()
    found = areas(drawing)
    assert set(found) == {RED, INK}  # the fringe to nothing is no colour of its own
    assert found[INK] == pytest.approx(np.pi * 50**2, rel=0.002)
    assert found[RED] == pytest.approx(np.pi * (100**2 - 50**2), rel=0.001)
    assert all(shape.opacity == 1.0 for shape in drawing.shapes)


def test_nothing_but_transparent_pixels(tmp_path: Path) -> None:
    path = saved(tmp_path, Image.new("RGBA", (20, 20), (0, 0, 0, 0)), "clear.png")
    drawing, findings = read_raster(path)
    assert drawing is None
    (finding,) = findings
    assert finding.code == "artwork.nothing_visible"
    assert finding.severity is Severity.STOP


def test_a_see_through_colour_is_a_finding(tmp_path: Path) -> None:
    image = Image.new("RGBA", (60, 40), (255, 255, 255, 0))
    image.paste((200, 40, 40, 128), (10, 10, 50, 30))
    drawing, findings = read(saved(tmp_path, image, "veil.png"))
    (finding,) = findings
    assert finding.code == "artwork.see_through"
    assert "50 %" in finding.message
    (shape,) = drawing.shapes
    assert shape.opacity == pytest.approx(128 / 255)
    assert areas(drawing).popitem()[1] == 800
    # 200 × 128 ÷ 255 = 100.4, stored as 100 of 128: 199 on the way back.
    assert shape.colour in ("#c72828", "#c82828")


def test_an_srgb_profile_changes_nothing(tmp_path: Path) -> None:
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    drawing, findings = read(saved(tmp_path, picture(), "srgb.png", icc_profile=srgb))
    assert findings == ()
    assert areas(drawing) == TRUE_AREAS


@pytest.mark.parametrize("name", ["inks.tif", "inks.jpg"])
def test_printing_inks_without_a_profile_are_a_finding(tmp_path: Path, name: str) -> None:
    inks = np.zeros((60, 90, 4), np.uint8)
    inks[10:40, 10:40] = (0, 255, 255, 0)  # magenta and yellow: red
    settings = {"quality": 95} if name.endswith("jpg") else {}
    path = saved(tmp_path, Image.fromarray(inks, "CMYK"), name, **settings)
    drawing, findings = read(path)
    (finding,) = findings
    assert finding.code == "artwork.colour_profile"
    assert "CMYK" in finding.message
    found = areas(drawing)
    assert set(found) == {"#ffffff", "#ff0000"} or name.endswith("jpg")
    assert min(found.values()) == pytest.approx(900, abs=0.5 if name.endswith("tif") else 20)


def test_pages_of_unlike_size_stop_the_job(tmp_path: Path) -> None:
    other = [picture().resize((45, 30)), picture()]
    path = saved(tmp_path, picture(), "pages.tif", save_all=True, append_images=other)
    drawing, findings = read_raster(path)
    assert drawing is None
    (finding,) = findings
    assert finding.code == "artwork.more_pictures"
    assert finding.severity is Severity.STOP
    assert "3 pictures" in finding.message


def test_an_animation_stops_the_job(tmp_path: Path) -> None:
    other = picture().transpose(Image.Transpose.FLIP_LEFT_RIGHT)
    for name in ("moving.png", "moving.webp"):
        path = saved(tmp_path, picture(), name, save_all=True, append_images=[other])
        drawing, findings = read_raster(path)
        assert drawing is None
        assert [f.code for f in findings] == ["artwork.more_pictures"]


def test_a_reduced_copy_beside_the_picture_is_left_out(tmp_path: Path) -> None:
    small = picture().resize((30, 20))
    small.encoderinfo = {"tiffinfo": {254: 1}}  # NewSubfileType, TIFF 6.0 page 36: reduced copy
    file = io.BytesIO()
    picture().save(file, "TIFF", save_all=True, append_images=[small])
    path = tmp_path / "thumb.tif"
    path.write_bytes(file.getvalue())
    drawing, findings = read(path)
    (finding,) = findings
    assert finding.code == "artwork.more_pictures"
    assert finding.severity is Severity.NOTE
    assert areas(drawing) == TRUE_AREAS


def test_a_photograph_stops_the_job(tmp_path: Path) -> None:
    noise = np.random.default_rng(3).integers(0, 256, (200, 300, 3)).astype(np.uint8)
    drawing, findings = read_raster(saved(tmp_path, Image.fromarray(noise), "photo.png"))
    assert drawing is None
    (finding,) = findings
    assert finding.code == "artwork.not_flat"
    assert finding.place is not None
    assert finding.place.file == "photo.png"


@pytest.mark.parametrize("size", [(1, 1), (1, 9), (9, 1), (2, 2)])
def test_a_tiny_picture(tmp_path: Path, size: tuple[int, int]) -> None:
    drawing, findings = read(saved(tmp_path, Image.new("RGB", size, RED), "dot.png"))
    assert findings == ()
    assert areas(drawing) == {RED: size[0] * size[1]}


def png_of(width: int, height: int, data: bytes = b"") -> bytes:
    """A PNG by ISO/IEC 15948: signature, header, data, end; 8-bit grey."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + check

    header = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(data))
        + chunk(b"IEND", b"")
    )


def test_a_picture_of_absurd_size_is_refused_before_it_is_decoded(tmp_path: Path) -> None:
    path = tmp_path / "bomb.png"
    path.write_bytes(png_of(100_000, 100_000))
    with pytest.raises(ArtworkError, match="10000 million; the limit is 1000 million"):
        read_raster(path)


def test_the_limit_on_pixels_can_be_set(tmp_path: Path) -> None:
    path = saved(tmp_path, picture(), "a.png")  # 5400 px
    assert read_raster(path, pixel_limit=5_400)[0] is not None
    with pytest.raises(ArtworkError, match="90 × 60 pixels"):
        read_raster(path, pixel_limit=5_399)
    with pytest.raises(ValueError, match="reads nothing"):
        read_raster(path, pixel_limit=0)


def test_a_large_picture_is_read_without_the_librarys_own_limit(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = saved(tmp_path, picture(), "a.png")
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 100)
    drawing, _ = read(path)
    assert areas(drawing) == TRUE_AREAS
    assert Image.MAX_IMAGE_PIXELS == 100  # put back


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\x89PNG\r\n\x1a\n",
        b"\xff\xd8\xff\xe0",
        b"II*\x00",
        b"nothing of the kind",
        bytes(range(256)) * 40,
        png_of(0, 10),
        png_of(10, 0),
        png_of(10, 10, b"\0" * 7),
    ],
)
def test_what_cannot_be_decoded_is_an_error_with_a_remedy(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "broken.png"
    path.write_bytes(content)
    with pytest.raises(ArtworkError, match=r"broken\.png") as caught:
        read_raster(path)
    assert "Save the artwork again" in caught.value.remedy
    assert str(tmp_path) not in caught.value.message


def test_a_missing_file_or_a_folder_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_raster(tmp_path / "none.png")
    with pytest.raises(ArtworkError, match="cannot be read"):
        read_raster(tmp_path)


def test_levels_with_fractions_are_refused(tmp_path: Path) -> None:
    image = Image.fromarray(np.full((20, 20), np.nan, np.float32))
    with pytest.raises(ArtworkError, match="float"):
        read_raster(saved(tmp_path, image, "float.tif"))


def test_levels_beyond_sixteen_bits_are_refused(tmp_path: Path) -> None:
    image = Image.fromarray(np.full((20, 20), 70_000, np.int32))
    with pytest.raises(ArtworkError, match="70000"):
        read_raster(saved(tmp_path, image, "wide.tif"))


@pytest.mark.parametrize("name", ["cut.png", "cut.jpg", "cut.tif", "cut.webp"])
def test_a_truncated_file_is_an_error_or_the_whole_picture(tmp_path: Path, name: str) -> None:
    path = saved(tmp_path, picture(), name)
    whole = path.read_bytes()
    expected = areas(read(path)[0])
    refused = 0
    for length in np.linspace(1, len(whole) - 1, 40).astype(int).tolist():
        path.write_bytes(whole[:length])
        try:
            drawing, _ = read_raster(path)
        except ArtworkError:
            refused += 1
            continue
        assert drawing is not None
        assert areas(drawing) == expected
    assert refused >= 36  # trailing bytes may not matter


@pytest.mark.parametrize("name", ["flip.png", "flip.jpg", "flip.tif", "flip.webp"])
def test_damaged_bytes_never_break_the_reader(tmp_path: Path, name: str) -> None:
    path = saved(tmp_path, picture(), name)
    whole = path.read_bytes()
    rng = np.random.default_rng(17)
    answers = set()
    for _ in range(60):
        data = bytearray(whole)
        for at in rng.integers(0, min(len(data), 300), rng.integers(1, 5)).tolist():
            data[at] = int(rng.integers(0, 256))
        path.write_bytes(bytes(data))
        try:
            drawing, findings = read_raster(path)
        except ArtworkError as error:
            answers.add("error" if error.remedy else "no remedy")
        else:
            answers.add("read")
            assert drawing is not None or findings
    assert "error" in answers
    assert "no remedy" not in answers


@pytest.mark.parametrize(
    ("draw_red", "code"),
    [(1, "artwork.thin_lines"), (0, None)],
)
def test_thin_lines_reach_the_findings(tmp_path: Path, draw_red: int, code: str | None) -> None:
    image = picture().resize((450, 300), Image.Resampling.NEAREST)
    if draw_red:
        lines = "".join(
            f'<line x1="3" y1="{y}.3" x2="440" y2="{y + 3}.4" stroke="{RED}" stroke-width="0.8"/>'
            for y in range(220, 296, 4)
        )
        over = rendered(
            f'<svg xmlns="http://www.w3.org/2000/svg" width="450" height="300">{lines}</svg>'
        )
        image.paste(over, (0, 0), over)
    _, findings = read_raster(saved(tmp_path, image, "thin.png"))
    assert {f.code for f in findings} == ({code} if code else set())
