"""Drawings made by others, forced into bays, against the same drawings in one piece.

Their outlines are doubled and their shapes abut with hairlines between them, many of which cross a
bay line. These two differed by 1.2e-5 to 6e-5 of all edges as long as slivers were judged bay by
bay, and stretches of outline under later shapes were left out bay by bay.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely

from giornata.core import artwork
from giornata.core.artwork import FlatArtwork, in_bays, regions
from giornata.files.artwork import read_artwork

CLIPART = Path("/usr/share/openclipart/svg")
EDGE = 1e-6  # of all edges, and of the canvas


def quantities(flat: FlatArtwork) -> tuple[np.ndarray, float]:
    """Edge by pair of colours as a share of all, area as a share of the canvas; and its sum."""
    cover, count = flat.coverage, len(flat.colours) + 1
    length = shapely.length(cover.edges)
    pair = np.bincount((cover.left + 1) * count + cover.right + 1, length, count * count)
    area = np.bincount(cover.labels, shapely.area(cover.faces), count)
    canvas = flat.width * flat.height
    return np.concatenate([pair / length.sum(), area / canvas]), float(area.sum() / canvas)


@pytest.mark.parametrize(
    "name",
    [
        "animals/dinosaurs/dino_architetto_francesc_04.svg",
        "food/meats_and_eggs/egg_mateya_01.svg",
    ],
)
def test_in_bays_as_in_one_piece(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    path = CLIPART / name
    if not path.is_file():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    drawing, _ = read_artwork(path)
    assert drawing is not None
    one = artwork.flattened(drawing)
    monkeypatch.setattr(regions, "ONE_PIECE", replace(regions.ONE_PIECE, value=0.0))
    monkeypatch.setattr(in_bays, "BAY_VERTICES", replace(in_bays.BAY_VERTICES, value=3000.0))
    bays = artwork.flattened(drawing)
    (own, _), (other, total) = quantities(one), quantities(bays)
    assert one.colours == bays.colours
    assert np.abs(own - other).max() < EDGE
    assert total == pytest.approx(1.0, rel=1e-9)
