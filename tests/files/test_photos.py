"""Photos as files: upright whatever the camera wrote, broken and huge ones refused in words."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from giornata.core.foundation import PhotoError
from giornata.files import photos
from giornata.files.photos import photo_facts, photo_pixels, shown_jpeg


@pytest.mark.parametrize("turned", [1, 6, 8])
def test_pixels_are_those_of_the_upright_picture(made_photo, tmp_path, turned):
    """Exif 2.3, tag 0x0112: 6 and 8 are stored turned by a quarter; shown, all are one picture."""
    path = made_photo.save(tmp_path / "wall.jpg", turned=turned, focal_35=26)
    facts = photo_facts(path)
    assert (facts.width, facts.height) == (1600, 1200)
    assert facts.focal_35 == pytest.approx(0.026)
    pixels = photo_pixels(path)
    assert pixels.shape == (1200, 1600, 3)
    # JPEG at quality 92 keeps a flat shade to a few levels.
    assert np.abs(pixels.astype(int) - made_photo.pixels).mean() < 3


def test_a_photo_for_the_screen_is_upright_smaller_and_says_nothing_of_the_phone(
    made_photo, tmp_path
):
    path = made_photo.save(tmp_path / "wall.jpg", turned=6, focal_35=26)
    with Image.open(io.BytesIO(shown_jpeg(path, 800))) as shown:
        assert shown.size == (800, 600)
        assert dict(shown.getexif()) == {}


def test_a_png_has_no_lens(made_photo, tmp_path):
    path = tmp_path / "wall.png"
    Image.fromarray(made_photo.pixels).save(path)
    assert photo_facts(path).focal_35 is None
    assert (photo_pixels(path) == made_photo.pixels).all()


def test_a_heic_picture_is_read():
    """The same file that artwork is tested with; pi-heif decodes it, turned as it says."""
    path = Path(__file__).parent / "artwork/heic/lossy.heic"
    facts = photo_facts(path)
    pixels = photo_pixels(path)
    assert pixels.shape == (facts.height, facts.width, 3)
    assert np.ptp(pixels) > 50


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"GIF89a" + bytes(40), "neither JPEG, PNG nor HEIC"),
        (b"\x89PNG\r\n\x1a\n" + bytes(60), "cannot be read as a photo"),
        (b"\xff\xd8\xff\xe0" + bytes(60), "cannot be read as a photo"),
    ],
)
def test_broken_files_are_refused_in_words(tmp_path, content, said):
    path = tmp_path / "wall.jpg"
    path.write_bytes(content)
    with pytest.raises(PhotoError, match=said):
        photo_facts(path)


def test_a_photo_cut_short_is_refused_when_its_pixels_are_wanted(made_photo, tmp_path):
    path = made_photo.save(tmp_path / "wall.jpg")
    path.write_bytes(path.read_bytes()[:20_000])
    with pytest.raises(PhotoError, match="truncated"):
        photo_pixels(path)


def test_a_photo_that_is_not_there(tmp_path):
    with pytest.raises(PhotoError, match="no such photo"):
        photo_facts(tmp_path / "wall.jpg")


def test_a_huge_photo_is_refused_before_it_is_decoded(made_photo, tmp_path, monkeypatch):
    path = made_photo.save(tmp_path / "wall.jpg")
    monkeypatch.setattr(photos, "PHOTO_LIMIT", 1_000_000)
    with pytest.raises(PhotoError, match="1600 × 1200 pixels"):
        photo_facts(path)
    monkeypatch.setattr(photos, "_LARGEST", 1000)
    with pytest.raises(PhotoError, match="MB; the limit"):
        photo_facts(path)
