"""Colour profiles of raster files, against the published numbers of each colour space.

The profiles are written here by ICC.1:2001-04, and the colours expected are worked out by the
formulas of the spaces themselves, without the library that the reader uses.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from giornata.core.artwork import Drawing
from giornata.core.foundation import Finding, Severity
from giornata.files.artwork.raster import read_raster

Matrix = NDArray[np.float64]
Colour = tuple[int, ...]

D50 = np.array([0.96420, 1.0, 0.82491])  # ICC.1:2001-04, 6.3.4.3: white of the connection space
D65 = (0.3127, 0.3290)  # IEC 61966-2-1, table 1
# x, y of red, green, blue. sRGB: IEC 61966-2-1, table 1. Display P3: SMPTE EG 432-1, table 1 (with
# the white D65). Adobe RGB (1998), version 2005-05, 4.2.1 and 4.3.
SRGB = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
DISPLAY_P3 = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
ADOBE = ((0.6400, 0.3300), (0.2100, 0.7100), (0.1500, 0.0600))
ADOBE_GAMMA = 563 / 256  # the same, 4.3.4.2
# ICC.1:2010, annex E.3: the matrix of Bradford.
BRADFORD = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)


def xyz(x: float, y: float) -> Matrix:
    return np.array([x / y, 1.0, (1 - x - y) / y])


def to_xyz(primaries: tuple[tuple[float, float], ...]) -> Matrix:
    """Light of red, green and blue to XYZ at D65: their sum is white (SMPTE RP 177, 3.3)."""
    columns = np.stack([xyz(*one) for one in primaries], axis=1)
    return columns * np.linalg.solve(columns, xyz(*D65))


def to_d50(matrix: Matrix) -> Matrix:
    """XYZ adapted from D65 to D50 (ICC.1:2010, annex E.2)."""
    cones = (BRADFORD @ D50) / (BRADFORD @ xyz(*D65))
    return np.linalg.inv(BRADFORD) @ (cones[:, None] * BRADFORD) @ matrix


def srgb_light(level: Matrix) -> Matrix:
    """IEC 61966-2-1, 5.2."""
    return np.where(level <= 0.04045, level / 12.92, ((level + 0.055) / 1.055) ** 2.4)


def srgb_level(light: Matrix) -> Matrix:
    """IEC 61966-2-1, 5.3, cut to what a screen can show."""
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.abs(light) ** (1 / 2.4) - 0.055)
    return 255 * np.clip(coded, 0, 1)


def expected(colour: Colour, primaries: tuple[tuple[float, float], ...], gamma: float) -> Matrix:
    """sRGB levels of a colour of another space with the same white."""
    level = np.array(colour) / 255
    light = level**gamma if gamma else srgb_light(level)
    return srgb_level(np.linalg.solve(to_xyz(SRGB), to_xyz(primaries) @ light))


def _numbers(values: NDArray[np.float64] | list[float]) -> bytes:
    return b"".join(struct.pack(">i", round(v * 65_536)) for v in np.ravel(values).tolist())


def profile(kind: bytes, space: bytes, connection: bytes, tags: dict[bytes, bytes]) -> bytes:
    """A profile of version 2 (ICC.1:2001-04, section 6)."""
    text = b"made for a test\0"
    tags = tags | {
        b"desc": b"desc\0\0\0\0" + struct.pack(">I", len(text)) + text + bytes(78),
        b"cprt": b"text\0\0\0\0none\0",
        b"wtpt": b"XYZ \0\0\0\0" + _numbers(D50),
    }
    table, data = b"", b""
    start = 128 + 4 + 12 * len(tags)
    for tag, value in tags.items():
        padded = value + bytes(-len(value) % 4)
        table += tag + struct.pack(">II", start + len(data), len(value))
        data += padded
    header = struct.pack(">I", start + len(data)) + b"none" + b"\x02\x10\0\0" + kind + space
    header += connection + struct.pack(">6H", 2024, 1, 1, 0, 0, 0) + b"acsp" + bytes(28)
    header += struct.pack(">3i", 63_190, 65_536, 54_061)
    return header.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + data


def curve(gamma: float) -> bytes:
    """One gamma, or the curve of sRGB in 1,024 steps (6.5.3)."""
    if gamma:
        return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256)) + bytes(2)
    steps = np.rint(65_535 * srgb_light(np.linspace(0, 1, 1_024))).astype(">u2")
    return b"curv\0\0\0\0" + struct.pack(">I", 1_024) + steps.tobytes()


def rgb_profile(primaries: tuple[tuple[float, float], ...], gamma: float) -> bytes:
    columns = to_d50(to_xyz(primaries)).T
    tags = {
        tag: b"XYZ \0\0\0\0" + _numbers(column)
        for tag, column in zip((b"rXYZ", b"gXYZ", b"bXYZ"), columns, strict=True)
    }
    tags |= {tag: curve(gamma) for tag in (b"rTRC", b"gTRC", b"bTRC")}
    return profile(b"mntr", b"RGB ", b"XYZ ", tags)


def ink_profile(lab: NDArray[np.float64]) -> bytes:
    """Four inks, each wholly there or not: 16 colours, shape (2, 2, 2, 2, 3) (lut8Type, 6.5.10)."""
    ramp = bytes(range(256))
    coded = lab * [2.55, 1, 1] + [0, 128, 128]
    lut = b"mft1\0\0\0\0" + bytes([4, 3, 2, 0]) + _numbers(np.eye(3))
    lut += 4 * ramp + np.rint(coded).astype(np.uint8).tobytes() + 3 * ramp
    return profile(b"prtr", b"CMYK", b"Lab ", {b"A2B0": lut})


def lab_to_srgb(lab: NDArray[np.float64]) -> Matrix:
    """CIE 15:2004, 8.2.1, backwards, white D50; then as ``expected``."""
    f = (lab[0] + 16) / 116 + np.array([lab[1] / 500, 0, -lab[2] / 200])
    at_d50 = D50 * np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))
    return srgb_level(np.linalg.solve(to_d50(to_xyz(SRGB)), at_d50))


def squares(colours: list[Colour]) -> NDArray[np.uint8]:
    """Squares of 20 px side by side."""
    return np.repeat(np.array(colours, np.uint8)[None], 20, axis=1).repeat(20, axis=0)


def read(path: Path) -> tuple[list[list[int]], tuple[Finding, ...], Drawing]:
    """Colours from left to right, and findings."""
    drawing, findings = read_raster(path)
    assert drawing is not None, findings
    shapes = sorted(drawing.shapes, key=lambda shape: shape.area.bounds)
    colours = [[int(s.colour[i : i + 2], 16) for i in (1, 3, 5)] for s in shapes]
    return colours, findings, drawing


WITHIN = [(200, 120, 90), (60, 90, 140), (230, 225, 210), (128, 128, 128), (20, 24, 40)]


@pytest.mark.parametrize("name", ["wide.png", "wide.tif", "wide.webp", "wide.jpg"])
@pytest.mark.parametrize(("primaries", "gamma"), [(ADOBE, ADOBE_GAMMA), (DISPLAY_P3, 0.0)])
def test_an_embedded_profile_is_followed(
    tmp_path: Path, name: str, primaries: tuple[tuple[float, float], ...], gamma: float
) -> None:
    settings: dict[str, object] = {"quality": 98, "subsampling": 0} if "jpg" in name else {}
    if name.endswith("webp"):
        settings = {"lossless": True}
    path = tmp_path / name
    image = Image.fromarray(squares(WITHIN))
    image.save(path, icc_profile=rgb_profile(primaries, gamma), **settings)  # type: ignore[arg-type]
    colours, findings, _ = read(path)
    assert findings == ()
    for found, own in zip(colours, WITHIN, strict=True):
        # JPEG itself moves a level by one or two
        assert found == pytest.approx(
            expected(own, primaries, gamma), abs=3 if "jpg" in name else 1.01
        )
    assert colours[0] != list(WITHIN[0])


def test_the_published_matrix_of_display_p3() -> None:
    # CSS Color 4 (W3C), sample code lin_P3_to_XYZ; our matrix is worked out from the primaries.
    published = [
        [0.4865709486, 0.2656676932, 0.1982172852],
        [0.2289745641, 0.6917385218, 0.0792869141],
        [0.0000000000, 0.0451133819, 1.0439443689],
    ]
    assert to_xyz(DISPLAY_P3) == pytest.approx(np.array(published), abs=1e-9)


def test_colours_wider_than_srgb_are_a_finding(tmp_path: Path) -> None:
    path = tmp_path / "wide.png"
    image = Image.fromarray(squares([(255, 0, 0), (60, 90, 140), (0, 255, 0)]))
    image.save(path, icc_profile=rgb_profile(DISPLAY_P3, 0.0))
    colours, findings, _ = read(path)
    # P3's red is (1.0930, -0.2267, -0.1501) of sRGB (CSS Color 4): cut off, (255, 0, 0).
    assert colours[0] == pytest.approx([255, 0, 0], abs=1)
    (finding,) = findings
    assert finding.code == "artwork.wide_colour"
    assert finding.severity is Severity.NOTE
    assert "2 of its colours" in finding.message


def test_grey_with_a_profile_of_its_own(tmp_path: Path) -> None:
    # Light = level ** 1.8; level 128: 0.2891 of white; sRGB 146.4 (IEC 61966-2-1, 5.3).
    path = tmp_path / "grey.png"
    levels = squares([(0,), (128,), (255,)])[..., 0]
    grey = profile(b"mntr", b"GRAY", b"XYZ ", {b"kTRC": curve(1.8)})
    Image.fromarray(levels).save(path, icc_profile=grey)
    colours, findings, _ = read(path)
    assert findings == ()
    assert colours[1] == pytest.approx(3 * [146.4], abs=1.01)


def test_printing_inks_by_their_profile(tmp_path: Path) -> None:
    # A press that never was: paper white, its inks and overprints; all with black ink are black.
    lab = np.zeros((2, 2, 2, 2, 3))
    lab[0, 0, 0, 0] = (100, 0, 0)
    lab[1, 0, 0, 0] = (60, -20, -30)
    lab[0, 1, 0, 0] = (50, 50, -5)
    lab[0, 0, 1, 0] = (88, -4, 70)
    lab[1, 1, 0, 0] = (30, 15, -35)
    lab[0, 1, 1, 0] = (50, 50, 35)
    lab[1, 0, 1, 0] = (55, -40, 25)
    lab[1, 1, 1, 0] = (20, 2, 1)
    inks = [(0, 0, 0, 0), (255, 0, 0, 0), (0, 255, 0, 0), (0, 0, 255, 0), (255, 255, 0, 0),
            (0, 255, 255, 0), (255, 0, 255, 0), (0, 0, 0, 255)]  # fmt: skip
    path = tmp_path / "inks.tif"
    Image.fromarray(squares(inks), "CMYK").save(path, icc_profile=ink_profile(lab))
    colours, findings, _ = read(path)
    assert findings == ()
    for found, own in zip(colours, inks, strict=True):
        place = tuple(int(ink > 0) for ink in own)
        # L* is coded in steps of 0.39, a* and b* in steps of 1: some 2 levels of sRGB
        assert found == pytest.approx(lab_to_srgb(lab[place]), abs=3)


@pytest.mark.parametrize(
    ("embedded", "said"),
    [
        (b"no profile at all" * 20, "cannot be used"),
        (profile(b"mntr", b"CMYK", b"XYZ ", {}), "for CMYK"),
    ],
)
def test_a_profile_that_cannot_be_used_is_a_finding(
    tmp_path: Path, embedded: bytes, said: str
) -> None:
    path = tmp_path / "odd.png"
    Image.fromarray(squares(WITHIN)).save(path, icc_profile=embedded)
    colours, findings, _ = read(path)
    (finding,) = findings
    assert finding.code == "artwork.colour_profile"
    assert finding.severity is Severity.WARN
    assert said in finding.message
    assert colours == [list(colour) for colour in WITHIN]


@pytest.mark.parametrize("opacity", [False, True])
def test_sixteen_bits_of_colour(tmp_path: Path, opacity: bool) -> None:
    # Pillow writes no such file: one of ISO/IEC 15948, 8-bit levels times 257.
    import zlib

    def chunk(kind: bytes, body: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + body))
        return struct.pack(">I", len(body)) + kind + body + check

    wide = squares(WITHIN).astype(np.uint16) * 257
    if opacity:
        wide = np.concatenate([wide, np.full((*wide.shape[:2], 1), 65_535, np.uint16)], axis=2)
    rows = b"".join(b"\0" + row.astype(">u2").tobytes() for row in wide)
    head = struct.pack(">IIBBBBB", wide.shape[1], 20, 16, 6 if opacity else 2, 0, 0, 0)
    icc = b"test\0\0" + zlib.compress(rgb_profile(DISPLAY_P3, 0.0))
    path = tmp_path / "wide.png"
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"iCCP", icc)
        + chunk(b"IDAT", zlib.compress(rows))
        + chunk(b"IEND", b"")
    )
    colours, findings, drawing = read(path)
    assert findings == ()
    assert [s.opacity for s in drawing.shapes] == 5 * [1.0]
    for found, own in zip(colours, WITHIN, strict=True):
        assert found == pytest.approx(expected(own, DISPLAY_P3, 0.0), abs=1.01)


def test_a_profile_and_transparency_and_a_palette_together(tmp_path: Path) -> None:
    image = Image.fromarray(squares(WITHIN)).convert("P", palette=Image.Palette.ADAPTIVE)
    image.info["transparency"] = image.getpixel((50, 10))  # the third square
    path = tmp_path / "indexed.png"
    image.save(
        path, icc_profile=rgb_profile(DISPLAY_P3, 0.0), transparency=image.info["transparency"]
    )
    colours, findings, _ = read(path)
    assert findings == ()
    own = [colour for at, colour in enumerate(WITHIN) if at != 2]
    for found, one in zip(colours, own, strict=True):
        assert found == pytest.approx(expected(one, DISPLAY_P3, 0.0), abs=1.01)
