"""Control marks of a whole job: the accuracy asked of them, and where they may not stand."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest

from giornata.core.job import derive
from giornata.core.setting_out import ChalkedMark, MarkTerms
from giornata.core.survey import Obstacle, Pier
from giornata.core.works import TransferStretch, TransferTerms, TransferWay


def test_marks_asked_for_an_accuracy_hold_it(small_job):
    plain = derive(small_job, memo={})
    asked = derive(replace(small_job, marks_asked=MarkTerms(accuracy=0.007)), memo={})
    assert len(asked.marks) > len(plain.marks)
    assert max(asked.mark_errors) <= 0.007 < max(plain.mark_errors)
    assert "setting_out.marks_chosen" in {finding.code for finding in asked.findings}
    assert len(plain.mark_errors) == len(plain.set_ups.set_ups)


def test_marks_keep_off_joints_piers_and_what_stands_before_the_wall(small_job):
    # The two columns of overlaps stand at about 5 and 10 m: a joint, a pier and a hedge there.
    plain = derive(small_job, memo={})
    at = sorted({mark.chainage for mark in plain.marks})[1:3]
    survey = replace(
        small_job.survey,
        joints=(at[0],),
        piers=(Pier(name="P", at=at[1], width=0.4, proud=0.1),),
        obstacles=(Obstacle(name="Hedge", kind="hedge", start=18.0, end=20.0, height=0.6),),
    )
    marks = derive(replace(small_job, survey=survey), memo={}).marks
    assert all(abs(mark.chainage - at[0]) >= 0.05 for mark in marks)
    assert all(abs(mark.chainage - at[1]) >= 0.25 for mark in marks)
    assert all(mark.above_ground >= 0.65 - 1e-9 for mark in marks if mark.chainage > 17.95)


def test_marks_worse_than_lines_must_be_are_said_so(small_job):
    coarse = "setting_out.marks_coarse"
    plain = derive(small_job, memo={})
    worst = max(plain.mark_errors)
    strict = replace(small_job, tools=replace(small_job.tools, registration=worst - 0.0005))
    (said,) = (f for f in derive(strict, memo={}).findings if f.code == coarse)
    assert f"up to {1000 * worst:.0f} mm" in said.message
    wide = replace(small_job, tools=replace(small_job.tools, registration=worst + 0.0005))
    assert coarse not in {f.code for f in derive(wide, memo={}).findings}
    asked = replace(strict, marks_asked=MarkTerms(accuracy=0.007))
    assert coarse not in {f.code for f in derive(asked, memo={}).findings}


def test_n46_set_ups_that_are_not_projected_are_not_said_to_be_coarse(small_job):
    # With lines good for 1 mm every set-up and every seam is too coarse; what goes by grid is not
    # squared on marks at all, so it has no part in that.
    strict = replace(small_job, tools=replace(small_job.tools, registration=0.001))
    grid = TransferStretch(start=0.0, end=5.0, way=TransferWay.GRID)
    part = replace(strict, transfer=TransferTerms(stretches=(grid,)))
    plain, parted = derive(strict, memo={}), derive(part, memo={})
    every = [one.number for one in plain.set_ups.set_ups]
    kept = [number for number in every if number not in parted.unprojected]
    assert 0 < len(kept) < len(every)
    for results, numbers in ((plain, every), (parted, kept)):
        found = {f.code: f for f in results.findings}
        named = found["setting_out.marks_coarse"].subject
        assert [int(n) for n in re.findall(r"\d+", named)] == numbers
        seams = sum(a + 1 == b for a, b in itertools.pairwise(numbers))
        coarse = found.get("setting_out.seams_coarse")
        assert (f"of {seams} seam" in coarse.message) if coarse else seams == 0


def test_c4_lost_and_chalked_marks_are_as_on_the_wall(small_job):
    # By construction: nothing aims at the lost mark, its picture is worse; the new one, chalked
    # 10 cm beside it, makes it as good again to a tenth.
    before = derive(small_job, memo={})
    gone = before.marks[2]
    lost = replace(small_job, marks_asked=MarkTerms(lost=(gone.name,)))
    after = derive(lost, memo={})
    assert next(m for m in after.marks if m.name == gone.name).set_ups == ()
    hit = [n - 1 for n in gone.set_ups]
    assert all(after.mark_errors[k] > before.mark_errors[k] for k in hit)
    new = ChalkedMark(name="N01 lower", chainage=gone.chainage + 0.1, level=gone.level)
    made = derive(
        replace(small_job, marks_asked=MarkTerms(lost=(gone.name,), chalked=(new,))), memo={}
    )
    chalked = next(m for m in made.marks if m.name == new.name)
    assert set(chalked.set_ups) <= set(gone.set_ups)
    assert chalked.above_ground == pytest.approx(gone.above_ground, abs=0.01)
    for k in (n - 1 for n in chalked.set_ups):
        assert made.mark_errors[k] == pytest.approx(before.mark_errors[k], rel=0.1)


def test_c4_marks_that_do_not_fit_the_job_are_told(small_job):
    planned = derive(small_job, memo={}).marks[0]
    terms = MarkTerms(
        lost=("M99 lower",),
        chalked=(
            ChalkedMark(name=planned.name, chainage=1.0, level=1.0),
            ChalkedMark(name="N01 lower", chainage=900.0, level=1.0),
        ),
    )
    found = derive(replace(small_job, marks_asked=terms), memo={}).findings
    (said,) = [f for f in found if f.code == "setting_out.mark_strange"]
    for words in ("M99 lower, said to be lost", "a name that is taken", "where no set-up's"):
        assert words in said.message


def test_n49_a_limit_for_seams_adds_marks_where_pictures_meet(small_job):
    # Without one, what neighbours may miss by is told beside what lines are good for.
    plain = derive(small_job, memo={})
    worst = max(one.expected for one in plain.seam_misses)
    assert len(plain.seam_misses) == len(plain.set_ups.set_ups) - 1
    strict = replace(small_job, tools=replace(small_job.tools, registration=worst - 0.0005))
    (note,) = (f for f in derive(strict, memo={}).findings if f.code == "setting_out.seams_coarse")
    assert f"{1000 * worst:.1f} mm" in note.message
    asked = derive(replace(strict, marks_asked=MarkTerms(seam=0.8 * worst)), memo={})
    codes = {f.code for f in asked.findings}
    assert "setting_out.seam_marks" in codes
    assert not codes & {"setting_out.seams_coarse", "setting_out.seam_unreached"}
    assert max(one.expected for one in asked.seam_misses) <= 0.8 * worst
    new = {m.name for m in asked.marks} - {m.name for m in plain.marks}
    assert new
    assert all(len(m.set_ups) == 2 for m in asked.marks if m.name in new)
    none = derive(replace(small_job, marks_asked=MarkTerms(seam=0.0001)), memo={})
    (short,) = (f for f in none.findings if f.code == "setting_out.seam_unreached")
    assert f"at {none.seam_misses[0].chainage:.2f} m" in short.message


def _two_rows(small_job, **stand):
    """From 3.5 m a picture is 2.5 by 1.56 m: two rows over 2.5 m of wall."""
    return replace(small_job, stand=replace(small_job.stand, distance=3.5, **stand))


def test_n46_rows_share_the_marks_between_them_and_their_seams_are_told(small_job):
    whole = replace(small_job, survey=replace(small_job.survey, openings=()))
    results = derive(_two_rows(whole), memo={})
    set_ups = results.set_ups.set_ups
    assert results.set_ups.rows == 2
    for low, high in zip(set_ups[::2], set_ups[1::2], strict=True):
        shared = [m for m in results.marks if {low.number, high.number} <= set(m.set_ups)]
        assert len(shared) == 4  # the lower's upper two and the upper's lower two
        assert all(high.foot + 0.049 <= m.level <= low.head - 0.049 for m in shared)
    beside = [one for one in results.seam_misses if one.level is None]
    above = [one for one in results.seam_misses if one.level is not None]
    assert len(beside) == len(set_ups) - 2
    assert [(one.left, one.right) for one in above] == [
        (k, k + 1) for k in range(1, len(set_ups), 2)
    ]
    for one in above:
        low, high = set_ups[one.left - 1], set_ups[one.right - 1]
        assert high.foot < one.level < low.head
    worst = max(one.expected for one in results.seam_misses)
    asked = derive(_two_rows(replace(whole, marks_asked=MarkTerms(seam=0.8 * worst))), memo={})
    assert max(one.expected for one in asked.seam_misses) <= 0.8 * worst
    assert {f.code for f in asked.findings} & {"setting_out.seam_marks"}


def test_n46_marks_of_two_rows_that_would_stand_in_one_another_are_one(small_job):
    # Rows that overlap by 0.2 m: half a cross from either edge leaves 0.1 m between the lower row's
    # upper mark and the upper row's lower one, and by less they are one mark that both see.
    survey = replace(
        small_job.survey,
        heights=tuple(replace(one, height=2.96) for one in small_job.survey.heights),
        openings=(),
    )
    job = _two_rows(replace(small_job, survey=survey), overlap=0.15)
    results = derive(job, memo={})
    low, high = results.set_ups.set_ups[:2]
    assert results.set_ups.rows == 2
    assert 0.1 < low.head - high.foot < 0.2
    shared = [m for m in results.marks if {1, 2} <= set(m.set_ups)]
    assert len(shared) == 2
    assert all(m.name.startswith("row 1") for m in shared)
    assert all(sum(n in m.set_ups for m in results.marks) == 4 for n in (low.number, high.number))
