"""How fronts and seams of a made wall meet, and everything amiss that a closure tells."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from giornata.core import artwork, closing, geometry
from giornata.core.artwork import Drawing, Paint, Role, Shape
from giornata.core.closing import Measure, MeasureKind, PlacedMark, Readings, SeamPlace
from giornata.core.foundation import Severity, readonly
from giornata.core.setting_out import FitTerms

MM = 0.001
LIMIT = 10 * MM
ONE_ROW = {1: (-np.inf, np.inf)}
PAINTS = (
    Paint(number=1, key="ground", name="Ground", role=Role.GROUND, artwork=("#ffffff",)),
    Paint(number=2, key="ink", name="Ink", artwork=("#000000",)),
)


def seams(each: float, count: int, closes: int) -> tuple[SeamPlace, ...]:
    return tuple(
        SeamPlace(
            left=k, right=k + 1, closes=k == closes,
            places=np.column_stack([np.full(5, each * k), np.linspace(0.3, 2.7, 5)]),
        )
        for k in range(1, count)
    )  # fmt: skip


@pytest.fixture(scope="module")
def wall(made_closing):
    """Four set-ups, all squared, late marks in, nothing drawn yet."""
    world = made_closing.made_world(np.random.default_rng(5), set_ups=4, as_set=True)
    return world, Readings(
        marks=world.marks,
        pictures=world.pictures,
        foreseen=(),
        measures=world.measures,
        drawn={},
        seams=seams(made_closing.EACH, 4, closes=2),
        scale_sigma=0.3e-3,
    )


def moved(picture, by, up=0.0):
    """The map that draws everything by so much to the right, and up, of where it should be. [m]

    It takes the lens to stand that much farther left, and lower, than it does.
    """
    pose = picture.start
    return replace(pose, lens=readonly(pose.lens + np.array([-by, -up, 0.0])))


def codes(closure, **more):
    return {f.code: f for f in closing.closing_findings(closure, limit=LIMIT, **more)}


def test_c4_pictures_that_are_right_meet_within_what_is_expected(wall):
    _, readings = wall
    drawn = {one.set_up: one.start for one in readings.pictures}
    closure = closing.closed(replace(readings, drawn=drawn))
    assert closure is not None
    for one in closure.meetings:
        assert one.worst < 2 * one.expected < LIMIT
    assert codes(closure) == {}
    assert closure.remaining == ()


def test_c4_a_picture_drawn_30_mm_off_is_found_at_its_seams(wall):
    # By construction: set-up 1 was drawn by a map 30 mm to the right, so its lines lie 30 mm to
    # the right of their places and of set-up 2's.
    _, readings = wall
    drawn = {1: moved(readings.pictures[0], 30 * MM), 2: readings.pictures[1].start}
    closure = closing.closed(replace(readings, drawn=drawn))
    assert closure is not None
    first = closure.meetings[0]
    assert first.along == pytest.approx(-30 * MM, abs=first.known_to)
    finding = codes(closure)["closing.seam"]
    assert finding.severity is Severity.WARN
    assert "set-ups 1 and 2" in finding.subject


def test_c4_the_gap_between_both_ends_is_predicted_then_found(wall):
    _, readings = wall
    before = closing.closed(readings)
    assert before is not None
    (foreseen,) = before.closing
    assert foreseen.worst is None
    assert (foreseen.left, foreseen.right) == (2, 3)
    # Both ends drawn, the right one 40 mm to the right.
    drawn = {
        one.set_up: moved(one, 40 * MM) if one.set_up > 2 else one.start
        for one in readings.pictures
    }
    after = closing.closed(replace(readings, drawn=drawn))
    assert after is not None
    (found,) = after.closing
    assert found.along == pytest.approx(40 * MM, abs=found.known_to)
    assert found.expected == pytest.approx(foreseen.expected, rel=0.2)
    assert "closing.gap" in codes(after)


def coverage(*birds: tuple[float, float]) -> geometry.Coverage:
    """Birds of ink on 48 m of ground, 1 m to a unit."""
    shapes = [Shape(area=shapely.box(0, 0, 48, 3), colour="#ffffff")]
    shapes += [Shape(area=shapely.box(a, 1, b, 2), colour="#000000") for a, b in birds]
    drawing = Drawing(name="frieze.svg", width=48.0, height=3.0, shapes=tuple(shapes))
    made, _ = artwork.painted(artwork.flattened(drawing), PAINTS)
    return made


def test_c4_the_left_over_goes_into_empty_ground_between_the_fronts(wall):
    # By hand: fronts at 12 and 36 m, 0 and 24 mm off to the right, one bird from 20 to 22 m:
    # gaps of 8 and 14 m take 24 mm in proportion, so the bird moves 24 × 8 / 22 mm.
    _, readings = wall
    drawn = {1: readings.pictures[0].start, 4: moved(readings.pictures[3], 24 * MM)}
    closure = closing.closed(replace(readings, drawn=drawn))
    assert closure is not None
    (fronts,) = closure.fronts
    assert fronts.apart == pytest.approx(24 * MM, abs=fronts.known_to)
    assert closure.remaining == (2, 3)
    joins = closing.fronts_to_join(closure, 48.0, LIMIT, ONE_ROW)
    taken = closing.taken_up(coverage((20, 22)), joins, FitTerms(), PAINTS, ground=1)
    (row,) = taken.rows
    (bird,) = row.moves
    share = joins[0].left.along + joins[0].apart * 8 / 22
    assert bird.along == pytest.approx(share, abs=0.01 * MM)
    assert bird.up == pytest.approx(joins[0].left.up + joins[0].up * 8 / 22, abs=0.01 * MM)
    finding = codes(closure, taken=taken)["closing.taken_up"]
    assert finding.severity is Severity.NOTE
    # No room: one shape over both fronts.
    full = closing.taken_up(coverage((10, 40)), joins, FitTerms(), PAINTS, ground=1)
    assert not full.possible
    assert codes(closure, taken=full)["closing.no_room"].severity is Severity.WARN


def test_c4_noise_is_left_alone(wall):
    _, readings = wall
    drawn = {1: readings.pictures[0].start, 4: readings.pictures[3].start}
    closure = closing.closed(replace(readings, drawn=drawn))
    assert closing.fronts_to_join(closure, 48.0, LIMIT, ONE_ROW) == ()
    only_left = closing.closed(replace(readings, drawn={1: moved(readings.pictures[0], 0.05)}))
    (join,) = closing.fronts_to_join(only_left, 48.0, LIMIT, ONE_ROW)
    assert join.left.along == pytest.approx(0.05, abs=join.left.known_to)
    assert (join.right.chainage, join.right.along) == (48.0, 0.0)


def test_c4_a_mark_seen_wrong_is_named_with_what_to_do(made_closing, wall):
    world, readings = wall
    rng = np.random.default_rng(2)
    worse, source = made_closing.slipped(rng, world, "seen", 0.05)
    closure = closing.closed(replace(readings, pictures=worse.pictures))
    finding = codes(closure)["closing.wrong"]
    assert finding.severity is Severity.STOP
    assert finding.subject == f"{source.name} as seen in set-up {source.set_up}"
    assert "Aim set-up" in finding.remedy


def two_marks(*measures: Measure, scale_sigma: float = 1e-6) -> Readings:
    marks = tuple(
        PlacedMark(name=name, chainage=at, level=1.0, chainage_sigma=sigma, level_sigma=MM)
        for name, at, sigma in (("A", 0.0, 1e-5), ("B", 10.0, None), ("C", 20.0, None))
    )
    return Readings(marks=marks, pictures=(), foreseen=(), measures=measures, drawn={}, seams=(),
                    scale_sigma=scale_sigma)  # fmt: skip


def read(kind: MeasureKind, marks: tuple[str, ...], value: float, sigma: float = 2 * MM) -> Measure:
    return Measure(name=f"{kind} {marks}", kind=kind, marks=marks, value=value, sigma=sigma)


def test_c4_two_that_contradict_each_other_are_both_told():
    closure = closing.closed(
        two_marks(
            read(MeasureKind.DISTANCE, ("A", "B"), 10.0), read(MeasureKind.CHAINAGE, ("B",), 10.06)
        )
    )
    finding = codes(closure)["closing.one_of"]
    assert finding.severity is Severity.STOP
    assert "check measurement chainage" in finding.message
    assert "check measurement distance" in finding.message


def test_c4_readings_all_a_little_worse_than_stated_widen_what_is_known():
    # By hand: B read eight times, 4 mm either way about 10 m, stated 2 mm: each off by 2 sigma, so
    # no one is to blame; 8 × 4 = 32 with 7 to spare is beyond the 5 % of chi-square, 14.1, and
    # what is known is widened by the root of 32 / 7.
    eight = [
        replace(read(MeasureKind.CHAINAGE, ("B",), 10 + (-1) ** k * 4 * MM), name=f"{k}")
        for k in range(8)
    ]
    closure = closing.closed(two_marks(*eight))
    assert closure.widened == pytest.approx((32 / 7) ** 0.5, rel=1e-6)
    assert "closing.misfit" in codes(closure)
    b = next(mark for mark in closure.marks if mark.name == "B")
    along = 2 * MM / 8**0.5
    assert b.known_to == pytest.approx(closure.widened * 2.4477 * max(along, MM), rel=1e-3)


def test_c4_a_tape_that_reads_short_is_told():
    # By hand: 20 m by known ends, the tape reads 9.995 + 9.995: short by 0.50 mm in a metre.
    closure = closing.closed(
        two_marks(
            read(MeasureKind.DISTANCE, ("A", "B"), 9.995, 0.2 * MM),
            read(MeasureKind.DISTANCE, ("B", "C"), 9.995, 0.2 * MM),
            read(MeasureKind.CHAINAGE, ("C",), 20.0, 0.2 * MM),
            scale_sigma=1e-3,
        )
    )
    assert "reads short by 0.50 parts in a thousand" in codes(closure)["closing.tape"].message


def test_c4_a_picture_with_too_few_marks_is_left_out(wall):
    _, readings = wall
    first = readings.pictures[0]
    few = replace(first, start=replace(first.start, extras={}), seen=first.seen[:2])
    closure = closing.closed(replace(readings, pictures=(few, *readings.pictures[1:])))
    assert codes(closure)["closing.few_marks"].subject == "set-up 1"
    assert 1 not in closure.joint.maps


def test_c4_an_end_that_is_not_sure_names_the_measurement_that_helps(wall):
    # No picture is squared and nothing is measured: the plan's pictures stand in, aimed to 3 px
    # at marks set to 30 mm.
    _, readings = wall
    weak = tuple(replace(m, chainage_sigma=0.03, level_sigma=0.03) for m in readings.marks)
    aimed = tuple(
        replace(one, seen=tuple(replace(mark, px_sigma=3.0) for mark in one.seen))
        for one in readings.pictures
    )
    closure = closing.closed(
        replace(readings, marks=weak, pictures=(), foreseen=aimed, measures=())
    )
    finding = codes(closure)["closing.unsure"]
    assert finding.severity is Severity.NOTE
    assert closure.worth[0].after < closure.worth[0].before
    assert list(closure.worth) == sorted(closure.worth, key=lambda one: one.after)


def test_c4_a_worth_foretold_is_what_the_measurement_brings(wall):
    # Law: the variance foretold by one update is that of the adjustment with the measurement in.
    _, readings = wall
    closure = closing.closed(replace(readings, measures=readings.measures[:20]))
    best = closure.worth[0]
    more = read(best.kind, best.marks, float(closure.joint.place(best.marks[0])[0]), 2 * MM)
    if best.kind is MeasureKind.DISTANCE:
        apart = closure.joint.place(best.marks[1]) - closure.joint.place(best.marks[0])
        more = replace(more, value=float(np.hypot(*apart)) / (1 + closure.joint.standing.scale))
    again = closing.closed(replace(readings, measures=(*readings.measures[:20], more)))
    assert again.worth[0].before == pytest.approx(best.after, rel=1e-3)


def test_c4_a_gross_contradiction_does_not_pass_for_a_closure(wall, monkeypatch):
    # What comes to rest always does so in a few steps here, so the steps are cut short.
    _, readings = wall
    monkeypatch.setattr("giornata.core.closing.joint._MOST_STEPS", 1)
    closure = closing.closed(readings)
    assert not closure.joint.settled
    assert codes(closure)["closing.unsettled"].severity is Severity.STOP


def test_c4_what_is_drawn_beyond_a_stretch_is_the_front_to_meet(wall):
    # Set-ups 1 and 3 are drawn: the fronts are the seams 1|2 at 12 m and 2|3 at 24 m.
    _, readings = wall
    drawn = {k: readings.pictures[k - 1].start for k in (1, 3)}
    closure = closing.closed(replace(readings, drawn=drawn))
    (fronts,) = closure.fronts
    assert (fronts.left.set_up, fronts.left.chainage) == (1, pytest.approx(12.0))
    assert (fronts.right.set_up, fronts.right.chainage) == (3, pytest.approx(24.0))
    assert closure.remaining == (2, 4)


def test_c4_a_set_up_drawn_by_the_moved_design_meets_both_fronts(wall):
    # As above, fronts 24 mm apart; set-ups 2 and 3 are then drawn by the design as it was moved:
    # their lines meet those of the fronts, where the design as it was would miss by 24 mm.
    _, readings = wall
    drawn = {1: readings.pictures[0].start, 4: moved(readings.pictures[3], 24 * MM)}
    before = closing.closed(replace(readings, drawn=drawn))
    joins = closing.fronts_to_join(before, 48.0, LIMIT, ONE_ROW)
    taken = closing.taken_up(coverage((20, 22)), joins, FitTerms(), PAINTS, ground=1)
    drawn |= {k: readings.pictures[k - 1].start for k in (2, 3)}
    shifts = {2: taken.shifts(11.0, 25.0, 1), 3: taken.shifts(23.0, 37.0, 1)}
    after = closing.closed(replace(readings, drawn=drawn, moved=shifts))
    assert all(one.worst < one.known_to + 1 * MM for one in after.meetings)
    unmoved = closing.closed(replace(readings, drawn=drawn))
    assert unmoved.meetings[2].worst == pytest.approx(24 * MM, abs=unmoved.meetings[2].known_to)


def test_c4_a_height_that_differs_between_both_ends_is_taken_up(wall):
    # Both right set-ups' levels were 18 mm out: fronts level, but 18 mm apart in height. Set-ups 2
    # and 3 drawn by the moved design meet both; drawn as it was, they miss one by 18 mm.
    _, readings = wall
    drawn = {1: readings.pictures[0].start, 4: moved(readings.pictures[3], 0.0, 18 * MM)}
    before = closing.closed(replace(readings, drawn=drawn))
    joins = closing.fronts_to_join(before, 48.0, LIMIT, ONE_ROW)
    assert joins[0].up == pytest.approx(18 * MM, abs=joins[0].up_known_to)
    taken = closing.taken_up(coverage((20, 22)), joins, FitTerms(), PAINTS, ground=1)
    said = codes(before, taken=taken)["closing.taken_up"].message
    assert "higher" in said
    drawn |= {k: readings.pictures[k - 1].start for k in (2, 3)}
    shifts = {2: taken.shifts(11.0, 25.0, 1), 3: taken.shifts(23.0, 37.0, 1)}
    after = closing.closed(replace(readings, drawn=drawn, moved=shifts))
    assert all(one.worst < one.known_to + 1 * MM for one in after.meetings)
    unmoved = closing.closed(replace(readings, drawn=drawn))
    assert unmoved.meetings[2].up == pytest.approx(18 * MM, abs=unmoved.meetings[2].known_to)


def test_c4_each_row_has_its_own_fronts(wall):
    # Set-ups 1 and 2 taken as the lower row, 3 and 4 as the upper one.
    _, readings = wall
    rows = (replace(readings.seams[0], row=1, closes=False),
            replace(readings.seams[2], row=2, closes=False))  # fmt: skip
    drawn = {1: moved(readings.pictures[0], 20 * MM), 4: moved(readings.pictures[3], 0.0, -15 * MM)}
    closure = closing.closed(replace(readings, seams=rows, drawn=drawn))
    low, high = closure.fronts
    assert (low.row, low.left.set_up, low.right) == (1, 1, None)
    assert low.left.along == pytest.approx(20 * MM, abs=low.left.known_to)
    assert (high.row, high.left, high.right.set_up) == (2, None, 4)
    assert high.right.up == pytest.approx(-15 * MM, abs=high.right.known_to)
    joins = closing.fronts_to_join(closure, 48.0, LIMIT, {1: (-np.inf, 1.5), 2: (1.5, np.inf)})
    assert [(one.row, one.low, one.top) for one in joins] == [(1, -np.inf, 1.5), (2, 1.5, np.inf)]
    assert [one.left.chainage for one in joins] == pytest.approx([12.0, 0.0])
    assert [one.right.chainage for one in joins] == pytest.approx([48.0, 36.0])
