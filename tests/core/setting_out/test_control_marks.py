"""Control marks: shared by neighbours, measured from one datum, kept off openings."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from giornata.core import setting_out
from giornata.core.foundation import Severity
from giornata.core.setting_out import MarkLayout

GROUND = [(0.0, 0.0), (78.6, 0.85)]
TOP = [(0.0, 3.2), (52.4, 3.2), (52.4, 2.75), (78.6, 2.75)]
MM = 0.001


def spans(count: int, width: float, step: float, start: float = 0.0) -> np.ndarray:
    left = start + step * np.arange(count)
    return np.stack([left, left + width], axis=1)


def marks(images: np.ndarray, **more: object) -> MarkLayout:
    keywords: dict[str, object] = {"ground": GROUND, "top": TOP, **more}
    return setting_out.control_marks(images, **keywords)  # type: ignore[arg-type]


FOURTEEN = spans(14, 6.1, (78.6 - 6.1) / 13)


def test_n49_fourteen_set_ups_have_thirty_marks() -> None:
    # N49: 15 columns × 2 rows = 30, each but the four at the two ends shared by two neighbours.
    layout = marks(FOURTEEN)
    assert len(layout.marks) == 30
    assert len({mark.name for mark in layout.marks}) == 30
    assert {mark.column for mark in layout.marks} == set(range(1, 16))
    shared = [mark for mark in layout.marks if len(mark.set_ups) == 2]
    single = [mark for mark in layout.marks if len(mark.set_ups) == 1]
    assert (len(shared), len(single)) == (26, 4)
    assert {mark.set_ups for mark in single} == {(1,), (14,)}
    assert all(b == a + 1 for a, b in (mark.set_ups for mark in shared))
    assert layout.findings == ()


def test_n49_each_mark_is_seen_by_its_set_ups_and_every_set_up_has_four() -> None:
    layout = marks(FOURTEEN)
    for mark in layout.marks:
        for number in mark.set_ups:
            start, end = FOURTEEN[number - 1]
            assert start < mark.chainage < end
    for number in range(1, 15):
        assert sum(number in mark.set_ups for mark in layout.marks) == 4


def test_n49_marks_do_not_depend_on_the_marks_before_them() -> None:
    # The same wall with the first six set-ups placed anew: marks beyond them stay where they are.
    other = FOURTEEN.copy()
    other[:6] += 0.07
    before = {mark.name: mark for mark in marks(FOURTEEN).marks}
    after = {mark.name: mark for mark in marks(other).marks}
    for name, mark in before.items():
        if mark.column > 7:
            assert after[name] == mark


def test_a_column_stands_in_the_middle_of_its_overlap() -> None:
    # By hand: images 0..6 and 5..11 overlap from 5 to 6.
    layout = marks(spans(2, 6.0, 5.0))
    middle = [mark for mark in layout.marks if mark.column == 2]
    assert [mark.chainage for mark in middle] == [5.5, 5.5]
    # Ground at 5.5 m: 0.85 × 5.5 / 78.6 = 0.0595; 0.20 m above it, and 0.20 m below 3.20 m.
    assert [mark.level for mark in middle] == pytest.approx([0.259, 3.0], abs=0.5 * MM)
    assert [mark.above_ground for mark in middle] == pytest.approx([0.2, 2.941], abs=0.5 * MM)
    assert [mark.name for mark in middle] == ["M02 lower", "M02 upper"]


def test_chainages_and_levels_are_whole_millimetres() -> None:
    for mark in marks(spans(5, 7.3331, 6.1234)).marks:
        assert mark.chainage == round(mark.chainage, 3)
        assert mark.level == round(mark.level, 3)


def test_end_marks_stay_on_the_wall_though_the_image_runs_over() -> None:
    layout = marks(np.array([[-0.8, 5.0], [4.0, 79.9]]))
    first, last = layout.marks[0], layout.marks[-1]
    assert first.chainage == pytest.approx(0.1)
    assert last.chainage == pytest.approx(78.5)


def test_one_set_up_has_four_marks_of_its_own() -> None:
    layout = marks(np.array([[2.0, 8.0]]))
    assert [mark.chainage for mark in layout.marks] == pytest.approx([2.1, 2.1, 7.9, 7.9])
    assert {mark.set_ups for mark in layout.marks} == {(1,)}


def test_at_a_step_the_upper_mark_keeps_below_the_lower_top() -> None:
    # Images that overlap about the step at 52.40 m, where the top falls from 3.20 to 2.75 m.
    layout = marks(np.array([[46.0, 52.9], [51.9, 58.0]]))
    upper = next(m for m in layout.marks if m.name == "M02 upper")
    assert (upper.chainage, upper.level) == (52.4, 2.55)


def test_a_column_moves_to_the_nearest_clear_place_in_its_overlap() -> None:
    # Overlap 5..6; a gate from 5.30 to 5.80 with 0.05 m for the mark itself: clear up to 5.25 on
    # the left (0.25 m away) and from 5.85 on the right (0.35 m).
    gate = ("Gate", shapely.box(5.3, -1, 5.8, 4))
    layout = marks(spans(2, 6.0, 5.0), keep_off=(gate,))
    moved = [mark for mark in layout.marks if mark.column == 2]
    assert [mark.chainage for mark in moved] == pytest.approx([5.24, 5.24], abs=0.011)
    assert [mark.moved for mark in moved] == pytest.approx([-0.26, -0.26], abs=0.011)
    (finding,) = layout.findings
    assert (finding.code, finding.severity) == ("setting_out.mark_moved", Severity.NOTE)
    assert "M02" in finding.subject


def test_only_the_mark_that_is_barred_leaves_the_column() -> None:
    # A window above 1.50 m over the whole overlap: the lower mark stays, the upper one comes down.
    window = ("Window", shapely.box(4.9, 1.5, 6.1, 4))
    layout = marks(spans(2, 6.0, 5.0), keep_off=(window,))
    low, high = (mark for mark in layout.marks if mark.column == 2)
    assert (low.chainage, low.level) == pytest.approx((5.5, 0.259), abs=0.5 * MM)
    assert high.chainage == 5.5
    assert 1.35 < high.level < 1.45 + 0.5 * MM


def test_a_gate_over_the_whole_overlap_makes_the_marks_impossible() -> None:
    gate = ("Slipway gate", shapely.box(4.0, -1, 7.0, 4))
    layout = marks(spans(2, 6.0, 5.0), keep_off=(gate,))
    assert [mark.column for mark in layout.marks] == [1, 1, 3, 3]
    assert {f.code for f in layout.findings} == {"setting_out.mark_impossible"}
    assert {f.severity for f in layout.findings} == {Severity.WARN}
    assert len(layout.findings) == 2
    assert all("Slipway gate" in f.message for f in layout.findings)


def test_images_that_do_not_overlap_hold_the_job_up() -> None:
    layout = marks(spans(2, 5.0, 6.0))
    (finding,) = layout.findings
    assert (finding.code, finding.severity) == ("setting_out.no_overlap", Severity.STOP)
    assert finding.subject == "set-ups 1 and 2"
    assert "1.00 m" in finding.message
    assert len(layout.marks) == 4


def test_an_image_that_hardly_touches_the_wall_has_no_end_mark() -> None:
    layout = marks(np.array([[-6.0, 0.1]]))
    assert layout.marks == ()
    assert {f.code for f in layout.findings} == {"setting_out.no_overlap"}


def test_marks_stay_inside_what_the_images_show() -> None:
    # Images from 0.60 to 2.40 m: 0.05 m inside their edges.
    layout = marks(spans(2, 6.0, 5.0), levels=np.array([[0.5, 2.4], [0.6, 2.6]]))
    assert [m.level for m in layout.marks if m.column == 2] == pytest.approx([0.65, 2.35])


def test_marks_close_above_one_another_are_warned_of() -> None:
    layout = marks(spans(1, 6.0, 5.0), levels=np.array([[1.0, 1.5]]))
    assert {f.code for f in layout.findings} == {"setting_out.marks_close"}
    assert {f.severity for f in layout.findings} == {Severity.WARN}
    assert "0.40 m" in layout.findings[0].message


def test_a_wall_too_low_for_a_mark_says_so() -> None:
    low = setting_out.control_marks([[0.0, 4.0]], ground=[(0, 0), (4, 0)], top=[(0, 0.3), (4, 0.3)])
    assert low.marks == ()
    assert {f.code for f in low.findings} == {"setting_out.mark_impossible"}
    assert "too little height" in low.findings[0].message


def test_set_ups_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="in order along the wall"):
        marks(np.array([[5.0, 11.0], [0.0, 6.0]]))


def test_an_image_that_ends_before_it_starts_is_refused() -> None:
    with pytest.raises(ValueError, match="ends after it starts"):
        marks(np.array([[5.0, 4.0]]))


def test_no_set_up_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one set-up"):
        marks(np.empty((0, 2)))


def test_levels_for_another_number_of_images_are_refused() -> None:
    with pytest.raises(ValueError, match="each image has its levels"):
        marks(spans(2, 6.0, 5.0), levels=np.array([[0.0, 2.0]]))


def test_a_line_that_runs_back_is_refused() -> None:
    with pytest.raises(ValueError, match="a line runs along the wall"):
        marks(spans(1, 6.0, 5.0), top=[(5.0, 3.0), (0.0, 3.0)])
