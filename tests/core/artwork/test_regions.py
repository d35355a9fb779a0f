"""Visible regions, blending and options of a drawing; areas in square artwork units."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
import skia

from giornata.core import artwork
from giornata.core.artwork import Drawing, Shape, Veil
from giornata.core.foundation import Severity

RED, GREEN, BLUE, BLACK = "#ff0000", "#00ff00", "#0000ff", "#000000"


def shape(area: shapely.Geometry, colour: str, **more: object) -> Shape:
    return Shape(area=area, colour=colour, **more)  # type: ignore[arg-type]


def drawing(*shapes: Shape, width: float = 100.0, height: float = 50.0, **more: object) -> Drawing:
    return Drawing(name="sheet.svg", width=width, height=height, shapes=shapes, **more)  # type: ignore[arg-type]


def test_the_upper_shape_hides_the_lower_one() -> None:
    # By hand: 50 × 50 less the 25 × 50 that the blue one hides; the rest of 100 × 50 is bare.
    flat = artwork.flattened(
        drawing(shape(shapely.box(0, 0, 50, 50), RED), shape(shapely.box(25, 0, 75, 50), BLUE))
    )
    assert flat.areas() == pytest.approx({"": 1250.0, RED: 1250.0, BLUE: 2500.0})
    assert flat.findings == ()


def test_shapes_beyond_the_canvas_are_cut_off() -> None:
    flat = artwork.flattened(drawing(shape(shapely.box(90, -20, 140, 80), RED)))
    assert flat.areas() == pytest.approx({"": 4500.0, RED: 500.0})


def test_a_shape_wholly_beyond_the_canvas_leaves_it_bare() -> None:
    flat = artwork.flattened(drawing(shape(shapely.box(200, 0, 210, 10), RED)))
    assert flat.areas() == pytest.approx({"": 5000.0})


def test_touching_shapes_of_one_colour_are_one_region() -> None:
    flat = artwork.flattened(
        drawing(shape(shapely.box(0, 0, 50, 50), RED), shape(shapely.box(50, 0, 100, 50), RED))
    )
    assert len(flat.coverage.faces) == 1


def test_a_ring_in_a_ring_in_a_ring() -> None:
    # Even-odd nesting by construction: discs of radius 20, 15, 10, 5 in turn.
    discs = [shapely.Point(50, 25).buffer(r, quad_segs=256) for r in (20, 15, 10, 5)]
    target = discs[0] - discs[1] | (discs[2] - discs[3])
    flat = artwork.flattened(drawing(shape(target, RED)))
    assert flat.areas()[RED] == pytest.approx(math.pi * (400 - 225 + 100 - 25), rel=1e-4)
    assert len(flat.coverage.faces) == 5


# --------------------------------------------------------------------------- blending


def test_a_translucent_shape_blends_with_what_lies_below() -> None:
    # Source over at half opacity (W3C Compositing 1, 5.1): (255, 0, 0) and (0, 0, 255) give
    # (127.5, 0, 127.5); on white (127.5, 127.5, 255).
    flat = artwork.flattened(
        drawing(
            shape(shapely.box(0, 0, 50, 50), RED),
            shape(shapely.box(25, 0, 75, 50), BLUE, opacity=0.5),
        )
    )
    assert flat.areas() == pytest.approx(
        {"": 1250.0, RED: 1250.0, "#800080": 1250.0, "#8080ff": 1250.0}
    )


def test_a_veiled_group_is_blended_as_one() -> None:
    # Two opaque shapes under one veil at 40 %: where they overlap only the upper one shows
    # through the veil: 0.4 × (0, 255, 0) + 0.6 × white = (153, 255, 153).
    veil = (Veil(number=1, opacity=0.4),)
    both = [shape(shapely.box(0, 0, 60, 50), RED, veils=veil),
            shape(shapely.box(40, 0, 100, 50), GREEN, veils=veil)]  # fmt: skip
    flat = artwork.flattened(drawing(*both))
    assert flat.areas() == pytest.approx({"#ff9999": 2000.0, "#99ff99": 3000.0})


def test_a_veil_in_a_veil_multiplies() -> None:
    # Half of half of black on white: 255 × 0.75 = 191.25.
    veils = (Veil(number=1, opacity=0.5), Veil(number=2, opacity=0.5))
    assert artwork.flat_colour([shape(shapely.box(0, 0, 1, 1), BLACK, veils=veils)]) == "#bfbfbf"


def test_two_veils_at_one_depth_are_two_groups() -> None:
    # Two groups at half opacity, black over red, on white: red gives (255, 127.5, 127.5), and
    # half black over that gives (127.5, 63.75, 63.75).
    first, second = (Veil(number=1, opacity=0.5),), (Veil(number=2, opacity=0.5),)
    box = shapely.box(0, 0, 1, 1)
    stack = [shape(box, RED, veils=first), shape(box, BLACK, veils=second)]
    assert artwork.flat_colour(stack) == "#804040"


def test_a_shape_that_cannot_be_seen_leaves_the_canvas_bare() -> None:
    flat = artwork.flattened(drawing(shape(shapely.box(0, 0, 50, 50), RED, opacity=0.0)))
    assert flat.areas() == pytest.approx({"": 5000.0})


@pytest.mark.parametrize("seed", range(8))
def test_blending_agrees_with_skia(seed: int) -> None:
    """Random stacks against an independent renderer, with save-layer groups for veils."""
    rng = np.random.default_rng(seed)
    surface = skia.Surface(1, 1)
    stack: list[Shape] = []
    with surface as canvas:
        canvas.clear(skia.ColorWHITE)
        for group in range(4):
            veil = () if group % 2 else (Veil(number=group, opacity=float(rng.uniform(0.2, 1))),)
            if veil:
                paint = skia.Paint()
                paint.setAlphaf(veil[0].opacity)
                canvas.saveLayer(None, paint)
            for _ in range(2):
                colour = "#" + "".join(f"{v:02x}" for v in rng.integers(0, 256, 3))
                opacity = float(rng.uniform(0.1, 1))
                one = skia.Paint(Color=skia.Color(*(int(colour[i : i + 2], 16) for i in (1, 3, 5))))
                one.setAlphaf(opacity)
                canvas.drawRect(skia.Rect.MakeWH(1, 1), one)
                stack.append(shape(shapely.box(0, 0, 1, 1), colour, opacity=opacity, veils=veil))
            if veil:
                canvas.restore()
    shown = surface.toarray(colorType=skia.kRGBA_8888_ColorType)[0, 0, :3].astype(int)
    found = artwork.flat_colour(stack)
    levels = np.array([int(found[i : i + 2], 16) for i in (1, 3, 5)])
    assert np.abs(levels - shown).max() <= 3  # levels; it rounds to 8 bits after every layer


# --------------------------------------------------------------------------- against a raster


@pytest.mark.parametrize("seed", range(3))
def test_two_hundred_polygons_against_an_independent_raster(seed: int) -> None:
    """Areas per colour by counting pixels that Skia fills without antialiasing."""
    rng = np.random.default_rng(seed)
    palette = [RED, GREEN, BLUE, "#ffff00", "#00ffff"]
    shapes = []
    for k in range(200):
        angle = np.sort(rng.uniform(0, 2 * np.pi, 9))
        ray = rng.uniform(2, 9, 9)[:, None] * np.stack([np.cos(angle), np.sin(angle)], axis=1)
        outline = shapely.Polygon(rng.uniform(0, [100, 50]) + ray)
        if outline.is_valid and k % 3 == 0:
            outline = outline.difference(outline.centroid.buffer(1.5))
        if outline.is_valid and not outline.is_empty:
            shapes.append(shape(outline, palette[k % 5]))
    flat = artwork.flattened(drawing(*shapes))
    assert sum(flat.areas().values()) == pytest.approx(5000.0, rel=1e-12)

    per_unit = 40
    surface = skia.Surface(100 * per_unit, 50 * per_unit)
    with surface as canvas:
        canvas.clear(skia.ColorWHITE)
        canvas.scale(per_unit, per_unit)
        for one in shapes:
            path = skia.Path()
            for part in shapely.get_parts(one.area):
                for ring in (part.exterior, *part.interiors):
                    path.addPoly([skia.Point(x, y) for x, y in ring.coords[:-1]], True)
            path.setFillType(skia.PathFillType.kEvenOdd)
            colour = skia.Color(*(int(one.colour[i : i + 2], 16) for i in (1, 3, 5)))
            canvas.drawPath(path, skia.Paint(Color=colour, AntiAlias=False))
    pixels = surface.toarray(colorType=skia.kRGBA_8888_ColorType)[..., :3].astype(np.uint32)
    keys, counts = np.unique(
        pixels @ np.array([65536, 256, 1], dtype=np.uint32), return_counts=True
    )
    counted = {f"#{key:06x}": n / per_unit**2 for key, n in zip(keys.tolist(), counts, strict=True)}
    counted[""] = counted.pop("#ffffff")
    # A boundary of length L crosses about L × 40 pixels, each off by a third of a pixel at most
    # and at random: 0.02 % of the canvas is several times what that adds up to.
    assert flat.areas() == pytest.approx(counted, abs=1.0)


@pytest.mark.parametrize("seed", range(3))
def test_edges_of_two_hundred_polygons_against_their_unions(seed: int) -> None:
    """Perimeter of each colour by another road: GEOS differences and unions, top down."""
    rng = np.random.default_rng(100 + seed)
    palette = [RED, GREEN, BLUE]
    blobs = [
        shapely.convex_hull(
            shapely.MultiPoint(rng.uniform(0, [100, 50]) + rng.uniform(-8, 8, (8, 2)))
        )
        for _ in range(200)
    ]
    shapes = [shape(blob, palette[k % 3]) for k, blob in enumerate(blobs)]
    flat = artwork.flattened(drawing(*shapes))
    sheet = shapely.box(0, 0, 100, 50)
    above = shapely.Polygon()
    seen: dict[str, list[shapely.Geometry]] = {colour: [] for colour in palette}
    for one in reversed(shapes):
        seen[one.colour].append(one.area.intersection(sheet).difference(above))
        above = above.union(one.area)
    length = shapely.length(flat.coverage.edges)
    for colour in palette:
        label = flat.colours.index(colour)
        mine = length[(flat.coverage.left == label) | (flat.coverage.right == label)].sum()
        parts = shapely.union_all(seen[colour])  # their seams do not match: close the hairlines
        other = parts.buffer(1e-7, join_style="mitre").buffer(-1e-7, join_style="mitre")
        assert mine == pytest.approx(other.length, rel=1e-4)  # closing also fills sharp corners
        assert flat.areas()[colour] == pytest.approx(other.area, rel=1e-6)


# --------------------------------------------------------------------------- slivers, faults


def test_shapes_that_abut_in_the_mind_but_not_in_the_numbers_share_one_edge() -> None:
    # A canvas of 78,600 × 3,300 with a gap of a hundred-thousandth of a unit between two bands.
    wide = drawing(
        shape(shapely.box(0, 0, 40000, 3300), RED),
        shape(shapely.box(40000.00001, 0, 78600, 3300), BLUE),
        width=78600,
        height=3300,
    )
    flat = artwork.flattened(wide)
    assert sorted(flat.areas()) == [BLUE, RED]
    coverage = flat.coverage
    assert shapely.length(coverage.edges[coverage.left >= 0]).sum() == pytest.approx(3300.0)
    assert sum(flat.areas().values()) == pytest.approx(78600 * 3300, rel=1e-12)


def test_a_shape_that_crosses_itself_is_mended_and_reported() -> None:
    # A bow tie of two triangles of 2500 / 4 each.
    bow = shapely.Polygon([(0, 0), (50, 50), (50, 0), (0, 50)])
    flat = artwork.flattened(drawing(shape(bow, RED)))
    assert flat.areas()[RED] == pytest.approx(1250.0)
    (finding,) = flat.findings
    assert (finding.code, finding.severity) == ("artwork.mended", Severity.WARN)
    assert "1 of 1 shape crosses itself" in finding.message


def test_a_shape_of_no_area_is_no_region() -> None:
    line = shapely.Polygon([(0, 0), (50, 50), (0, 0)])
    flat = artwork.flattened(drawing(shape(line, RED), shape(shapely.box(0, 0, 10, 10), BLUE)))
    assert flat.areas() == pytest.approx({"": 4900.0, BLUE: 100.0})


def test_an_empty_drawing_is_bare_canvas_and_says_so() -> None:
    flat = artwork.flattened(drawing())
    assert flat.areas() == pytest.approx({"": 5000.0})
    (finding,) = flat.findings
    assert (finding.code, finding.severity) == ("artwork.nothing_visible", Severity.STOP)


# --------------------------------------------------------------------------- options

GROUPED = drawing(
    shape(shapely.box(0, 0, 100, 10), BLUE, group="sea"),
    shape(shapely.box(10, 10, 20, 20), RED, group="boats"),
    shape(shapely.box(12, 20, 14, 30), BLACK, group="boats/rigging"),
    shape(shapely.box(40, 10, 50, 20), GREEN, group="draft"),
    groups=("sea", "boats", "rigging", "draft"),
    hidden=("draft",),
)


@pytest.mark.parametrize(
    ("hide", "show", "seen"),
    [
        ((), (), {BLUE, RED, BLACK}),
        (("boats",), (), {BLUE}),
        (("rigging",), (), {BLUE, RED}),
        (("boats/rigging",), (), {BLUE, RED}),
        ((), ("draft",), {BLUE, RED, BLACK, GREEN}),
        (("sea", "boats"), ("draft",), {GREEN}),
    ],
)
def test_options_leave_groups_out_and_bring_them_in(
    hide: tuple[str, ...], show: tuple[str, ...], seen: set[str]
) -> None:
    flat = artwork.flattened(GROUPED, hide=hide, show=show)
    assert set(flat.areas()) - {""} == seen
    assert flat.findings == ()


def test_a_group_hidden_and_shown_at_once_is_shown_and_reported() -> None:
    flat = artwork.flattened(GROUPED, hide=("boats",), show=("boats",))
    assert RED in flat.areas()
    (finding,) = flat.findings
    assert (finding.code, finding.severity) == ("artwork.group_hidden_and_shown", Severity.WARN)


def test_a_name_that_no_group_has_holds_the_job_up() -> None:
    flat = artwork.flattened(GROUPED, hide=("bots",))
    (finding,) = flat.findings
    assert (finding.code, finding.severity) == ("artwork.unknown_group", Severity.STOP)
    assert "boats" in finding.message
    assert "bots" in finding.subject


def test_the_same_drawing_gives_the_same_regions_twice() -> None:
    first, second = artwork.flattened(GROUPED), artwork.flattened(GROUPED)
    assert (
        shapely.to_wkb(first.coverage.faces).tolist()
        == shapely.to_wkb(second.coverage.faces).tolist()
    )
    assert first.coverage.labels.tolist() == second.coverage.labels.tolist()
