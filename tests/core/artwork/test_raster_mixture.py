"""Shares of paints in antialiased pixels, against shares known by construction."""

from __future__ import annotations

import io

import numpy as np
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from giornata.core import artwork
from giornata.core.foundation import Severity

Pixels = NDArray[np.uint8]
PALE, INK, RED = (240, 235, 225), (20, 24, 40), (190, 30, 40)


def blended(share: NDArray[np.float64], over: tuple[int, ...], under: tuple[int, ...]) -> Pixels:
    """``share`` of one paint over another."""
    return np.rint(share[..., None] * over + (1 - share[..., None]) * np.array(under)).astype(
        np.uint8
    )


def mixed(picture: Pixels) -> tuple[artwork.FlatPalette, artwork.Traced]:
    palette, findings = artwork.flat_palette(picture, name="test")
    assert findings == ()
    assert palette is not None
    return palette, artwork.traced(picture, palette)


def area_of(colour: tuple[int, ...], palette: artwork.FlatPalette, mix: artwork.Traced) -> float:
    (at,) = np.flatnonzero((palette.levels == colour).all(axis=1))
    return float(mix.total.areas[at])


def thin_rings(width: float, *, quality: int | None = None) -> Pixels:
    """Red rings of one line width, and a red and a black square that vouch for their paints."""
    rings = "".join(
        f'<circle cx="300.4" cy="300.7" r="{r}" fill="none" stroke="rgb{RED}"'
        f' stroke-width="{width}"/>'
        for r in range(20, 260, 40)
    )
    svg = f"""<svg xmlns="http://www.w3.org/2000/svg" width="800" height="600">
    <rect width="800" height="600" fill="rgb{PALE}"/>{rings}
    <rect x="600" y="50" width="100" height="100" fill="rgb{INK}"/>
    <rect x="600" y="250" width="100" height="100" fill="rgb{RED}"/></svg>"""
    picture = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))))
    picture = picture.convert("RGB")
    if quality:
        file = io.BytesIO()
        picture.save(file, "JPEG", quality=quality)
        picture = Image.open(file)
    return np.asarray(picture)


def ring_area(width: float) -> float:
    """Circumference × line width."""
    return float(sum(2 * np.pi * r * width for r in range(20, 260, 40)))


@pytest.mark.parametrize("share", [0.1, 0.3, 0.5, 0.77, 0.95])
def test_the_share_of_an_upright_edge(share: float) -> None:
    covered = np.zeros((40, 60))
    covered[:, :30] = 1.0
    covered[:, 30] = share
    palette, mix = mixed(blended(covered, INK, PALE))
    # One level of the 220 between the paints is 0.0045 of a pixel; 40 pixels share the rounding.
    assert area_of(INK, palette, mix) == pytest.approx(40 * (30 + share), abs=40 * 0.0045)
    assert mix.total.mixed == 40
    assert len(mix.total.unexplained) == 0


def test_areas_add_to_the_picture() -> None:
    covered = np.random.default_rng(5).uniform(0, 1, (200, 1))
    covered = np.hstack([np.ones((200, 20)), covered, np.zeros((200, 30))])
    _, mix = mixed(blended(covered, RED, PALE))
    assert mix.total.areas.sum() == pytest.approx(200 * 51, abs=1e-6)


def test_a_fringe_that_looks_like_a_third_paint_is_still_a_fringe() -> None:
    # The edge of black on white is half grey, and grey is a paint elsewhere.
    grey = np.full((40, 90), 255, np.uint8)
    grey[:, 20:40] = 0
    grey[:, 19] = grey[:, 40] = 128
    grey[:, 60:] = 128
    grey[:, 59] = 230
    palette, mix = mixed(grey[..., None])
    assert area_of((0,), palette, mix) == pytest.approx(40 * 21, abs=0.5)
    # 230 is (255 - 230) / (255 - 128) of grey over white
    assert area_of((128,), palette, mix) == pytest.approx(40 * (30 + 25 / 127), abs=0.5)


def test_hard_pixels_are_taken_as_they_are() -> None:
    rng = np.random.default_rng(11)
    picture = np.array([PALE, INK, RED], np.uint8)[
        np.repeat(np.repeat(rng.integers(0, 3, (9, 11)), 7, axis=0), 5, axis=1)
    ]
    palette, mix = mixed(picture)
    assert mix.total.mixed == 0
    for colour in (PALE, INK, RED):
        assert area_of(colour, palette, mix) == int((picture == colour).all(axis=2).sum())


@pytest.mark.parametrize(("width", "within"), [(1.5, 0.02), (2, 0.02), (3, 0.02), (8, 0.01)])
def test_thin_lines_keep_their_area(width: float, within: float) -> None:
    palette, mix = mixed(thin_rings(width))
    assert area_of(RED, palette, mix) - 10_000 == pytest.approx(ring_area(width), rel=within)


@pytest.mark.parametrize(("width", "within"), [(2, 0.05), (3, 0.03), (5, 0.02), (8, 0.02)])
def test_thin_lines_in_a_jpeg_keep_their_area(width: float, within: float) -> None:
    palette, mix = mixed(thin_rings(width, quality=85))
    red = np.abs(palette.levels.astype(int) - RED).max(axis=1).argmin()
    assert mix.total.areas[red] - 10_000 == pytest.approx(ring_area(width), rel=within)
    assert len(palette.levels) == 3


@pytest.mark.parametrize("quality", [75, 85, 95])
def test_paints_near_in_colour_in_a_jpeg_keep_their_area(quality: int) -> None:
    # 18 levels apart. JPEG rounds flat places always the same way, edges one way or the other: with
    # the colours of flat places the edge moves by some 0.04 px, 0.2 % of these circles.
    grid = [(column, row) for row in range(5) for column in range(7)]
    places = [(70 + 140 * x + 1.37 * y, 70 + 140 * y + 1.61 * x) for x, y in grid]
    circles = "".join(f'<circle cx="{x}" cy="{y}" r="48.3"/>' for x, y in places)
    svg = f"""<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="800" fill="#e5e5e5">
    <rect width="1000" height="800" fill="#f4efe3"/>{circles}</svg>"""
    file = io.BytesIO()
    drawn = Image.open(io.BytesIO(bytes(resvg_py.svg_to_bytes(svg_string=svg, dpi=96))))
    drawn.convert("RGB").save(file, "JPEG", quality=quality)
    palette, mix = mixed(np.asarray(Image.open(file)))
    assert len(palette.levels) == 2
    true = len(places) * np.pi * 48.3**2
    assert mix.total.areas[1] == pytest.approx(true, rel=0.001)


def test_lines_too_thin_for_an_outline_are_a_finding() -> None:
    picture = thin_rings(1.0)
    palette, mix = mixed(picture)
    names = ["#" + "".join(f"{v:02x}" for v in p) for p in palette.levels.tolist()]
    findings = artwork.thin_lines(mix.total, mix.outlines(), names, name="rings.png")
    assert "artwork.thin_lines" in {f.code for f in findings}
    assert any("#be1e28" in f.subject for f in findings)  # 190, 30, 40
    whole = thin_rings(8.0)
    palette, mix = mixed(whole)
    assert artwork.thin_lines(mix.total, mix.outlines(), names, name="rings.png") == ()


def test_a_photograph_set_into_flat_art_is_a_finding() -> None:
    picture = np.full((300, 300, 3), PALE, np.uint8)
    picture[:, 200:] = INK
    noise = np.random.default_rng(2).integers(0, 256, (60, 60, 3)).astype(np.uint8)
    picture[100:160, 40:100] = noise
    _, mix = mixed(picture)
    (finding,) = artwork.unexplained_pixels(mix.total, name="inset.png")
    assert finding.code == "artwork.unexplained"
    assert finding.severity is Severity.STOP  # 4 % of the picture
    small = picture.copy()
    small[100:160, 40:100] = PALE
    small[100:112, 40:52] = noise[:12, :12]
    _, mix = mixed(small)
    (finding,) = artwork.unexplained_pixels(mix.total, name="inset.png")
    assert finding.severity is Severity.WARN  # 0.16 %


def test_a_gradient_set_into_flat_art_is_a_finding() -> None:
    picture = np.full((400, 600, 3), PALE, np.uint8)
    picture[:, 500:] = INK
    picture[50:350, 50:450] = np.linspace(60, 200, 400).astype(np.uint8)[None, :, None]
    palette, findings = artwork.flat_palette(picture, name="inset.png")
    if palette is not None:  # its bands are under three pixels wide: not flat, so no gradient yet
        mix = artwork.traced(picture, palette)
        findings = artwork.unexplained_pixels(mix.total, name="inset.png")
    assert [f.severity for f in findings] == [Severity.STOP]


def test_clean_art_leaves_nothing_unexplained() -> None:
    picture = thin_rings(5.0)
    _, mix = mixed(picture)
    assert artwork.unexplained_pixels(mix.total, name="rings.png") == ()


def test_colours_that_hardly_differ_are_a_finding() -> None:
    picture = np.full((60, 60, 1), 120, np.uint8)
    picture[:, 30:] = 122
    picture[30:, :30] = 128
    palette, _ = artwork.flat_palette(picture, name="wall.png")
    assert palette is not None
    names = ["#" + 3 * f"{v:02x}" for v in palette.levels.ravel().tolist()]
    (finding,) = artwork.like_colours(palette, names, name="wall.png")
    assert finding.code == "artwork.like_colours"
    assert "#787878" in finding.subject  # 120
    assert "#7a7a7a" in finding.subject  # 122
    assert "2 of 255" in finding.message


def in_light(levels: NDArray[np.float64]) -> NDArray[np.float64]:
    """IEC 61966-2-1, 5.2: coded 0 to 255 to light 0 to 1."""
    part = levels / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def coded(light: NDArray[np.float64]) -> Pixels:
    """The same backwards."""
    part = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.rint(255 * part).astype(np.uint8)


@pytest.mark.parametrize(("over", "under"), [(INK, PALE), (PALE, INK), (RED, PALE)])
def test_edges_blended_in_light_are_read_in_light(
    over: tuple[int, ...], under: tuple[int, ...]
) -> None:
    radius, side, fine = 70.0, 160, 8
    y, x = (np.mgrid[0 : side * fine, 0 : side * fine] + 0.5) / fine
    inside = (x - 80.3) ** 2 + (y - 79.6) ** 2 < radius**2
    share = inside.reshape(side, fine, side, fine).mean(axis=(1, 3))
    light = share[..., None] * in_light(np.array(over)) + (1 - share[..., None]) * in_light(
        np.array(under)
    )
    palette, mix = mixed(coded(light))
    assert mix.total.light
    assert len(palette.levels) == 2
    assert area_of(over, palette, mix) == pytest.approx(np.pi * radius**2, rel=0.0005)
    # The same shares blended in coded levels are not taken for light.
    palette, mix = mixed(blended(share, over, under))
    assert not mix.total.light
    assert area_of(over, palette, mix) == pytest.approx(np.pi * radius**2, rel=0.0005)


def test_specks_go_to_the_paint_around_them() -> None:
    # One pixel a third of the way to a paint that is far away: no shape, but its share counts.
    covered = np.zeros((60, 60))
    covered[:, 40:] = 1.0
    covered[20, 10] = 0.7
    palette, mix = mixed(blended(covered, INK, PALE))
    assert len(mix.outlines().regions) == 2
    assert area_of(INK, palette, mix) == pytest.approx(60 * 20 + 0.7, abs=0.01)


def test_picture_and_palette_must_agree() -> None:
    palette, _ = artwork.flat_palette(np.zeros((4, 4, 3), np.uint8), name="a")
    assert palette is not None
    with pytest.raises(ValueError, match="same channels"):
        artwork.traced(np.zeros((4, 4, 1), np.uint8), palette)
