"""The joint adjustment against a published level net, published traverses, and worked lengths."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.sparse import csr_array

from giornata.core import closing
from giornata.core.closing import Measure, MeasureKind, PlacedMark, Source, SourceKind
from giornata.core.geometry import least_squares, open_unknowns, sparse_least_squares

MM = 0.001
REFERENCE = Path(__file__).parents[2] / "reference"


def rows_of(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8") as table:
        return list(csv.DictReader(line for line in table if not line.startswith("#")))


def mark(name: str, chainage: float = 0.0, level: float = 0.0, **sigma: float) -> PlacedMark:
    return PlacedMark(
        name=name, chainage=chainage, level=level,
        chainage_sigma=sigma.get("chainage_sigma"), level_sigma=sigma.get("level_sigma"),
    )  # fmt: skip


def measure(
    kind: MeasureKind, marks: tuple[str, ...], value: float, sigma: float = 2 * MM
) -> Measure:
    return Measure(
        name=f"{kind} {' '.join(marks)}", kind=kind, marks=marks, value=value, sigma=sigma
    )


def test_c4_a_published_level_net_comes_out_as_printed():
    # GNU Gama's sample levelling network (tests/reference/survey_level_net.csv): 8 observed
    # height differences, one fixed point, heights and sum of squares as printed.
    marks = [mark("1a", level_sigma=1e-7, chainage_sigma=1.0)]
    marks += [mark(name, chainage_sigma=1.0) for name in ("2", "3", "4")]
    observed = [
        measure(
            MeasureKind.LEVEL, (row["from"], row["to"]), float(row["observed_dh_m"]),
            float(row["std_dev_mm_a_priori_5"]) * MM,
        )
        for row in rows_of("survey_level_net.csv")
    ]  # fmt: skip
    found = closing.joined(marks, (), observed, scale_sigma=1.0)
    assert found is not None
    for name, height in (("4", 998.77513), ("3", 997.93325), ("2", 999.27487)):
        assert float(found.place(name)[1]) + 1000 == pytest.approx(height, abs=0.006 * MM)
    assert found.freedom == 5
    # Sum of pvv as printed, weights all 1: 146.625 mm².
    square = float(np.sum((found.fit.residuals[-9:-1] / MM) ** 2))
    assert square == pytest.approx(146.625, abs=0.01)
    assert math.sqrt(square / found.freedom) == pytest.approx(5.42, abs=0.005)  # m0 as printed


@pytest.mark.parametrize(("called", "within"), [("Mahun2", 0.002), ("six-course", 0.02)])
def test_c4_published_traverses_close_by_the_compass_rule(called, within):
    # Least squares with variances in proportion to length is the compass rule. Adjusted latitudes
    # and departures as published, in feet (their own rounding: three and four decimals; the
    # six-course sheet rounds its corrections by the hundred).
    legs = [row for row in rows_of("survey_traverse.csv") if row["set"] == called]
    names = [str(number) for number in range(len(legs))]
    marks = [mark("0", chainage_sigma=1e-6, level_sigma=1e-6), *map(mark, names[1:])]
    observed = []
    for number, row in enumerate(legs):
        pair = (names[number], names[(number + 1) % len(legs)])
        length = row["length_ft"]
        sigma = 0.01 * math.sqrt(float(length))
        observed.append(measure(MeasureKind.PLUMB, pair, float(row["dep"]), sigma))
        observed.append(measure(MeasureKind.LEVEL, pair, float(row["lat"]), sigma))
    found = closing.joined(marks, (), observed, scale_sigma=1.0)
    assert found is not None
    for number, row in enumerate(legs):
        leg = found.place(names[(number + 1) % len(legs)]) - found.place(names[number])
        assert leg.tolist() == pytest.approx(
            [float(row["dep_adj"]), float(row["lat_adj"])], abs=within
        )


def test_c4_a_long_tape_is_told_by_two_known_ends():
    # By hand: ends at 0 and 100 m, known; five pulls of 20 m read 20.004 each, so the tape reads
    # long and its scale is 20 / 20.004 - 1 = -0.2 mm/m; the marks stand at 20, 40, 60, 80 m.
    marks = [mark(f"M{k}", 20.004 * k, level_sigma=MM) for k in range(6)]
    pulls = [measure(MeasureKind.DISTANCE, (f"M{k}", f"M{k + 1}"), 20.004) for k in range(5)]
    ends = [
        measure(MeasureKind.CHAINAGE, ("M0",), 0.0, 1e-5),
        measure(MeasureKind.CHAINAGE, ("M5",), 100.0, 1e-5),
    ]
    found = closing.joined(marks, (), [*pulls, *ends], scale_sigma=1.0)
    assert found is not None
    assert found.standing.scale == pytest.approx(20 / 20.004 - 1, abs=1e-8)
    assert [float(found.place(f"M{k}")[0]) for k in range(6)] == pytest.approx(
        [0, 20, 40, 60, 80, 100], abs=0.001 * MM
    )


def test_c4_a_tape_over_a_bend_is_straight_in_space():
    # By hand: a corner of 90 degrees at 3 m; marks 3 m before and 4 m beyond it: 5 m by tape.
    def corner(places):
        along, up = places.T
        return np.column_stack([np.minimum(along, 3.0), up, np.maximum(along - 3.0, 0.0)])

    marks = [mark("A", 0.0, chainage_sigma=1e-6, level_sigma=1e-6), mark("B", 7.01, level_sigma=MM)]
    pull = measure(MeasureKind.DISTANCE, ("A", "B"), 5.0)
    found = closing.joined(marks, (), [pull], scale_sigma=1e-9, in_space=corner)
    assert found is not None
    assert float(found.place("B")[0]) == pytest.approx(7.0, abs=0.001 * MM)


def test_the_sparse_solution_is_that_of_the_dense_one():
    # Law: both are the least squares of the same equations.
    rng = np.random.default_rng(3)
    design = rng.normal(size=(40, 12)) * (rng.random((40, 12)) < 0.4)
    design[:12] += np.eye(12)
    observed, sigma = rng.normal(size=40), rng.uniform(0.5, 2, 40)
    dense, sparse = (
        least_squares(design, observed, sigma),
        sparse_least_squares(csr_array(design), observed, sigma),
    )
    assert sparse is not None
    covariance = sparse.covariance()
    assert sparse.values == pytest.approx(dense.values, abs=1e-10)
    assert covariance == pytest.approx(dense.covariance(), abs=1e-10)
    own = np.diag(sparse.left_in(range(40), covariance))
    assert own == pytest.approx(dense.redundancy, abs=1e-10)
    assert (sparse.freedom, sparse.weighted_square) == (
        dense.freedom, pytest.approx(dense.weighted_square)
    )  # fmt: skip


def test_what_nothing_holds_is_named_and_not_solved():
    design = csr_array(np.array([[1.0, -1.0, 0.0], [2.0, -2.0, 0.0], [0.0, 0.0, 1.0]]))
    assert sparse_least_squares(design, np.ones(3), np.ones(3)) is None
    assert open_unknowns(design, np.ones(3)) == (True, True, False)
    marks = [mark("A", chainage_sigma=MM, level_sigma=MM), mark("B", 5.0)]
    found = closing.joined(marks, (), (), scale_sigma=1e-3)
    assert found is not None
    assert found.open_marks == ("B",)
    assert found.names == ("A",)
    assert closing.joined([mark("B")], (), (), scale_sigma=1e-3) is None


def test_equations_that_make_no_sense_are_refused():
    with pytest.raises(ValueError, match="one observation"):
        sparse_least_squares(csr_array(np.ones((2, 1))), np.ones(3), np.ones(2))
    with pytest.raises(ValueError, match="finite"):
        sparse_least_squares(csr_array(np.ones((2, 1))), np.array([1, np.nan]), np.ones(2))
    with pytest.raises(ValueError, match="above 0"):
        sparse_least_squares(csr_array(np.ones((2, 1))), np.ones(2), np.zeros(2))
    with pytest.raises(ValueError, match="deviation is above 0"):
        mark("A", chainage_sigma=0.0)
    with pytest.raises(ValueError, match="not measured on 1 mark"):
        measure(MeasureKind.PLUMB, ("A",), 0.0)
    with pytest.raises(ValueError, match="not the same"):
        measure(MeasureKind.LEVEL, ("A", "A"), 0.0)
    with pytest.raises(ValueError, match="distance is above 0"):
        measure(MeasureKind.DISTANCE, ("A", "B"), 0.0)


def ring(slip: float = 0.0) -> list[Measure]:
    """A chain of four pulls with its overall and both known ends; one pull read long by a slip."""
    pulls = [measure(MeasureKind.DISTANCE, (f"M{k}", f"M{k + 1}"), 10.0) for k in range(4)]
    pulls[1] = measure(MeasureKind.DISTANCE, ("M1", "M2"), 10.0 + slip)
    more = [measure(MeasureKind.DISTANCE, (f"M{k}", f"M{k + 2}"), 20.0) for k in range(3)]
    ends = [measure(MeasureKind.CHAINAGE, (f"M{k}",), 10.0 * k) for k in (0, 2, 4)]
    return [*pulls, *more, *ends]


def ring_adjusted(readings, aside=()):
    marks = [mark(f"M{k}", 10.0 * k, level_sigma=MM) for k in range(5)]
    return closing.joined(marks, (), readings, scale_sigma=1e-6, without=aside)


def test_c4_a_pull_read_30_mm_long_is_named_and_set_aside():
    found = closing.sifted(lambda aside: ring_adjusted(ring(30 * MM), aside))
    assert found is not None
    (named,) = found.named
    assert named.source == Source(SourceKind.MEASURED, 0, "distance M1 M2")
    assert named.off == pytest.approx((30 * MM,), abs=0.01 * MM)  # by construction
    assert found.one_of == ()
    assert float(found.joint.place("M1")[0]) == pytest.approx(10.0, abs=0.01 * MM)


def test_c4_nothing_is_blamed_where_all_agree():
    found = closing.sifted(lambda aside: ring_adjusted(ring(), aside))
    assert found is not None
    assert found.named == found.one_of == ()
    # Baarda 1968 with one number: least error found = (z + z') sigma / sqrt(r), here at 1 % over
    # all of 15 readings (levels included) and 80 %.
    one = next(d for d in found.doubts if d.source.name == "distance M1 M2")
    row = found.joint.sources.index(one.source)
    left = found.joint.fit.left_in([row], found.joint.covariance)[0, 0]
    assert len(found.doubts) == 15
    # 3.4029 and 0.8416: of 0.01/15 two-sided and of 0.80, tables of the normal distribution.
    assert one.detectable == pytest.approx((3.4029 + 0.8416) * 2 * MM / math.sqrt(left), rel=2e-3)


def test_c4_two_readings_that_only_check_each_other_are_both_named():
    marks = [mark("A", 0.0, chainage_sigma=1e-5, level_sigma=MM), mark("B", 10.0, level_sigma=MM)]
    both = [
        measure(MeasureKind.DISTANCE, ("A", "B"), 10.0),
        measure(MeasureKind.CHAINAGE, ("B",), 10.05),
    ]

    def adjust(aside):
        return closing.joined(marks, (), both, scale_sigma=1e-6, without=aside)

    found = closing.sifted(adjust)
    assert found is not None
    assert found.named == ()
    names = {one.source.name for one in found.one_of}
    assert names >= {"distance A B", "chainage B"}
