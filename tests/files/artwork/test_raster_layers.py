"""Layered and paged files: layers of PSD, pages of TIFF, and HEIC pictures.

PSD files are written here by the published specification (Adobe Photoshop File Formats
Specification, November 2019: header, image resources, layer records, additional layer
information), so that what is in each layer is known by construction. The HEIC files in ``heic``
were made once from ``drawn`` by pillow-heif 1.8.1 (libheif, x265), ``flat`` and ``turned-p3``
without loss; the latter with Exif orientation 6 and a profile of Display P3.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray
from PIL import Image

from giornata.core import artwork
from giornata.core.artwork import Drawing
from giornata.core.foundation import ArtworkError, Finding, Severity
from giornata.files.artwork import read_artwork
from giornata.files.artwork.raster import read_raster

HEIC = Path(__file__).parent / "heic"
PALE, INK, RED = "#f0ebe1", "#141828", "#be1e28"
WIDTH, HEIGHT = 60, 40


def rgb(colour: str) -> list[int]:
    return [int(colour[i : i + 2], 16) for i in (1, 3, 5)]


@dataclass
class Part:
    """A layer of one colour, or the beginning or end of a group."""

    name: str
    box: tuple[int, int, int, int] = (0, 0, 0, 0)  # left, top, right, bottom
    colour: str = PALE
    shown: bool = True
    opacity: int = 255
    blend: bytes = b"norm"
    clipped: bool = False
    divider: int = 0  # 1 open group, 3 its bounding divider below
    mask: tuple[int, int, int, int] | None = None  # shows within this box only
    mask_tail: bytes = bytes(4)  # ground, flags, and parameters or padding
    ranges: bytes = b""  # of blending
    extra: dict[bytes, bytes] = field(default_factory=dict)

    def channels(self) -> list[tuple[int, bytes]]:
        left, top, right, bottom = self.box
        count = (right - left) * (bottom - top)
        levels = [] if self.divider else [255, *rgb(self.colour)]
        found = [(at - 1, bytes([v]) * count) for at, v in enumerate(levels)]
        if self.mask:
            left, top, right, bottom = self.mask
            found.append((-2, b"\xff" * ((right - left) * (bottom - top))))
        return [(number, struct.pack(">H", 0) + data) for number, data in found]

    def record(self) -> bytes:
        left, top, right, bottom = self.box
        channels = self.channels()
        head = struct.pack(">4iH", top, left, bottom, right, len(channels))
        head += b"".join(struct.pack(">hI", number, len(data)) for number, data in channels)
        flags = 0 if self.shown else 2
        head += b"8BIM" + self.blend + bytes([self.opacity, self.clipped, flags, 0])
        mask = b""
        if self.mask:
            left, top, right, bottom = self.mask
            mask = struct.pack(">4i", top, left, bottom, right) + self.mask_tail
        name = bytes([len(self.name)]) + self.name.encode("latin-1")
        name += bytes(-len(name) % 4)
        more = dict(self.extra)
        if self.divider:
            more[b"lsct"] = struct.pack(">I", self.divider) + b"8BIM" + self.blend
        tags = b"".join(
            b"8BIM" + key + struct.pack(">I", len(data)) + data for key, data in more.items()
        )
        ranges = struct.pack(">I", len(self.ranges)) + self.ranges
        body = struct.pack(">I", len(mask)) + mask + ranges + name + tags
        return head + struct.pack(">I", len(body)) + body


def psd(
    parts: list[Part],
    *,
    mode: int = 3,
    merged: str = PALE,
    large: bool = False,
    more: tuple[int, ...] = (),
    resources: bytes = b"",
) -> bytes:
    """A file of layers, bottom first; its merged picture, and more channels, are of one level."""
    pack = ">Q" if large else ">I"
    planes = [*{3: rgb(merged), 4: [0, 255, 255, 255]}[mode], *more]
    out = b"8BPS" + struct.pack(">H", 1) + bytes(6)
    out += struct.pack(">HIIHH", len(planes), HEIGHT, WIDTH, 8, mode)
    out += struct.pack(">I", 0) + struct.pack(">I", len(resources)) + resources
    layers = b"".join(part.record() for part in parts)
    data = b"".join(data for part in parts for _, data in part.channels())
    info = struct.pack(">h", len(parts)) + layers + data
    info += bytes(len(info) % 2)
    section = struct.pack(pack, len(info)) + info + struct.pack(">I", 0) if parts else b""
    out += struct.pack(pack, len(section)) + section
    return out + struct.pack(">H", 0) + b"".join(bytes([v]) * WIDTH * HEIGHT for v in planes)


def written(folder: Path, content: bytes, name: str = "wall.psd") -> Path:
    path = folder / name
    path.write_bytes(content)
    return path


def read(path: Path) -> tuple[Drawing, tuple[Finding, ...]]:
    drawing, findings = read_artwork(path)
    assert drawing is not None, findings
    return drawing, findings


def areas(drawing: Drawing, **shown: tuple[str, ...]) -> dict[str, float]:
    return artwork.flattened(drawing, **shown).areas()


GROUND = Part("ground", (0, 0, WIDTH, HEIGHT))
BOAT = [
    Part("</Layer group>", divider=3),
    Part("hull", (10, 10, 30, 30), INK),
    Part("sail", (20, 5, 40, 15), RED),
    Part("boat", divider=1),
]


def test_layers_are_groups_that_options_show_and_hide(tmp_path: Path) -> None:
    gull = Part("gull", (50, 30, 56, 36), INK, shown=False)
    drawing, findings = read(written(tmp_path, psd([GROUND, *BOAT, gull])))
    assert findings == ()
    assert (drawing.width, drawing.height) == (WIDTH, HEIGHT)
    assert set(drawing.groups) == {"ground", "boat", "hull", "sail", "gull"}
    assert drawing.hidden == ("gull",)
    assert {s.group for s in drawing.shapes} == {"ground", "boat/hull", "boat/sail", "gull"}
    # The sail, 20 × 10, lies over 10 × 5 of the hull, 20 × 20.
    assert areas(drawing) == {PALE: 2400 - 350 - 200, INK: 350, RED: 200}
    assert areas(drawing, hide=("sail",)) == {PALE: 2000, INK: 400}
    assert areas(drawing, hide=("boat",)) == {PALE: 2400}
    assert areas(drawing, show=("gull",))[INK] == 350 + 36


def test_a_hidden_group_hides_what_is_in_it(tmp_path: Path) -> None:
    parts = [GROUND, *BOAT[:-1], Part("boat", divider=1, shown=False)]
    drawing, _ = read(written(tmp_path, psd(parts)))
    assert drawing.hidden == ("boat",)
    assert areas(drawing) == {PALE: 2400}
    assert areas(drawing, show=("boat",))[RED] == 200


def test_layers_beyond_the_canvas_are_cut_to_it(tmp_path: Path) -> None:
    out = Part("out", (50, 30, 80, 70), RED)
    away = Part("away", (100, 0, 120, 20), INK)
    drawing, findings = read(written(tmp_path, psd([GROUND, out, away])))
    assert findings == ()
    assert areas(drawing)[RED] == 100
    assert INK not in areas(drawing)
    assert shapely.union_all([s.area for s in drawing.shapes]).bounds == (0, 0, WIDTH, HEIGHT)


def test_masks_and_clipped_layers_show_only_so_far(tmp_path: Path) -> None:
    masked = Part("masked", (0, 0, 20, 20), RED, mask=(5, 5, 10, 12))
    base = Part("base", (30, 10, 50, 30), INK)
    clipped = Part("clipped", (40, 0, 60, 40), RED, clipped=True)
    drawing, findings = read(written(tmp_path, psd([GROUND, masked, base, clipped])))
    assert findings == ()
    found = areas(drawing)
    assert found[RED] == 5 * 7 + 10 * 20
    assert found[INK] == 10 * 20


def test_opacity_of_layers_and_groups(tmp_path: Path) -> None:
    ground = Part("ground", (0, 0, WIDTH, HEIGHT), "#ffffff")
    half = Part("half", (0, 0, 10, 10), "#000000", opacity=51)
    inner = [
        Part("</Layer group>", divider=3),
        Part("black", (20, 0, 30, 10), "#000000"),
        Part("veil", divider=1, opacity=102),
    ]
    drawing, _ = read(written(tmp_path, psd([ground, half, *inner])))
    # Black at 51 ÷ 255 = 0.2 over white: 204; at 102 ÷ 255 = 0.4: 153.
    assert areas(drawing) == {"#ffffff": 2200, "#cccccc": 100, "#999999": 100}


def test_names_are_told_apart_and_hold_no_stroke(tmp_path: Path) -> None:
    parts = [Part(name, (at, 0, at + 5, 5), INK) for at, name in ((0, "a/b"), (9, "a-b"), (20, ""))]
    drawing, _ = read(written(tmp_path, psd(parts)))
    assert drawing.groups == ("a-b", "a-b (2)", "layer")
    assert areas(drawing, hide=("a-b (2)",))[INK] == 50


@pytest.mark.parametrize(
    ("part", "code"),
    [
        (Part("dim", (0, 0, 9, 9), INK, blend=b"mul "), "artwork.blend"),
        (Part("levels", extra={b"levl": bytes(632)}), "artwork.layer"),
    ],
)
def test_what_is_not_read_of_a_layer_is_a_finding(tmp_path: Path, part: Part, code: str) -> None:
    _, findings = read(written(tmp_path, psd([GROUND, part])))
    (finding,) = findings
    assert finding.code == code
    assert finding.severity is Severity.STOP
    assert part.name in finding.subject
    part.shown = False
    _, findings = read(written(tmp_path, psd([GROUND, part])))
    assert [f.severity for f in findings] == [Severity.WARN]
    part.shown = True


def test_a_file_without_layers_has_its_merged_picture(tmp_path: Path) -> None:
    drawing, findings = read(written(tmp_path, psd([], merged=RED)))
    assert findings == ()
    assert areas(drawing) == {RED: 2400}
    assert drawing.groups == ()


def test_layers_in_inks_are_read_as_their_merged_picture(tmp_path: Path) -> None:
    drawing, findings = read(written(tmp_path, psd([GROUND, GROUND], mode=4)))
    # Levels are stored upside down: 0 is all of an ink, here cyan.
    assert [f.code for f in findings] == ["artwork.more_pictures", "artwork.colour_profile"]
    assert findings[0].severity is Severity.NOTE
    assert areas(drawing) == {"#00ffff": 2400}


def test_too_many_pixels_in_all_layers_are_refused(tmp_path: Path) -> None:
    path = written(tmp_path, psd([GROUND, GROUND, GROUND]))
    assert read_raster(path, pixel_limit=3 * 2400)[0] is not None
    with pytest.raises(ArtworkError, match="million pixels in its layers"):
        read_raster(path, pixel_limit=3 * 2400 - 1)


@pytest.mark.parametrize("length", [5, 20, 26, 60, 300, 3_000])
def test_a_damaged_file_is_an_error_with_a_remedy(tmp_path: Path, length: int) -> None:
    whole = psd([GROUND, *BOAT])
    path = written(tmp_path, whole[:length])
    with pytest.raises(ArtworkError, match=r"wall\.psd") as caught:
        read_raster(path)
    assert caught.value.remedy


def drawn() -> NDArray[np.uint8]:
    picture = np.full((96, 128, 3), rgb(PALE), np.uint8)
    picture[16:64, 16:64] = rgb(INK)
    picture[32:80, 80:112] = rgb(RED)
    return picture


def test_pages_of_one_size_are_groups(tmp_path: Path) -> None:
    pages = [Image.fromarray(np.roll(drawn(), at, axis=1)) for at in (0, 10)]
    third = np.full((96, 128, 3), rgb(RED), np.uint8)
    path = tmp_path / "pages.tif"
    pages[0].save(path, save_all=True, append_images=[pages[1], Image.fromarray(third)])
    drawing, findings = read(path)
    (finding,) = findings
    assert finding.code == "artwork.more_pictures"
    assert finding.severity is Severity.NOTE
    assert "page 2, page 3" in finding.message
    assert drawing.groups == ("page 1", "page 2", "page 3")
    assert drawing.hidden == ("page 2", "page 3")
    true = {PALE: 96 * 128 - 2304 - 1536, INK: 2304, RED: 1536}
    assert areas(drawing) == true
    assert areas(drawing, show=("page 2",), hide=("page 1",)) == true
    assert areas(drawing, show=("page 3",), hide=("page 1",)) == {RED: 96 * 128}


def test_a_heic_picture_without_loss() -> None:
    drawing, findings = read(HEIC / "flat.heic")
    assert findings == ()
    found = areas(drawing)
    # HEVC codes YCbCr: a level may move by one or two
    for colour, area in ((PALE, 96 * 128 - 2304 - 1536), (INK, 2304), (RED, 1536)):
        (near,) = [c for c in found if np.abs(np.subtract(rgb(c), rgb(colour))).max() <= 2]
        assert found[near] == area


def test_a_heic_picture_is_turned_and_its_profile_followed() -> None:
    drawing, findings = read(HEIC / "turned-p3.heic")
    assert findings == ()
    assert (drawing.width, drawing.height) == (96, 128)  # a quarter turn to the right
    red = min(drawing.shapes, key=lambda s: abs(s.area.area - 1536))
    # Columns 80 to 112, rows 32 to 80 of 96: turned, columns 96 - 80 to 96 - 32, rows 80 to 112.
    assert red.area.bounds == pytest.approx((16, 80, 64, 112), abs=0.01)
    # (190, 30, 40) of Display P3 is (208, 0, 29) of sRGB by the matrices of the two standards.
    assert rgb(red.colour) == pytest.approx([208, 0, 29], abs=4)


def test_a_lossy_heic_picture_has_no_false_paint() -> None:
    drawing, _ = read(HEIC / "lossy.heic")
    found = areas(drawing)
    assert len(found) == 3
    assert sorted(found.values()) == pytest.approx([1536, 2304, 96 * 128 - 2304 - 1536], rel=0.01)
