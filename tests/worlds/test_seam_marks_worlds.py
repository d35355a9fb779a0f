"""What neighbours are expected to miss one another by, beside the scatter of made worlds.

Truth is known by construction: projectors set up by hand, marks chalked a little off, sightings a
little off, all of it adjusted together by the closure. Seeds are fixed.
"""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest

from giornata.core import closing, projection, setting_out
from giornata.core.closing import PictureSeen, PlacedMark
from giornata.core.projection import MarkSeen
from giornata.core.setting_out import ControlMark, Picture

MM = 0.001
DRAWN, PX, SET_UPS = 2 * MM, 0.3, 2
LIMIT = 5 * MM
LEVELS = [(0.0, 3.0)] * SET_UPS
WALL = {"ground": [(-1.0, 0.0), (40.0, 0.0)], "top": [(-1.0, 3.0), (40.0, 3.0)]}


def planned(overlap: float, made_closing, *, accuracy: float | None = None):
    """Spans, pictures and marks of 24 m that the seams ask for; by photo, 18 m off."""
    each, half = made_closing.EACH, overlap / 2
    spans = [(each * k - half, each * (k + 1) + half) for k in range(SET_UPS)]
    pitch = (each + overlap) / made_closing.COLUMNS
    sigma = float(np.hypot(DRAWN, PX * pitch))
    pictures = [
        Picture(start=each * k, end=each * (k + 1), foot=0.0, head=3.0, sigma=sigma,
                mark_sigma=DRAWN)
        for k in range(SET_UPS)
    ]  # fmt: skip
    layout = setting_out.marks_for(spans, pictures, accuracy=accuracy, levels=LEVELS, **WALL)
    held = setting_out.marks_for_seams(
        layout, spans, pictures, limit=LIMIT, accuracy=accuracy, levels=LEVELS, **WALL
    )
    return spans, pictures, held.marks


def missed(rng: np.random.Generator, overlap: float, marks: tuple[ControlMark, ...], made_closing):
    """How far the light of each neighbours' pictures misses, over their overlap: (n, 2)."""
    true = {m.name: np.array([m.chainage, m.level]) + rng.normal(0, DRAWN, 2) for m in marks}
    poses = {
        k + 1: replace(
            made_closing.made_pose(rng, made_closing.EACH * (k + 0.5), overlap), bend=0.0
        )
        for k in range(SET_UPS)
    }
    pictures = []
    for number, pose in poses.items():
        own = [m for m in marks if number in m.set_ups]
        at = pose.px_from_wall(np.array([true[m.name] for m in own]))
        at = at + rng.normal(0, PX, at.shape)
        seen = tuple(
            MarkSeen(name=m.name, chainage=m.chainage, level=m.level, x_px=u, y_px=v,
                     mark_sigma=DRAWN, px_sigma=PX)
            for m, (u, v) in zip(own, at.tolist(), strict=True)
        )  # fmt: skip
        start = projection.projective_start(seen, made_closing.COLUMNS, made_closing.ROWS)
        pictures.append(PictureSeen(set_up=number, start=start, seen=seen))
    placed = [
        PlacedMark(name=m.name, chainage=m.chainage, level=m.level, chainage_sigma=DRAWN,
                   level_sigma=DRAWN)
        for m in marks
    ]  # fmt: skip
    found = closing.joined(placed, pictures, (), scale_sigma=1e-4)
    x = np.linspace(made_closing.EACH - overlap / 2, made_closing.EACH + overlap / 2, 3)
    places = np.array(list(itertools.product(x, np.linspace(0.0, 3.0, 5))))
    left, right = (made_closing.light_falls(poses[k], found.maps[k], places) for k in (1, 2))
    return left - right


def test_n49_a_seam_scatters_as_the_plan_expects(made_closing):
    # 60 trials. The greatest variance stands at the four corners of an overlap, by symmetry alike:
    # expected is the root of 5.9915 times it. The four found are averaged; each has its root known
    # to 11 % by 60 trials with two numbers each, the four, which hang together, to some 7 %.
    overlap = 2.0
    spans, pictures, marks = planned(overlap, made_closing)
    (seam,) = setting_out.seam_misses(spans, pictures, marks)
    rng = np.random.default_rng(31)
    off = np.array([missed(rng, overlap, marks, made_closing) for _ in range(60)])
    variances = [np.linalg.eigvalsh(off[:, k].T @ off[:, k] / 60)[1] for k in (0, 4, 10, 14)]
    assert np.sqrt(5.9915 * np.mean(variances)) == pytest.approx(seam.expected, rel=0.12)
    middle = np.linalg.eigvalsh(off[:, 7].T @ off[:, 7] / 60)[1]
    assert np.sqrt(5.9915 * middle) < 0.7 * seam.expected  # and less away from the corners


def test_n49_overlaps_of_two_metres_take_more_marks_from_the_same_projector(made_closing):
    # As measured with bench/closing.py: from 18 m an overlap of 1.0 m has pixels of 6.8 mm, one of
    # 2.0 m of 7.3 mm, and six marks in the overlap hold up to 1.5 m what takes more at 2.0 m, in
    # three columns. 5.0 mm at the worst place of an overlap is about 3.5 mm over the whole seam.
    shared = {}
    for overlap in (1.0, 1.5, 2.0):
        spans, pictures, marks = planned(overlap, made_closing, accuracy=6 * MM)
        assert max(m.expected for m in setting_out.seam_misses(spans, pictures, marks)) <= LIMIT
        shared[overlap] = [m for m in marks if m.set_ups == (1, 2)]
    assert len(shared[1.0]) == len(shared[1.5]) == 6
    assert len(shared[2.0]) > 6
    assert len({m.name.split(" ")[0] for m in shared[2.0]}) == 3
