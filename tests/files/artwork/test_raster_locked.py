"""Locked paints from the job file to the drawing: kept, named as written, found in thin lines."""

from __future__ import annotations

import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from giornata.core.foundation import Severity
from giornata.desk import opening
from giornata.files.artwork.raster import read_raster

EXAMPLE = Path(__file__).parents[3] / "examples" / "port-merrow"


def lines() -> np.ndarray:
    """Grey lines two pixels wide on white, and a black square: grey is a mixture of the two."""
    picture = np.full((120, 200, 3), 255, np.uint8)
    picture[20:60, 20:60] = 0
    picture[20:60, 19] = picture[20:60, 60] = 90  # antialiased
    picture[80:110:10, 10:190] = picture[81:111:10, 10:190] = 128
    return picture


def areas(path: Path, *locked: str) -> dict[str, float]:
    drawing, _ = read_raster(path, locked=locked)
    assert drawing is not None
    found: dict[str, float] = {}
    for shape in drawing.shapes:
        found[shape.colour] = found.get(shape.colour, 0.0) + shape.area.area
    return found


@pytest.mark.parametrize("opacity", [False, True])
@pytest.mark.parametrize("profile", [False, True])
def test_thin_lines_in_a_locked_colour(tmp_path: Path, opacity: bool, profile: bool) -> None:
    path = tmp_path / "lines.png"
    picture = lines()
    if opacity:
        clear = np.full((120, 200, 1), 255, np.uint8)
        clear[:3, :3] = 0
        picture = np.concatenate([picture, clear], axis=2)
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    Image.fromarray(picture).save(path, icc_profile=srgb if profile else None)
    assert "#808080" not in areas(path)
    assert areas(path, "#808080")["#808080"] == pytest.approx(3 * 2 * 180, rel=0.02)
    # A level off what the picture has: its paint keeps the colour as it was written down.
    assert areas(path, "#818080")["#818080"] == pytest.approx(3 * 2 * 180, rel=0.02)


def test_grey_pictures_know_grey_locks_only(tmp_path: Path) -> None:
    path = tmp_path / "grey.png"
    Image.fromarray(lines()[..., 0]).save(path)
    assert areas(path, "#808080")["#808080"] == pytest.approx(1_080, rel=0.02)
    drawing, findings = read_raster(path, locked=("#be1e28",))
    assert drawing is not None
    finding = next(f for f in findings if f.code == "artwork.locked_colour")
    assert finding.severity is Severity.WARN
    assert "#be1e28" in finding.message


def test_the_job_file_locks_paints(tmp_path: Path) -> None:
    folder = tmp_path / "job"
    shutil.copytree(EXAMPLE, folder)
    job = folder / "job.toml"
    text = job.read_text(encoding="utf-8")
    name = next(p.name for p in (folder / "artwork").iterdir())
    Image.fromarray(lines()).save(folder / "artwork" / "lines.png")
    text = text.replace(f'"artwork/{name}"', '"artwork/lines.png"')
    text = text.replace('"#cfdad6"', '"#ffffff"').replace('"#86b3b4"', '"#808080"')
    job.write_text(text, encoding="utf-8")
    memo: dict = {}
    free = opening.open_job(folder, memo=memo)
    assert "#808080" not in {s.colour for s in free.inputs.drawing.shapes}
    job.write_text(text.replace('["#808080"]', '["#808080"]\nlocked = true'), encoding="utf-8")
    held = opening.open_job(folder, memo=memo)  # read anew, though the artwork is the same
    assert "#808080" in {s.colour for s in held.inputs.drawing.shapes}
