"""What neighbouring pictures may miss one another by, and marks added for it."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
import shapely

from giornata.core import setting_out
from giornata.core.foundation import Severity
from giornata.core.setting_out import ControlMark, MarkLayout, MarkTerms, Picture, SeamMiss

MM = 0.001
BESIDE = 2.0  # m: what two images share


def picture(start: float, end: float, *, sigma: float = 2.5 * MM, mark: float = 2 * MM) -> Picture:
    return Picture(start=start, end=end, foot=0.0, head=3.0, sigma=sigma, mark_sigma=mark)


def corner(x: float, y: float, *set_ups: int) -> ControlMark:
    return ControlMark(
        name=f"{x} {y} {set_ups}", column=1, row="lower", chainage=x, level=y, above_ground=y,
        set_ups=set_ups, moved=0.0,
    )  # fmt: skip


def about(keep_off: tuple[tuple[str, shapely.Geometry], ...] = ()) -> dict[str, object]:
    return {
        "ground": [(0.0, 0.0), (40.0, 0.0)], "top": [(0.0, 3.0), (40.0, 3.0)],
        "levels": [(0.0, 3.0)] * 2, "keep_off": keep_off,
    }  # fmt: skip


def two(beside: float = BESIDE) -> tuple[list[tuple[float, float]], list[Picture]]:
    spans = [(0.0, 10.0), (10.0 - beside, 20.0 - beside)]
    middle = 10.0 - beside / 2
    return spans, [picture(0.0, middle), picture(middle, 20.0 - beside)]


def test_n49_two_pictures_on_the_same_four_corners_miss_by_what_is_not_shared() -> None:
    # By hand. Through four marks one map goes exactly, so at a corner a picture is off by its
    # sighting of the mark there. In a square a corner's shift by 1 moves a place (x, y) from -1
    # to 1 by (1 + x)(1 + y) / 4 along it and by (1 - y²) / 4 across, so inside the variance is less
    # (middle of a side 3/4). Sightings are 2.5 mm with the mark's own 2 mm in them, 1.5 mm without:
    # apart, two pictures differ by 2.5 x root 2 = 3.5355 mm, on the same marks by 1.5 x root 2 =
    # 2.1213 mm each way; 95 of 100 lie within 2.4477 (root of 5.9915) times that.
    square = Picture(start=0.0, end=6.0, foot=0.0, head=6.0, sigma=2.5 * MM, mark_sigma=2 * MM)
    spans, both = [(0.0, 6.0), (0.0, 6.0)], [square, square]
    corners = list(itertools.product((0.0, 6.0), (0.0, 6.0)))
    shared = [corner(x, y, 1, 2) for x, y in corners]
    own = [corner(x, y, k) for x, y in corners for k in (1, 2)]
    (apart,) = setting_out.seam_misses(spans, both, own)
    (together,) = setting_out.seam_misses(spans, both, shared)
    assert apart.expected == pytest.approx(2.4477 * 3.5355 * MM, rel=1e-4)
    assert together.expected == pytest.approx(2.4477 * 2.1213 * MM, rel=1e-4)
    assert together.chainage == 3.0


def test_a_picture_with_fewer_than_four_marks_meets_nobody() -> None:
    spans, both = two()
    marks = [corner(x, y, 1, 2) for x, y in ((8.5, 0.2), (8.5, 2.8), (9.5, 1.5))]
    (miss,) = setting_out.seam_misses(spans, both, marks, numbers=(4, 6))
    assert (miss.left, miss.right, miss.expected) == (4, 6, math.inf)
    assert setting_out.seam_misses([(0.0, 9.0), (9.5, 20.0)], both, marks) == ()


def test_a_mark_more_never_makes_a_seam_worse() -> None:
    rng = np.random.default_rng(8)
    spans, both = two()
    for _ in range(20):
        x, y = rng.uniform((0.0, 0.0), (18.0, 3.0), (16, 2)).T
        seen = [(1, 2) if 8 <= at <= 10 else (1,) if at < 8 else (2,) for at in x]
        marks = [
            corner(*one, *sees) for one, sees in zip(zip(x, y, strict=True), seen, strict=True)
        ]
        found = [setting_out.seam_misses(spans, both, marks[:k]) for k in (12, 14, 16)]
        each = [one.expected for (one,) in found]
        assert each == sorted(each, reverse=True)


def planned(limit: float, **more: object) -> MarkLayout:
    spans, both = two()
    plain = setting_out.control_marks(spans, **about())  # type: ignore[arg-type]
    return setting_out.marks_for_seams(plain, spans, both, limit=limit, **about(), **more)  # type: ignore[arg-type]


@pytest.mark.parametrize("limit_mm", [12.0, 8.0, 7.0, 6.5, 6.2])
def test_n49_as_few_marks_are_added_as_every_choice_tried_says(limit_mm: float) -> None:
    spans, both = two()
    every = planned(1e-6 * MM).marks  # nobody can hold that, so nearly all there are
    plain = list(setting_out.control_marks(spans, **about()).marks)  # type: ignore[arg-type]
    columns = setting_out.marks_of_columns(plain, np.array(spans), **{
        name: np.array(line) if name != "keep_off" else () for name, line in about().items()
    })  # fmt: skip
    beside = setting_out.marks_beside(np.array(spans), **{
        name: np.array(line) if name != "keep_off" else () for name, line in about().items()
    })  # fmt: skip
    free = [one for one in (*columns[1], *beside[0]) if one not in plain]
    assert len(free) == 7
    assert {one.name for one in every} <= {one.name for one in (*plain, *free)}

    def least() -> int:
        for count in range(len(free) + 1):
            for way in itertools.combinations(free, count):
                (miss,) = setting_out.seam_misses(spans, both, [*plain, *way])
                if miss.expected <= limit_mm * MM:
                    return count
        raise AssertionError("no choice holds it")

    found = planned(limit_mm * MM).marks
    (miss,) = setting_out.seam_misses(spans, both, found)
    assert miss.expected <= limit_mm * MM
    assert len(found) - len(plain) == least()
    assert [one.chainage for one in found] == sorted(one.chainage for one in found)
    assert len({one.name for one in found}) == len(found)


def test_marks_for_seams_keep_off_what_cannot_carry_one() -> None:
    spans, both = two()
    keep_off = (("Door", shapely.box(9.2, 0.0, 10.0, 2.2)),)
    plain = setting_out.control_marks(spans, **about(keep_off))  # type: ignore[arg-type]
    found = setting_out.marks_for_seams(plain, spans, both, limit=1e-6, **about(keep_off))  # type: ignore[arg-type]
    assert len(found.marks) > len(plain.marks)
    assert not [m for m in found.marks if 9.15 < m.chainage < 10.05 and m.level < 2.25]


def test_in_a_narrow_overlap_there_is_room_for_one_column() -> None:
    # 0.4 m: a column 0.10 m from each side would stand 0.10 m from the middle one.
    spans, both = two(0.4)
    plain = setting_out.control_marks(spans, **about())  # type: ignore[arg-type]
    found = setting_out.marks_for_seams(plain, spans, both, limit=1e-6, **about())  # type: ignore[arg-type]
    assert {m.name for m in found.marks} - {m.name for m in plain.marks} <= {"M02 middle"}


def test_a_layout_for_an_accuracy_loses_what_the_seams_marks_make_needless() -> None:
    # 6 mm asked of the pictures and 6.2 mm of the seam: with what the seam takes some marks of the
    # layout can go, and each picture is still as good as was asked.
    spans, both = two()
    layout = setting_out.fewest_marks(spans, both, accuracy=6 * MM, **about())  # type: ignore[arg-type]
    held = setting_out.marks_for_seams(
        layout, spans, both, limit=6.2 * MM, accuracy=6 * MM, **about()  # type: ignore[arg-type]
    )  # fmt: skip
    errors = setting_out.expected_errors(
        both, [[(m.chainage, m.level) for m in held.marks if k in m.set_ups] for k in (1, 2)]
    )
    assert max(errors) <= 6 * MM
    (miss,) = setting_out.seam_misses(spans, both, held.marks)
    assert miss.expected <= 6.2 * MM
    kept = setting_out.marks_for_seams(layout, spans, both, limit=6.2 * MM, **about())  # type: ignore[arg-type]
    assert len(held.marks) < len(kept.marks)


def told(expected: float, *, asked: bool, added: int = 0) -> dict[str, str]:
    misses = [SeamMiss(left=k, right=k + 1, chainage=12.0 * k, expected=expected) for k in (3, 4)]
    marks = [corner(12.0, 0.2 * k, 3, 4) for k in range(added)]
    found = setting_out.seam_findings(misses, marks, limit=5 * MM, asked=asked)
    return {one.code: f"{one.severity} {one.message}" for one in found}


def test_what_is_expected_of_seams_is_told() -> None:
    assert told(4.9 * MM, asked=True) == told(4.9 * MM, asked=False) == {}
    note = told(4.9 * MM, asked=True, added=2)
    assert "2 marks in 1 overlap are there" in note["setting_out.seam_marks"]
    note = told(4.9 * MM, asked=True, added=1)
    assert "1 mark in 1 overlap is there" in note["setting_out.seam_marks"]
    coarse = told(7 * MM, asked=False)["setting_out.seams_coarse"]
    assert coarse.startswith(str(Severity.NOTE))
    assert "At 2 of 2 seams" in coarse
    assert "the worst are set-ups 3 and 4 at 36.00 m by 7.0 mm" in coarse
    short = told(7 * MM, asked=True)["setting_out.seam_unreached"]
    assert short.startswith(str(Severity.WARN))
    assert "set-ups 4 and 5 at 48.00 m by 7.0 mm" in short
    assert "too few marks to say" in told(math.inf, asked=True)["setting_out.seam_unreached"]


def test_malformed_questions_about_seams_are_refused() -> None:
    with pytest.raises(ValueError, match="allowed at a seam is above 0"):
        planned(0.0)
    with pytest.raises(ValueError, match="allowed at a seam is above 0"):
        MarkTerms(seam=0.0)
    with pytest.raises(ValueError, match="part of the standard error"):
        picture(0.0, 1.0, sigma=MM, mark=MM)
