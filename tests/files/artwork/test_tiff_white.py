"""Grey TIFF that counts from white, or is twelve bits deep.

TIFF 6.0, section 8 (PhotometricInterpretation 0 counts from white; BitsPerSample) and section 4
(rows begin at a whole byte).
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest

from giornata.core import artwork
from giornata.core.foundation import ArtworkError
from giornata.files.artwork import read_artwork


def packed(levels: np.ndarray) -> bytes:
    """Two levels of twelve bits in three bytes, the first's high bits first."""
    rows = ["".join(f"{level:012b}" for level in row) for row in levels.tolist()]
    return b"".join(
        int(row.ljust(-len(row) // 8 * -8, "0"), 2).to_bytes(-(-len(row) // 8)) for row in rows
    )


def tiff(levels: np.ndarray, photometric: int, bits: int = 0) -> bytes:
    """An uncompressed grey picture of one strip."""
    height, width = levels.shape
    data = packed(levels) if bits == 12 else levels.tobytes()
    bits = bits or 8 * levels.itemsize
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


def test_twelve_bits_reach_from_black_to_white(tmp_path: Path) -> None:
    # 4095 is white; 2056 of it is 2056 x 255 / 4095 = 128.03 of 255, in hexadecimal 80.
    levels = np.zeros((40, 61), dtype="<u2")
    levels[:, 20:40], levels[:, 40:] = 2_056, 4_095
    path = tmp_path / "wall.tif"
    path.write_bytes(tiff(levels, 1, bits=12))
    drawing, findings = read_artwork(path)
    assert drawing is not None, findings
    found = artwork.flattened(drawing).areas()
    assert found == {
        "#000000": pytest.approx(800),
        "#808080": pytest.approx(800),
        "#ffffff": pytest.approx(840),
    }


def test_twelve_bits_from_white_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "wall.tif"
    path.write_bytes(tiff(np.zeros((40, 60), dtype="<u2"), 0, bits=12))
    with pytest.raises(ArtworkError, match=r"wall\.tif cannot be read as a picture") as caught:
        read_artwork(path)
    assert "PNG" in caught.value.remedy
