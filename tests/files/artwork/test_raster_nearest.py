"""Pictures that are not flat, by decision: each pixel in the paint that looks nearest."""

from __future__ import annotations

import struct

import numpy as np
import pytest
from PIL import Image

from giornata.core import artwork
from giornata.core.foundation import ArtworkError
from giornata.files.artwork import read_artwork


def saved(tmp_path, levels, name="smooth.png", mode=None):
    path = tmp_path / name
    Image.fromarray(np.asarray(levels, dtype=np.uint8), mode=mode).save(path)
    return path


def ramp(height=64):
    """Grey from 0 to 255, one level to a column."""
    return np.repeat(np.tile(np.arange(256)[None, :, None], (height, 1, 1)), 3, axis=2)


def test_a_grey_ramp_is_cut_at_lightness_fifty(tmp_path):
    path = saved(tmp_path, ramp())
    flat, said = read_artwork(path)
    assert (flat, said[0].code) == (None, "artwork.not_flat")
    assert 'becomes = "nearest"' in said[0].remedy
    drawing, findings = read_artwork(path, nearest=("#ffffff", "#000000"))
    # L* = 50 is level 0.46633 x 255 = 118.9 (CIE 15:2004, eq. 8.3; IEC 61966-2-1): columns 0 to
    # 118 are black, 119 x 64 pixels, the rest white.
    assert artwork.flattened(drawing).areas() == {"#000000": 119 * 64, "#ffffff": 137 * 64}
    assert [one.code for one in findings] == ["artwork.decided"]
    assert "2 regions of #ffffff, #000000" in findings[0].message


def test_what_is_transparent_is_seen_on_white(tmp_path):
    # Black from clear to opaque: level 255 - alpha over white, so black where 255 - a < 118.9,
    # from a = 137 on: 119 columns of 64.
    levels = np.zeros((64, 256, 4), dtype=np.uint8)
    levels[..., 3] = np.arange(256)
    drawing, _ = read_artwork(saved(tmp_path, levels), nearest=("#ffffff", "#000000"))
    assert artwork.flattened(drawing).areas()["#000000"] == pytest.approx(119 * 64)


def test_only_paints_that_are_nearest_somewhere_take_part(tmp_path):
    hues = ("#ffffff", "#00ff00", "#000000")
    drawing, _ = read_artwork(saved(tmp_path, ramp()), nearest=hues)
    assert set(artwork.flattened(drawing).areas()) == {"#ffffff", "#000000"}


def test_a_picture_of_several_pages_is_refused(tmp_path):
    path = tmp_path / "pages.tif"
    pages = [Image.fromarray(ramp().astype(np.uint8)) for _ in range(2)]
    pages[0].save(path, save_all=True, append_images=pages[1:])
    with pytest.raises(ArtworkError, match="2 pages"):
        read_artwork(path, nearest=("#ffffff", "#000000"))


def psd(levels, *, merged_held=True):
    """A file without layers: its merged picture stored as it is (raw, one plane after another)."""
    height, width, planes = np.shape(levels)
    told = struct.pack(">IB", 1, merged_held) + struct.pack(">I", 0) * 2 + struct.pack(">I", 1)
    version = b"8BIM" + struct.pack(">HHI", 1057, 0, len(told)) + told + bytes(len(told) % 2)
    head = b"8BPS" + struct.pack(">H6xHIIHH", 1, planes, height, width, 8, 3)
    data = np.moveaxis(np.asarray(levels, dtype=np.uint8), 2, 0).tobytes()
    sections = struct.pack(">I", 0) + struct.pack(">I", len(version)) + version
    return head + sections + struct.pack(">IH", 0, 0) + data


def test_of_a_file_of_layers_the_merged_picture_is_taken(tmp_path):
    path = tmp_path / "layers.psd"
    path.write_bytes(psd(ramp()))
    drawing, findings = read_artwork(path, nearest=("#ffffff", "#000000"))
    # as for the grey ramp above
    assert artwork.flattened(drawing).areas() == {"#000000": 119 * 64, "#ffffff": 137 * 64}
    assert [one.code for one in findings] == ["artwork.more_pictures", "artwork.decided"]


def test_a_file_of_layers_without_their_merged_picture_is_refused(tmp_path):
    path = tmp_path / "layers.psd"
    path.write_bytes(psd(ramp(), merged_held=False))
    with pytest.raises(ArtworkError, match="holds its layers only"):
        read_artwork(path, nearest=("#ffffff", "#000000"))
