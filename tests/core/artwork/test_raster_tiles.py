"""A picture read in tiles comes out as in one piece: no cut lines, the same areas."""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from giornata.core import artwork
from giornata.core.artwork.raster_rows import as_rows, tiles

# Round, slanting and thin shapes, and lines too thin for a pixel of their own.
BUSY = """<svg xmlns="http://www.w3.org/2000/svg" width="520" height="390">
<rect width="520" height="390" fill="#f0ebe1"/>
<circle cx="130.3" cy="120.6" r="90" fill="#1e3d59"/>
<circle cx="150.8" cy="130.2" r="50" fill="#be1e28"/>
<rect x="260.4" y="60.7" width="180" height="120" fill="#17a398" transform="rotate(17 320 120)"/>
<path d="M10 380 L500 210.3" stroke="#be1e28" stroke-width="1.1"/>
<path d="M10 340 C200 200 300 440 510 260" stroke="#1e3d59" stroke-width="2.2" fill="none"/>
<circle cx="400" cy="310" r="1.1" fill="#1e3d59"/><circle cx="440" cy="340" r="0.6"/>
</svg>"""


def rendered(svg: str) -> NDArray[np.uint8]:
    data = bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))
    return np.asarray(Image.open(io.BytesIO(data)).convert("RGB"))


@pytest.mark.parametrize("form", ["PNG", "JPEG"])
def test_a_picture_in_tiles_comes_out_as_in_one_piece(form: str) -> None:
    # Known by construction: the cut into tiles is ours, the picture knows nothing of it.
    file = io.BytesIO()
    Image.fromarray(rendered(BUSY)).save(file, form, **({"quality": 80} if form == "JPEG" else {}))
    picture = np.asarray(Image.open(file))
    palette, _ = artwork.flat_palette(picture, name="test")
    assert palette is not None
    whole = artwork.traced(picture, palette, tile_pixels=10**9)
    for pixels in (900, 5_000, 40_000):
        tiled = artwork.traced(picture, palette, tile_pixels=pixels)
        for name in ("across", "down", "meetings"):
            one, many = getattr(whole.edges, name), getattr(tiled.edges, name)
            for field in one.__dataclass_fields__:
                assert np.array_equal(getattr(one, field), getattr(many, field)), (name, field)
        assert tiled.total.areas == pytest.approx(whole.total.areas, rel=1e-12)
        assert tiled.total.mixed == whole.total.mixed
        assert np.array_equal(tiled.total.unexplained, whole.total.unexplained)


def test_a_picture_that_is_held_comes_out_as_one_gone_through_in_strips() -> None:
    # Known by construction: how the picture is got at is ours, the picture is the same.
    picture = rendered(BUSY)
    palette, _ = artwork.flat_palette(picture, name="test")
    assert palette is not None
    strips = artwork.Rows(
        height=390, width=520, channels=3, strips=lambda: iter(np.split(picture, 6))
    )
    held = artwork.Rows(
        height=390,
        width=520,
        channels=3,
        strips=lambda: iter(()),
        held=lambda: lambda top, end, left, right: picture[top:end, left:right].copy(),
    )
    again, _ = artwork.flat_palette(held, name="test")
    assert again is not None
    assert np.array_equal(palette.levels, again.levels)
    assert np.array_equal(palette.pixels, again.pixels)
    one = artwork.traced(strips, palette, tile_pixels=5_000)
    two = artwork.traced(held, palette, tile_pixels=5_000)
    for name in ("across", "down", "meetings"):
        first, second = getattr(one.edges, name), getattr(two.edges, name)
        for field in first.__dataclass_fields__:
            assert np.array_equal(getattr(first, field), getattr(second, field)), (name, field)
    assert one.total.areas == pytest.approx(two.total.areas, rel=1e-12)


def test_more_edge_than_fits_is_refused() -> None:
    board = (np.indices((60, 60)).sum(axis=0) % 2 * 255).astype(np.uint8)[..., None]
    palette, _ = artwork.flat_palette(board, name="board")
    assert palette is not None
    # 59 × 60 sides each way between the squares, and 4 × 60 around.
    artwork.traced(board, palette, most_sides=2 * 59 * 60 + 240)
    with pytest.raises(artwork.TooFine, match="7319 pixel sides"):
        artwork.traced(board, palette, most_sides=2 * 59 * 60 + 239)


@pytest.mark.parametrize("shape", [(1, 1), (7, 90), (90, 7), (200, 300)])
@pytest.mark.parametrize("halo", [0, 3, 40])
def test_tiles_cover_the_picture_once(shape: tuple[int, int], halo: int) -> None:
    picture = np.arange(shape[0] * shape[1], dtype=np.uint32).view(np.uint8).reshape(*shape, 4)
    cuts = sorted({0, shape[0], *np.random.default_rng(3).integers(0, shape[0], 9).tolist()})
    rows = artwork.Rows(
        height=shape[0],
        width=shape[1],
        channels=4,
        strips=lambda: iter(np.split(picture, cuts[1:-1])),
    )
    seen = np.zeros(shape, int)
    for most in (1, 10**9):
        for tile in tiles(rows, halo=halo, pixels=1_000, most=most):
            seen[tile.top : tile.end, tile.left : tile.right] += 1
            high, low = tile.levels.shape[:2]
            part = picture[tile.row : tile.row + high, tile.column : tile.column + low]
            assert np.array_equal(tile.levels, part)
            assert tile.top - tile.row == min(halo, tile.top)
            assert tile.row + high - tile.end == min(halo, shape[0] - tile.end)
            assert np.array_equal(
                tile.levels[tile.middle], picture[tile.top : tile.end, tile.left : tile.right]
            )
    assert (seen == 2).all()
    assert as_rows(rows) is rows
