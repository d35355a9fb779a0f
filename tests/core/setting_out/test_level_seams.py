"""Set-ups above one another: the marks that they share, and how far they are to miss."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from giornata.core import setting_out
from giornata.core.setting_out import ControlMark, ImageOnWall, Picture, SeamMiss

MM = 0.001
SIGMA, SET = 3.4 * MM, 2 * MM
TOP = 7.6
WALL = {"ground": [(0.0, 0.0), (12.5, 0.0)], "top": [(0.0, TOP), (12.5, TOP)]}
# Two columns of two rows: 6.5 m wide and 4.05 m tall, 0.5 m over one another either way.
IMAGES = [
    ImageOnWall(number=2 * k + row, row=row, start=6.0 * k, end=6.0 * k + 6.5,
                foot=3.55 * (row - 1), head=3.55 * (row - 1) + 4.05)
    for k in (0, 1) for row in (1, 2)
]  # fmt: skip
PICTURES = [
    Picture(
        start=one.start, end=one.end, foot=max(one.foot, 3.8) if one.row == 2 else 0.0,
        head=3.8 if one.row == 1 else TOP, sigma=SIGMA, mark_sigma=SET,
    )
    for one in IMAGES
]  # fmt: skip


def seams():
    made = [
        setting_out.level_seam(IMAGES[k], IMAGES[k + 1], (PICTURES[k], PICTURES[k + 1]), 3.8)
        for k in (0, 2)
    ]
    assert all(made)
    return made


def marks(*, shared=True):
    found = []
    for row in (1, 2):
        here = [one for one in IMAGES if one.row == row]
        layout = setting_out.control_marks(
            [(one.start, one.end) for one in here],
            levels=[(one.foot, one.head) for one in here], **WALL,
        )  # fmt: skip
        for mark in layout.marks:
            own = tuple(here[k - 1].number for k in mark.set_ups)
            mark = replace(mark, name=f"row {row} {mark.name}", set_ups=own)
            seen = setting_out.seen_over_rows(mark, IMAGES, row=row) if shared else own
            found.append(replace(mark, set_ups=seen))
    return found


def expected(own):
    return max(one.expected for one in setting_out.level_misses(seams(), own))


def test_n46_marks_in_the_overlap_of_rows_are_seen_by_both():
    # By construction: 4.05 m less half a cross is inside the upper images, 3.55 m and as much
    # inside the lower ones; where columns overlap too, four set-ups see them.
    by_name = {mark.name: mark.set_ups for mark in marks()}
    assert by_name["row 1 M01 upper"] == by_name["row 2 M01 lower"] == (1, 2)
    assert by_name["row 1 M02 upper"] == by_name["row 2 M02 lower"] == (1, 2, 3, 4)
    assert by_name["row 1 M02 lower"] == (1, 3)
    assert by_name["row 2 M03 upper"] == (4,)
    assert expected(marks()) < expected(marks(shared=False))


def test_n46_marks_are_added_along_level_seams_until_they_hold():
    own = marks()
    for share in (0.8, 0.65):
        limit = share * expected(own)
        added = setting_out.marks_for_level_seams(own, seams(), IMAGES, limit=limit, **WALL)
        assert expected([*own, *added]) <= limit
        # Without any of them a seam is over the limit: none is there in vain.
        for mark in added:
            fewer = [one for one in added if one is not mark]
            assert expected([*own, *fewer]) > limit
        assert all({1, 2} <= set(m.set_ups) or {3, 4} <= set(m.set_ups) for m in added)
        assert all(3.6 <= m.level <= 4.0 for m in added)
    loose = 1.01 * expected(own)
    assert setting_out.marks_for_level_seams(own, seams(), IMAGES, limit=loose, **WALL) == ()


def test_n46_a_level_seam_gets_the_fewest_of_every_choice():
    # All marks that are added for a limit out of reach are the candidates that help; of these
    # every choice of fewer is tried for a limit within reach.
    (seam, _), own = seams(), marks()
    alone = {"seams": [seam], "images": IMAGES, **WALL}
    every = setting_out.marks_for_level_seams(own, limit=1e-6, **alone)
    assert seam.miss([*own, *every]) < 0.65 * seam.miss(own)
    limit = 0.7 * seam.miss(own)
    chosen = setting_out.marks_for_level_seams(own, limit=limit, **alone)
    assert seam.miss([*own, *chosen]) <= limit
    for fewer in range(len(chosen)):
        for way in itertools.combinations(every, fewer):
            assert seam.miss([*own, *way]) > limit


def test_n46_level_marks_keep_off_openings_and_the_walls_end():
    window = shapely.box(2.5, 3.0, 4.0, 4.5)
    about = {"limit": 1e-6, **WALL, "keep_off": [("W1", window)]}
    added = setting_out.marks_for_level_seams(marks(), seams(), IMAGES, **about)
    assert added
    barred = shapely.buffer(window, 0.05 - 1e-6)
    assert not any(shapely.intersects_xy(barred, m.chainage, m.level) for m in added)
    assert all(0.05 <= m.chainage <= 12.45 for m in added)
    with pytest.raises(ValueError, match="allowed at a seam is above 0"):
        setting_out.marks_for_level_seams(marks(), seams(), IMAGES, limit=0.0, **WALL)


def test_n46_images_that_share_no_strip_have_no_level_seam_and_too_few_marks_no_miss():
    high = replace(IMAGES[1], foot=4.1, head=8.0)
    pair = (PICTURES[0], PICTURES[1])
    assert setting_out.level_seam(IMAGES[0], high, pair, 4.05) is None
    (miss, _) = setting_out.level_misses(seams(), [])
    assert miss == SeamMiss(left=1, right=2, chainage=3.25, level=3.8, expected=math.inf)
    (said,) = setting_out.seam_findings([miss], [], limit=0.005, asked=True)
    assert "set-up 2 above 1 at level 3.80 m, with too few marks to say" in said.message


def test_n46_marks_of_the_row_below_count_for_the_row_above():
    # The fewest for an accuracy: with two of the lower row's in its picture the upper needs less,
    # and no new one stands within a cross of them.
    upper = [one for one in IMAGES if one.row == 2]
    own = [PICTURES[one.number - 1] for one in upper]
    spans = [(one.start, one.end) for one in upper]
    about = {"accuracy": 8 * MM, "levels": [(one.foot, one.head) for one in upper], **WALL}
    alone = setting_out.fewest_marks(spans, own, **about)
    place = {2: 1, 4: 2}
    below = [
        replace(m, set_ups=tuple(place[n] for n in m.set_ups if n in place))
        for m in marks()
        if m.name.startswith("row 1") and {2, 4} & set(m.set_ups)
    ]
    assert len(below) == 3
    helped = setting_out.fewest_marks(spans, own, known=below, **about)
    assert len(helped.marks) < len(alone.marks)
    for number, picture in enumerate(own, start=1):
        seen = [(m.chainage, m.level) for m in (*helped.marks, *below) if number in m.set_ups]
        (error,) = setting_out.expected_errors([picture], [seen])
        assert error <= 8 * MM
    assert not {m.name for m in below} & {m.name for m in helped.marks}
    apart = [
        np.hypot(a.chainage - b.chainage, a.level - b.level) for a in below for b in helped.marks
    ]
    assert min(apart) >= 0.1
    limit = {"limit": 7 * MM, "levels": about["levels"], **WALL}
    plain = setting_out.control_marks(spans, levels=about["levels"], **WALL)
    held = setting_out.marks_for_seams(plain, spans, own, known=below, **limit)
    without = setting_out.marks_for_seams(plain, spans, own, **limit)
    assert len(held.marks) <= len(without.marks)
    both: list[ControlMark] = [*held.marks, *below]
    (miss,) = setting_out.seam_misses(spans, own, both)
    assert miss.expected <= 7 * MM
