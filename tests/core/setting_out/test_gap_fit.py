"""The fit of gaps: worked by hand, against every active set, and against a general solver."""

from __future__ import annotations

from itertools import product

import clarabel
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import sparse
from scipy.optimize import minimize

from giornata.core.setting_out.gap_fit import GapFit, fit_gaps

NANOMETRE = 1e-9
widths = st.lists(st.floats(0.001, 5.0), min_size=1, max_size=7)


def one_span(gaps: list[float], least: float, wanted: float) -> GapFit:
    return fit_gaps(gaps, least, [0], [wanted])


def cost(gaps: np.ndarray, changes: np.ndarray) -> float:
    return float(np.sum(changes**2 / gaps))


def by_every_active_set(gaps: np.ndarray, lower: np.ndarray, wanted: float) -> np.ndarray | None:
    """The optimum found by trying every set of gaps that stand at their least."""
    best = None
    for at_least in product((False, True), repeat=len(gaps)):
        held = np.array(at_least)
        changes = np.where(held, lower, 0.0)
        if not held.all():
            changes[~held] = gaps[~held] * (wanted - changes.sum()) / gaps[~held].sum()
        if abs(changes.sum() - wanted) > NANOMETRE or (changes < lower - NANOMETRE).any():
            continue
        if best is None or cost(gaps, changes) < cost(gaps, best):
            best = changes
    return best


def test_gaps_grow_in_proportion_to_their_widths() -> None:
    # By hand: 120 mm over gaps of 1, 3 and 2 m: a fiftieth of each.
    fit = one_span([1.0, 3.0, 2.0], 0.05, 0.120)
    assert fit.changes == pytest.approx([0.020, 0.060, 0.040], abs=NANOMETRE)
    assert fit.rates == pytest.approx([0.02])


def test_a_gap_at_its_least_leaves_the_rest_to_the_others() -> None:
    # By hand: -1 m over 1, 3 and 0.5 m. In proportion the last would give 0.111 m, to 0.389 m;
    # its least is 0.40 m, so it gives 0.1 m and the others 0.9 m, as 1 to 3.
    fit = one_span([1.0, 3.0, 0.5], 0.4, -1.0)
    assert fit.changes == pytest.approx([-0.225, -0.675, -0.1], abs=NANOMETRE)
    assert fit.possible.all()


def test_a_gap_narrower_than_the_least_gets_no_narrower() -> None:
    fit = one_span([0.010, 1.0], 0.020, -0.1)
    assert fit.changes == pytest.approx([0.0, -0.1], abs=NANOMETRE)


def test_shapes_that_touch_go_on_touching() -> None:
    fit = one_span([0.0, 1.0, 0.0], 0.020, 0.3)
    assert fit.changes.tolist() == pytest.approx([0.0, 0.3, 0.0])


def test_each_span_between_anchors_is_fitted_alone() -> None:
    fit = fit_gaps([1.0, 1.0, 2.0, 2.0], 0.01, [0, 2], [0.1, -0.4])
    assert fit.changes == pytest.approx([0.05, 0.05, -0.2, -0.2], abs=NANOMETRE)


def test_a_span_without_room_is_told_and_gives_what_it_has() -> None:
    fit = fit_gaps([0.3, 0.2, 0.0], 0.1, [0, 2], [-0.5, 0.2])
    assert fit.possible.tolist() == [False, False]
    assert fit.changes == pytest.approx([-0.2, -0.1, 0.0], abs=NANOMETRE)


@given(widths, st.floats(0.0, 0.5), st.floats(-0.999, 2.0))
def test_the_fit_is_the_best_of_every_active_set(
    gaps: list[float], least: float, share: float
) -> None:
    lower = np.minimum(least - np.array(gaps), 0.0)
    wanted = share * -float(lower.sum()) if share < 0 else share
    fit = one_span(gaps, least, wanted)
    best = by_every_active_set(np.array(gaps), lower, wanted)
    assert best is not None
    assert fit.possible.all()
    assert fit.changes == pytest.approx(best, abs=NANOMETRE)
    assert fit.residual < 1e-9


@given(st.lists(st.floats(0.05, 3.0), min_size=2, max_size=6), st.floats(-0.8, 1.0))
def test_the_fit_costs_no_more_than_scipys_general_programme(
    gaps: list[float], share: float
) -> None:
    width = np.array(gaps)
    lower = np.minimum(0.02 - width, 0.0)
    wanted = share * -float(lower.sum())
    found = minimize(
        lambda d: cost(width, d), np.full(len(gaps), wanted / len(gaps)),
        jac=lambda d: 2 * d / width, method="SLSQP",
        bounds=[(low, None) for low in lower],
        constraints={"type": "eq", "fun": lambda d: d.sum() - wanted},
        options={"ftol": 1e-14, "maxiter": 500},
    )  # fmt: skip
    fit = one_span(gaps, 0.02, wanted)
    assert cost(width, fit.changes) <= found.fun + 1e-7
    assert fit.changes == pytest.approx(found.x, abs=1e-4)  # SLSQP stops by the cost alone


@pytest.mark.parametrize("share", [0.02, -0.1, -0.5])
def test_two_thousand_gaps_as_an_interior_point_solver_finds_them(share: float) -> None:
    # Clarabel (Goulart and Chen 2024), an open solver of cone programmes, at its tightest.
    width = np.random.default_rng(7).lognormal(-2.5, 1.0, 2000)
    lower = np.minimum(0.02 - width, 0.0)
    wanted = share * float(width.sum())
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-12
    solver = clarabel.DefaultSolver(
        sparse.diags(2 / width).tocsc(), np.zeros(2000),
        sparse.vstack([np.ones((1, 2000)), -sparse.eye(2000)]).tocsc(),
        np.append(wanted, -lower),
        [clarabel.ZeroConeT(1), clarabel.NonnegativeConeT(2000)], settings,
    )  # fmt: skip
    best = np.array(solver.solve().x)
    fit = one_span(width.tolist(), 0.02, wanted)
    assert fit.residual < 1e-9
    assert fit.changes == pytest.approx(best, abs=1e-6)
    assert cost(width, fit.changes) <= cost(width, best) * (1 + 1e-9)


def test_a_chain_of_twenty_thousand_shapes_meets_the_conditions() -> None:
    rng = np.random.default_rng(3)
    width = rng.lognormal(-3, 1, 20001)
    first = np.arange(0, 20001, 1539)
    total = np.add.reduceat(width, first)
    for share in (0.01, -0.05, -0.3, -0.6):
        fit = fit_gaps(width, 0.02, first, share * total)
        assert fit.possible.all()
        assert fit.residual < 1e-9
        assert np.add.reduceat(fit.changes, first) == pytest.approx(share * total, abs=NANOMETRE)
        assert (width + fit.changes >= np.minimum(width, 0.02) - NANOMETRE).all()


@pytest.mark.parametrize(
    ("gaps", "first", "wanted", "says"),
    [
        ([], [0], [0.1], "0 or more, and there is one"),
        ([-0.1], [0], [0.1], "0 or more, and there is one"),
        ([0.1, 0.2], [1], [0.1], "begin at the first gap"),
        ([0.1, 0.2], [0, 2], [0.1, 0.1], "begin at the first gap"),
        ([0.1, 0.2], [0], [0.1, 0.1], "finite length"),
        ([0.1, 0.2], [0], [float("nan")], "finite length"),
    ],
)
def test_malformed_chains_are_refused(
    gaps: list[float], first: list[int], wanted: list[float], says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        fit_gaps(gaps, 0.02, first, wanted)
