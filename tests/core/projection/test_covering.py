"""Fewest images, then least seam trouble: against brute force, bounds and linear programming."""

import itertools
import math

import numpy as np
import pytest
from scipy.optimize import linprog
from scipy.sparse import csr_array

from giornata.core.projection.covering import (
    Offer,
    Reach,
    best_cover,
    dual_excess,
    furthest_ends,
    trade_offs,
)

LENGTH, OVERLAP = 12.0, 0.4


def _case(seed):
    """A short wall: eight to twelve seams, eight to twenty stretches of one or two rows."""
    rng = np.random.default_rng(seed)
    offered = np.unique(np.round(rng.uniform(0.3, 11.7, rng.integers(8, 13)), 2))
    costs = np.round(rng.uniform(0.0, 2.0, len(offered)), 3)
    stretches = {}
    for weight in (1, 2):
        starts = rng.uniform(-2.0, 11.0, rng.integers(8, 20) // weight)
        widths = rng.uniform(1.5, 5.0, len(starts))
        stretches[weight] = list(zip(starts, starts + widths, strict=True))
    return offered, costs, stretches


def _holds(stretches, begin, end):
    return any(a <= begin + 1e-9 and b >= end - 1e-9 for a, b in stretches)


def _least_weight(stretches, begin, end):
    weights = [w for w, some in stretches.items() if _holds(some, begin, end)]
    return min(weights, default=math.inf)


def _by_brute_force(offered, costs, stretches):
    """Every subset of the seams; the least (count, cost), straight from what a cover is."""
    memo = {}
    best = (math.inf, math.inf)
    for size in range(len(offered) + 1):
        for chosen in itertools.combinations(range(len(offered)), size):
            count, ends = 0, [None, *chosen, None]
            for a, b in itertools.pairwise(ends):
                if (a, b) not in memo:
                    begin = 0.0 if a is None else offered[a] - OVERLAP / 2
                    end = LENGTH if b is None else offered[b] + OVERLAP / 2
                    memo[a, b] = _least_weight(stretches, begin, end)
                count += memo[a, b]
            best = min(best, (count, float(sum(costs[list(chosen)]))))
    return best


def _offer(reaches, seams, costs, length, overlap):
    return Offer(reaches=reaches, seams=seams, costs=costs, length=length, overlap=overlap)


def _reaches(stretches):
    return {
        w: Reach.of([a for a, _ in some], [b for _, b in some]) for w, some in stretches.items()
    }


def test_n54_equal_to_brute_force_on_120_small_walls() -> None:
    impossible = 0
    for seed in range(120):
        offered, costs, stretches = _case(seed)
        count, cost = _by_brute_force(offered, costs, stretches)
        cover = best_cover(_offer(_reaches(stretches), offered, costs, LENGTH, OVERLAP))
        if math.isinf(count):
            assert cover is None
            impossible += 1
            continue
        assert cover.count == count
        assert cover.cost == pytest.approx(cost, abs=1e-9)
        (trade,) = trade_offs(_offer(_reaches(stretches), offered, costs, LENGTH, OVERLAP), [count])
        assert (trade.count, trade.cost) == (count, pytest.approx(cost, abs=1e-9))
        assert sum(costs[np.isin(offered, trade.seams)]) == pytest.approx(cost, abs=1e-9)
    assert 10 <= impossible <= 110  # both kinds are tried


def test_an_impossible_wall_stops_at_the_first_place_not_reached() -> None:
    # Known by construction: nothing lights 5.0 to 6.0 m.
    reach = Reach.of([0, 2, 6, 8], [3, 5, 9, 12])
    ends, whole = furthest_ends(reach, 12.0, 0.4)
    assert (ends, whole) == ((3.0, 5.0), False)
    offered = np.arange(0.5, 11.5, 0.25)
    assert best_cover(_offer({1: reach}, offered, np.zeros(len(offered)), 12.0, 0.4)) is None


def _alike(length, step=0.10, width=11.5):
    """Stations every `step` along a wall, each lighting `width`; seams every 5 cm, costs drawn."""
    rng = np.random.default_rng(4)
    at = np.arange(0.0, length + step, step)
    reach = Reach.of(at - width / 2, at + width / 2)
    offered = np.arange(0.25, length - 0.25, 0.05)
    return reach, offered, np.abs(rng.normal(0.0, 0.2, len(offered)))


def test_the_count_is_the_lower_bound_and_the_cost_is_proven() -> None:
    # The greedy ends are a bound whatever the seams; here the seams offered lie on the grid of the
    # ends, so the bound is met. 183 = 11.5 + 16 × 10.9 - ..: (183 - 11.5) ÷ 11.0 + 1 = 16.6, 17.
    reach, offered, costs = _alike(183.0)
    ends, whole = furthest_ends(reach, 183.0, 0.5)
    offer = _offer({1: reach}, offered, costs, 183.0, 0.5)
    cover = best_cover(offer)
    assert whole
    assert cover.count == len(ends) == 17
    assert dual_excess(cover, offer) <= 1e-9
    # A potential pushed up at one seam is no proof any more.
    raised = cover.potentials.copy()
    raised[-1] += 0.01
    wrong = type(cover)(
        seams=cover.seams, weights=cover.weights, cost=cover.cost, potentials=raised,
        step=cover.step,
    )  # fmt: skip
    assert dual_excess(wrong, offer) == pytest.approx(0.01)


def test_the_same_least_cost_by_linear_programming() -> None:
    # Shortest path as a linear programme: HiGHS through scipy, a public library.
    reach, offered, costs = _alike(60.0, width=7.3)
    cover = best_cover(_offer({1: reach}, offered, costs, 60.0, 0.5))
    begins = np.concatenate([[0.0], offered - 0.25])
    ends = np.concatenate([offered + 0.25, [60.0]])
    j, i = np.nonzero(reach.at(begins)[:, None] >= ends[None, :] - 1e-7)
    forward = i + 1 > j
    j, i = j[forward], i[forward] + 1
    price = cover.step + np.concatenate([costs, [0.0]])[i - 1]
    arcs = np.arange(len(j))
    flow = csr_array(
        (np.r_[-np.ones(len(j)), np.ones(len(j))], (np.r_[j, i], np.r_[arcs, arcs])),
        shape=(len(offered) + 2, len(j)),
    )
    supply = np.zeros(len(offered) + 2)
    supply[0], supply[-1] = -1.0, 1.0
    solved = linprog(price, A_eq=flow, b_eq=supply, method="highs")
    assert solved.success
    assert cover.step * cover.count + cover.cost == pytest.approx(solved.fun, abs=1e-6)


def test_one_more_set_up_never_costs_more_at_the_seams_by_much() -> None:
    # Law: with more set-ups the least cost with at most so many never rises.
    reach, offered, costs = _alike(60.0, width=7.3)
    cover = best_cover(_offer({1: reach}, offered, costs, 60.0, 0.5))
    trades = trade_offs(
        _offer({1: reach}, offered, costs, 60.0, 0.5), range(cover.count - 1, cover.count + 4)
    )
    assert [one.count for one in trades] == list(range(cover.count, cover.count + 4))
    assert trades[0].cost == pytest.approx(cover.cost, abs=1e-9)
    for one in trades:
        assert len(one.seams) == one.count - 1


def test_fifteen_set_ups_on_a_long_wall() -> None:
    # Trade fact (common practice, no source): about fifteen set-ups on about 183 m by 3 m. A
    # picture twelve to thirteen metres wide with half a metre shared: (183 - 12.7) ÷ 12.2 = 13.96.
    reach, offered, costs = _alike(183.0, width=12.7)
    assert best_cover(_offer({1: reach}, offered, costs, 183.0, 0.5)).count == 15


def test_seams_out_of_order_are_refused() -> None:
    reach = Reach.of([0], [5])
    with pytest.raises(ValueError, match="seams offered ascend"):
        best_cover(_offer({1: reach}, [2.0, 1.0], [0.0, 0.0], 5.0, 0.4))
    with pytest.raises(ValueError, match="half an overlap"):
        best_cover(_offer({1: reach}, [0.1], [0.0], 5.0, 0.4))
    with pytest.raises(ValueError, match="has one cost"):
        best_cover(_offer({1: reach}, [1.0], [], 5.0, 0.4))
    with pytest.raises(ValueError, match="length above 0"):
        best_cover(_offer({1: reach}, [], [], 0.0, 0.4))
