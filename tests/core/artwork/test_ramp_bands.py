"""Bands of gradients on shapes whose areas are worked by hand."""

from __future__ import annotations

import math
from collections import defaultdict

import numpy as np
import pytest
import shapely

from giornata.core import artwork, colour
from giornata.core.artwork import (
    Decision,
    Drawing,
    Kind,
    Nonflat,
    Paint,
    Ramp,
    Role,
    Shape,
    Spread,
    Veil,
    Way,
)
from giornata.core.foundation import Finding, Severity

IDENTITY = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)
BLACK, WHITE = (0.0, 0.0, 0.0), (255.0, 255.0, 255.0)
PAINTS = tuple(
    Paint(number=k + 1, key=key, name=key, role=Role.FIGURE if k else Role.GROUND, artwork=(hue,))
    for k, (key, hue) in enumerate(
        [("a", "#ffffff"), ("b", "#000000"), ("c", "#cc0000"), ("d", "#0000cc")]
    )
)
OPEN = Finding(
    code="artwork.gradient", severity=Severity.STOP, subject='gradient "g"', message="m", remedy="r"
)
# Circles are polygons as large as they, sides within 1e-5 of the canvas's mean side.
AREA = 1e-4


def ramp(start, end, *, spread=Spread.PAD, matrix=IDENTITY, stops=None, extend=(True, True)):
    stops = stops or [(0.0, *BLACK, 1.0), (1.0, *WHITE, 1.0)]
    return Ramp(
        stops=np.array(stops), start=start, end=end, artwork_from_ramp=matrix, spread=spread,
        extend=extend,
    )  # fmt: skip


def thing(run, **more):
    return Nonflat(
        number=1, name="g", source="g", kind=Kind.GRADIENT, finding=OPEN, ramp=run,
        box=(0, 0, 100, 50), **more,
    )  # fmt: skip


def areas(run, decision, *, area=None, below=(), opacity=1.0, veils=()):
    """Area of each colour of a canvas of 100 x 100, and findings."""
    area = shapely.box(0, 0, 100, 50) if area is None else area
    shape = Shape(area=area, colour="#808080", opacity=opacity, veils=veils, thing=1)
    drawing = Drawing(
        name="t.svg", width=100, height=100, shapes=(*below, shape), things=(thing(run),)
    )
    done, findings = artwork.carried_out(drawing, [decision], PAINTS, tone=colour.lab_from_srgb)
    found = defaultdict(float, artwork.flattened(done).areas())
    assert sum(found.values()) == pytest.approx(10_000, rel=1e-9)  # the canvas is tiled
    return found, findings


def steps(*paints):
    return Decision(thing="g", way=Way.STEPS, paints=paints)


def test_equal_steps_of_a_straight_run():
    found, _ = areas(ramp((0, 0, 0), (100, 0, 0)), steps("b", "c", "d", "a"))
    # 100 x 50 in four bands of 25 x 50; the rest of the canvas is bare
    assert [found[hue] for hue in ("#000000", "#cc0000", "#0000cc", "#ffffff")] == [1250.0] * 4
    assert found[""] == 5000.0


def test_padded_ends_belong_to_the_first_and_last_step():
    found, _ = areas(ramp((20, 0, 0), (80, 0, 0)), steps("b", "c", "d"))
    # 0 to 20 and 20 to 40; 40 to 60; 60 to 80 and 80 to 100
    assert found["#000000"] == pytest.approx(40 * 50)
    assert found["#cc0000"] == pytest.approx(20 * 50)
    assert found["#0000cc"] == pytest.approx(40 * 50)


def test_a_run_that_is_repeated():
    found, _ = areas(ramp((0, 0, 0), (30, 0, 0), spread=Spread.REPEAT), steps("b", "c", "d"))
    # three runs of 30 give 10 each, three times; the last 10 of the 100 are a first step again
    assert found["#000000"] == pytest.approx(40 * 50)
    assert found["#cc0000"] == pytest.approx(30 * 50)
    assert found["#0000cc"] == pytest.approx(30 * 50)


def test_a_run_that_is_reflected():
    found, _ = areas(ramp((0, 0, 0), (40, 0, 0), spread=Spread.REFLECT), steps("b", "c"))
    # b 0-20, c 20-40 and, back, 40-60, b 60-80 and 80-100
    assert found["#000000"] == pytest.approx(60 * 50)
    assert found["#cc0000"] == pytest.approx(40 * 50)


def test_a_run_in_the_box_of_its_shape():
    # From corner to corner of the unit square, stretched to 100 x 50: the middle line is the
    # other diagonal, so the halves are two triangles of 100 x 50 / 2.
    found, _ = areas(ramp((0, 0, 0), (1, 1, 0), matrix=(100, 0, 0, 50, 0, 0)), steps("b", "c"))
    assert found["#000000"] == pytest.approx(2500)
    assert found["#cc0000"] == pytest.approx(2500)


def test_a_round_run():
    square = shapely.box(0, 0, 100, 100)
    found, _ = areas(ramp((50, 50, 0), (50, 50, 40)), steps("b", "c"), area=square)
    # b: disc of radius 20; c: the rest, beyond the run as well
    assert found["#000000"] == pytest.approx(math.pi * 400, abs=AREA * 10_000)
    assert found["#cc0000"] == pytest.approx(10_000 - math.pi * 400, abs=AREA * 10_000)


def test_a_round_run_from_a_point_aside():
    square = shapely.box(0, 0, 100, 100)
    found, _ = areas(ramp((60, 50, 0), (50, 50, 40)), steps("b", "c", "d", "a"), area=square)
    # Where t is k / 4 lies on a circle of radius 10 k: each band is pi (10 k)² - pi (10 (k - 1))²,
    # whatever its centre (half way: 55), for they lie inside one another.
    for k, hue in enumerate(("#000000", "#cc0000", "#0000cc"), start=1):
        ring = math.pi * 100 * (k * k - (k - 1) ** 2)
        assert found[hue] == pytest.approx(ring, abs=AREA * 10_000)


def test_a_round_run_that_is_repeated():
    disc = shapely.Point(50, 50).buffer(40, quad_segs=512)
    run = ramp((50, 50, 0), (50, 50, 20), spread=Spread.REPEAT)
    found, _ = areas(run, steps("b", "c"), area=disc)
    # b: radius 0 to 10 and 20 to 30; c: 10 to 20 and 30 to 40
    assert found["#000000"] == pytest.approx(math.pi * (100 + 500), abs=AREA * 10_000)
    assert found["#cc0000"] == pytest.approx(math.pi * (300 + 700), abs=AREA * 10_000)


def test_the_nearest_paint_in_cielab():
    # Grey levels: L* of 50 halves the way from black to white. Y = ((50 + 16) / 116)³ = 0.18419
    # (CIE 15:2004, eq. 8.3), encoded 1.055 x 0.18419^(1 / 2.4) - 0.055 = 0.46633 (IEC 61966-2-1):
    # so black is nearest up to 0.46633 of the run.
    decision = Decision(thing="g", way=Way.NEAREST, paints=("a", "b"))
    found, _ = areas(ramp((0, 0, 0), (100, 0, 0)), decision)
    assert found["#000000"] == pytest.approx(46.633 * 50, abs=0.01 * 50)


def test_a_run_that_fades_is_laid_over_what_lies_below():
    # Black from opaque to clear. Over white its level is t, as above: 0.46633. Over black it is
    # black throughout. Left half of the shape on white, right half on black: black shows on
    # 46.633 + 50 of the width.
    stops = [(0.0, *BLACK, 1.0), (1.0, *BLACK, 0.0)]
    below = (Shape(area=shapely.box(50, 0, 100, 50), colour="#000000"),)
    decision = Decision(thing="g", way=Way.NEAREST, paints=("a", "b"))
    found, _ = areas(ramp((0, 0, 0), (100, 0, 0), stops=stops), decision, below=below)
    assert found["#000000"] == pytest.approx((46.633 + 50) * 50, abs=0.01 * 50)


def test_the_opacity_of_the_shape_counts_like_that_of_its_stops():
    # Black at half opacity over white is level 127.5 = 0.5, lighter than 0.46633: white is
    # nearest all along.
    stops = [(0.0, *BLACK, 1.0), (1.0, *BLACK, 1.0)]
    decision = Decision(thing="g", way=Way.NEAREST, paints=("a", "b"))
    found, _ = areas(ramp((0, 0, 0), (100, 0, 0), stops=stops), decision, opacity=0.5)
    assert found["#000000"] == 0
    assert found["#ffffff"] == pytest.approx(5000)


def test_so_many_steps_of_the_nearest_paints():
    decision = Decision(thing="g", way=Way.STEPS, steps=4)
    # Middles of four steps at 1/8, 3/8, 5/8 and 7/8: two darker and two lighter than 0.46633. Of
    # the greys, 3/8 is nearest to a colour: it is L* 40.7, so 40.7 from black, and some 88 from
    # #cc0000 (L* 42, a* 68, b* 57 by IEC 61966-2-1 and CIE 15:2004, eq. 8.3 to 8.5).
    found, _ = areas(ramp((0, 0, 0), (100, 0, 0)), decision)
    assert found["#000000"] == pytest.approx(2500)
    assert found["#ffffff"] == pytest.approx(2500)


def test_a_hard_change_of_colour_stays_where_it_is():
    stops = [(0.0, *BLACK, 1.0), (0.3, *BLACK, 1.0), (0.3, *WHITE, 1.0), (1.0, *WHITE, 1.0)]
    decision = Decision(thing="g", way=Way.NEAREST)
    found, _ = areas(ramp((0, 0, 0), (100, 0, 0), stops=stops), decision)
    assert found["#000000"] == pytest.approx(30 * 50)
    assert found["#ffffff"] == pytest.approx(70 * 50)


def test_nothing_shows_beyond_a_run_that_ends():
    found, _ = areas(ramp((20, 0, 0), (60, 0, 0), extend=(False, False)), steps("b", "c"))
    assert found["#000000"] == pytest.approx(20 * 50)
    assert found["#cc0000"] == pytest.approx(20 * 50)
    assert found[""] == pytest.approx(10_000 - 40 * 50)


def test_a_texture_is_not_cut_into_steps():
    run = ramp((0, 0, 0), (0.01, 0, 0), spread=Spread.REPEAT)
    found, findings = areas(run, steps("b", "c"))
    assert [one.code for one in findings] == ["artwork.too_many_steps"]
    assert found["#808080"] == pytest.approx(5000)  # its stand-in stays


def test_steps_in_a_translucent_group_are_doubted():
    decision = Decision(thing="g", way=Way.NEAREST)
    run = ramp((0, 0, 0), (100, 0, 0))
    _, findings = areas(run, decision, veils=(Veil(number=1, opacity=0.5),))
    assert [one.code for one in findings] == ["artwork.steps_through_a_veil"]


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"end": (0, 0, 0)}, "has a length"),
        ({"matrix": (1, 1, 1, 1, 0, 0)}, "squeezed flat"),
        ({"start": (100, 0, 1), "end": (0, 0, 50)}, "inside that of the end"),
        ({"stops": [(0.5, *BLACK, 1), (0.2, *WHITE, 1)]}, "follow one another"),
        ({"stops": [(-0.5, *BLACK, 1), (0.2, *WHITE, 1)]}, "lie on the run"),
        ({"stops": [(0.5, *BLACK, 1)]}, "two stops"),
    ],
)
def test_what_is_no_run(change, said):
    with pytest.raises(ValueError, match=said):
        ramp(**{"start": (0, 0, 0), "end": (100, 0, 0), **change})
