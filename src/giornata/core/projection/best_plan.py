"""The best plan of set-ups: fewest, then least edge crossed at the seams; or why there is none."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from giornata.core.foundation import Assumption, Floats
from giornata.core.geometry import Coverage
from giornata.core.projection.covering import (
    Cover,
    Offer,
    Reach,
    TradeOff,
    best_cover,
    furthest_ends,
    trade_offs,
)
from giornata.core.projection.faces import Face
from giornata.core.projection.limits import Limit, Limits
from giornata.core.projection.offers import Lit, Setting, lit_from
from giornata.core.projection.pieces import reached_pieces, summed_trade_offs
from giornata.core.projection.projector import Projector, Stand
from giornata.core.projection.seam_costs import SEAM_STEP, EdgeGrid, edge_grid, seam_costs
from giornata.core.projection.settings import settings_tried
from giornata.core.projection.setups import Unreachable
from giornata.core.projection.spans import Wall
from giornata.core.projection.unreached import unreached
from giornata.core.site import Carrier

__all__ = ["BestPlan", "Image", "best_images"]

EVEN = Assumption(
    name="edge crossed for which a seam is moved one metre from its even place",
    value=0.02,
    unit="m",
    source="own choice: images stay evenly spaced where nothing is gained",
)
NO_MARKS = Assumption(
    name="edge crossed that a seam is worth whose overlap holds no marks",
    value=20.0,
    unit="m",
    source="own choice: more than any seam crosses on a wall of 3 m",
)
MARK_ROOM = Assumption(
    name="width of wall that a column of shared marks takes up",
    value=0.20,
    unit="m",
    source="common practice, no source: a cross of 0.1 m and as much to its side",
    usual=(0.1, 0.3),
)
WORTH_MOVING = Assumption(
    name="edge crossed at seams below which an evenly spaced plan stays",
    value=0.5,
    unit="m",
    source="own choice: even images share more of the wall, and are easier to set out",
    usual=(0.2, 2.0),
)
MORE_SET_UPS = Assumption(
    name="set-ups more than the fewest for which the seams are reckoned too",
    value=3.0,
    unit="-",
    source="own choice",
)
_TOUCH = 1e-6  # m


@dataclass(frozen=True, slots=True, kw_only=True)
class Image:
    """One place of the projector, chosen.

    Parameters
    ----------
    chainage : float
        Of the lens. [m]
    setting : Setting
        Distance, throw ratio, shift to the side, size on a flat wall.
    rows : int
        Rows of images from there. [-]
    start, end : float
        Chainages lit. [m]
    begins : bool
        Whether it is the first beyond a stretch that nothing lights.
    """

    chainage: float
    setting: Setting
    rows: int
    start: float
    end: float
    begins: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class BestPlan:
    """What came of looking for the best plan.

    Parameters
    ----------
    images : tuple of Image
        From the left; empty where no piece of the wall is planned.
    seams : tuple of float
        Where neighbours meet. [m]
    crossed : float or None
        Edge crossed at the seams, straight level edges 1 m each; None without the artwork. [m]
    bound : int
        No plan of what is reached, from these places, has fewer set-ups; 0 where none is. [-]
    stay : bool
        Whether the plan already made is as good: its images hold every limit, are as few, and
        moving them saves too little edge.
    trade_offs : tuple of TradeOff
        What more set-ups would cross.
    unreachable : tuple of Unreachable
        Stretches that no place lights within the limits.
    """

    images: tuple[Image, ...] = ()
    seams: tuple[float, ...] = ()
    crossed: float | None = None
    bound: int = 0
    stay: bool = False
    trade_offs: tuple[TradeOff, ...] = ()
    unreachable: tuple[Unreachable, ...] = ()


def best_images(
    wall: Wall,
    face: Face,
    projector: Projector,
    stand: Stand,
    limits: Limits,
    coverage: Coverage | None,
    *,
    slanted: bool,
    even: Sequence[tuple[float, float, float]],
    gates: Sequence[tuple[float, float]] = (),
) -> BestPlan:
    """Fewest set-ups that hold every limit, then least edge crossed at their seams.

    Parameters
    ----------
    wall : Wall
        Top, ground, lamps and standing room.
    face : Face
        The same wall in columns, as it stands in plan.
    projector : Projector
        The machine.
    stand : Stand
        Where it may stand and what it must reach.
    limits : Limits
        What every place of the wall asks for.
    coverage : geometry.Coverage or None
        The artwork on the wall; without it all seams cost the same.
    slanted : bool
        Whether the wall is not flat or pictures are tilted, so that more throw ratios are tried.
    even : sequence of (float, float, float)
        Chainages of the lens and of both sides of each image of a plan already made, whose places
        are tried too. [m], [m], [m]
    gates : sequence of (float, float)
        Stretches that carry no marks: no seam's overlap lies wholly in one where it can be helped.
        [m], [m]

    Notes
    -----
    The seams offered lie every `SEAM_STEP`, and where the images of the bound end, so that the
    count meets the bound wherever each place needs one row. Where nothing reaches a stretch, every
    piece beside it is planned so by itself; but where pixels alone are too large there, the images
    are left as they are.
    """
    length = wall.band.length
    settings = settings_tried(wall, projector, stand, limits.pitch, slanted=slanted)
    more = np.array([at for at, _, _ in even])
    lit = lit_from(face, wall, projector, stand, settings, limits, more=more)
    every = Reach.of(lit.start, lit.end)
    known = _Known(
        lit=lit,
        overlap=stand.overlap,
        grid=None if coverage is None else edge_grid(coverage, wall.band),
        gates=tuple(gates),
    )
    if furthest_ends(every, length, stand.overlap)[1]:
        return _of_piece(known, 0.0, length, even)
    lost = unreached(wall, face, projector, stand, settings, limits, more=more, every=every)
    return _beside(known, lost, length)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Known:
    """What any piece of the wall is planned from."""

    lit: Lit
    overlap: float
    grid: EdgeGrid | None
    gates: tuple[tuple[float, float], ...]

    def reach(self, begin: float, which: np.ndarray | None = None) -> Reach:
        """Of the stretches lit, or of some of them, from where a piece begins. [m]"""
        start, end = self.lit.start - begin, self.lit.end - begin
        if which is None:
            return Reach.of(start, end)
        return Reach.of(np.where(which, start, 0.0), np.where(which, end, -1.0))

    def reaches(self, begin: float) -> dict[int, Reach]:
        """The same by rows of images."""
        lit = self.lit
        return {
            int(rows): self.reach(begin, lit.rows == rows)
            for rows in np.unique(lit.rows[lit.end > lit.start])
        }


def _beside(known: _Known, lost: tuple[Unreachable, ...], length: float) -> BestPlan:
    """Every piece beside what is lost, each planned by itself.

    None where pixels alone are too large somewhere, as the image is thrown there all the same.
    """
    if any(one.limit is Limit.PIXELS for one in lost):
        return BestPlan(unreachable=lost)
    made = [_of_piece(known, begin, end, ()) for begin, end in reached_pieces(lost, length)]
    if not made or not all(one.images for one in made):
        return BestPlan(unreachable=lost)
    crossed = [one.crossed for one in made if one.crossed is not None]
    return BestPlan(
        images=tuple(
            replace(image, begins=k > 0 and first == 0)
            for k, one in enumerate(made)
            for first, image in enumerate(one.images)
        ),
        seams=tuple(seam for one in made for seam in one.seams),
        crossed=math.fsum(crossed) if crossed else None,
        bound=sum(one.bound for one in made),
        trade_offs=summed_trade_offs([one.trade_offs for one in made], int(MORE_SET_UPS.value)),
        unreachable=lost,
    )


def _of_piece(
    known: _Known, begin: float, end: float, even: Sequence[tuple[float, float, float]]
) -> BestPlan:
    """The best plan of a piece of wall that images reach from end to end."""
    length, overlap, grid = end - begin, known.overlap, known.grid
    reaches, every = known.reaches(begin), known.reach(begin)
    ends, _ = furthest_ends(every, length, overlap)
    evenly = _even_places(even, length, len(ends))
    more = np.concatenate([np.array(ends[:-1]) - overlap / 2, evenly])
    seams = _seams(begin, length, overlap, more)
    wander = max(overlap / 2 - SEAM_STEP.value, 0.0)
    crossed = np.zeros(len(seams)) if grid is None else seam_costs(grid, seams + begin, wander)
    apart = np.abs(seams[:, None] - evenly).min(axis=1) if len(evenly) else np.zeros(len(seams))
    unmarked = _unmarked(seams + begin, overlap, known.gates)
    offer = Offer(
        reaches=reaches,
        seams=seams,
        costs=crossed + EVEN.value * apart + NO_MARKS.value * unmarked,
        length=length,
        overlap=overlap,
    )
    cover = best_cover(offer)
    if cover is None:
        return BestPlan()
    stay = len(even) == len(cover.weights) and _holds_all(every, evenly, offer)
    if stay:
        at = np.abs(seams[:, None] - evenly).argmin(axis=0)
        saved = float(crossed[at].sum() - crossed[np.searchsorted(seams, cover.seams)].sum())
        stay = saved < WORTH_MOVING.value and not unmarked[at].any()
        if stay:
            cover = replace(cover, seams=tuple(seams[at].tolist()))
    chosen = np.searchsorted(seams, cover.seams)

    def on_wall(places: Sequence[float]) -> tuple[float, ...]:
        return tuple((np.array(places) + begin).tolist())

    trades: tuple[TradeOff, ...] = ()
    if grid is not None:
        counts = range(cover.count, cover.count + int(MORE_SET_UPS.value) + 1)
        trades = tuple(
            replace(
                one,
                cost=float(crossed[np.searchsorted(seams, one.seams)].sum()),
                seams=on_wall(one.seams),
            )
            for one in trade_offs(offer, counts[1:])
        )
        cost = float(crossed[chosen].sum())
        trades = (TradeOff(count=cover.count, cost=cost, seams=on_wall(cover.seams)), *trades)
    return BestPlan(
        images=_chosen(known.lit, cover, begin, length, overlap),
        stay=stay,
        seams=on_wall(cover.seams),
        crossed=None if grid is None else float(crossed[chosen].sum()),
        bound=len(ends) if set(reaches) == {1} else cover.count,
        trade_offs=trades,
    )


def _seams(begin: float, length: float, overlap: float, more: Floats) -> Floats:
    """Where neighbours of a piece may meet, from its begin: by steps of the wall, and more. [m]"""
    first, last = overlap / 2, length - overlap / 2
    step = SEAM_STEP.value
    steps = np.arange(math.ceil((begin + first) / step), math.floor((begin + last) / step) + 1)
    every = np.sort(np.concatenate([steps * step - begin, more]))
    every = every[(every >= first) & (every <= last)]
    return every[np.diff(every, prepend=-math.inf) > _TOUCH]


def _unmarked(seams: Floats, overlap: float, gates: Sequence[tuple[float, float]]) -> Floats:
    """1 at seams whose overlap has no room for marks beside a gate, else 0."""
    room = min(MARK_ROOM.value, overlap)
    found = np.zeros(len(seams))
    for start, end in gates:
        within = (seams - overlap / 2 > start - room) & (seams + overlap / 2 < end + room)
        found[within] = 1.0
    return found


def _holds_all(every: Reach, seams: Floats, offer: Offer) -> bool:
    """Whether images hold the wall between these seams, overlaps included."""
    half = offer.overlap / 2
    begins = np.concatenate([[0.0], seams - half])
    ends = np.concatenate([seams + half, [offer.length]])
    return bool((every.at(begins) >= ends - _TOUCH).all())


def _even_places(even: Sequence[tuple[float, float, float]], length: float, count: int) -> Floats:
    """Where the seams would lie if nothing were drawn there. [m]"""
    if len(even) == count:
        return np.array([(a[2] + b[1]) / 2 for a, b in pairwise(even)])
    return np.arange(1, count) * length / count


def _chosen(
    lit: Lit, cover: Cover, start: float, length: float, overlap: float
) -> tuple[Image, ...]:
    """For each stretch between seams the place that holds it best.

    At each height of the lens: straight on, not shifted to a side, wide, centred. Of the heights:
    the one with least pan and tilt, least light lost by zooming, least shift; then the lowest.
    """
    places = [start, *(start + seam for seam in cover.seams), start + length]
    found = []

    def centre_of(one: int) -> float:
        setting = lit.settings[lit.setting[one]]
        return float(lit.chainage[one] + setting.side * setting.image.width)

    for number, rows in enumerate(cover.weights):
        begin = places[number] - (overlap / 2 if number else 0.0)
        end = places[number + 1] + (overlap / 2 if number + 1 < len(cover.weights) else 0.0)
        holds = np.flatnonzero(
            (lit.start <= begin + _TOUCH) & (lit.end >= end - _TOUCH) & (lit.rows == rows)
        )
        middle = (begin + end) / 2
        at_each: dict[tuple[Carrier | None, float | None], int] = {}
        for one in sorted(
            holds.tolist(),
            key=lambda one: (
                abs(lit.settings[lit.setting[one]].pan),
                abs(lit.settings[lit.setting[one]].side),
                lit.settings[lit.setting[one]].ratio,
                lit.settings[lit.setting[one]].centred,
                round(abs(centre_of(one) - middle), 6),
                float(lit.chainage[one]),
            ),
        ):
            setting = lit.settings[lit.setting[one]]
            at_each.setdefault((setting.carrier, setting.height), one)
        best = min(
            at_each.values(),
            key=lambda one: (
                abs(lit.settings[lit.setting[one]].pan),
                round(float(lit.tilt[one]), 6),
                abs(lit.settings[lit.setting[one]].side),
                lit.settings[lit.setting[one]].ratio,
                round(float(lit.shift[one]), 4),
                float(lit.height[one]),
            ),
        )
        found.append(
            Image(
                chainage=float(lit.chainage[best]),
                setting=lit.settings[lit.setting[best]],
                rows=rows,
                start=float(lit.start[best]),
                end=float(lit.end[best]),
            )
        )
    return tuple(found)
