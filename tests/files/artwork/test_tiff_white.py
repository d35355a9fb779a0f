"""Grey TIFF that counts from white (TIFF 6.0, section 8: PhotometricInterpretation 0)."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest

from giornata.core import artwork
from giornata.files.artwork import read_artwork


def tiff(levels: np.ndarray, photometric: int) -> bytes:
    """An uncompressed grey picture of one strip."""
    height, width = levels.shape
    data, bits = levels.tobytes(), 8 * levels.itemsize
    start = 8 + 2 + 9 * 12 + 4
    values = {256: width, 257: height, 258: bits, 259: 1, 262: photometric, 273: start, 277: 1}
    values |= {278: height, 279: len(data)}
    entries = b"".join(struct.pack("<HHII", tag, 4, 1, value) for tag, value in values.items())
    return b"II*\0" + struct.pack("<IH", 8, len(values)) + entries + bytes(4) + data


@pytest.mark.parametrize("sort", ["u1", "<u2"])
@pytest.mark.parametrize(("photometric", "shown"), [(0, "#ffffff"), (1, "#000000")])
def test_what_nought_stands_for(sort: str, photometric: int, shown: str, tmp_path: Path) -> None:
    levels = np.zeros((40, 60), dtype=sort)
    levels[:, 50:] = np.iinfo(levels.dtype).max
    path = tmp_path / "wall.tif"
    path.write_bytes(tiff(levels, photometric))
    drawing, findings = read_artwork(path)
    assert drawing is not None, findings
    assert artwork.flattened(drawing).areas()[shown] == pytest.approx(50 * 40)
