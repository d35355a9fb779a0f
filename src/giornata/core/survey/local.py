"""Which part of a wall one unknown of its readings can change."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from giornata.core.survey.network import Axis, Unknown
from giornata.core.survey.observations import Bay, WallSurvey
from giornata.core.survey.wall_network import WallNetwork

__all__ = ["changed_parts"]

_Span = tuple[float, float]


def changed_parts(
    network: WallNetwork, survey: WallSurvey
) -> Iterator[tuple[Unknown, WallNetwork]]:
    """Each unknown that the wall's areas depend on, with the part of the network around it.

    Parameters
    ----------
    network : WallNetwork
        Of the whole wall.
    survey : WallSurvey
        The same with adjusted chainages.

    Notes
    -----
    Lines run straight between rows, so a row that moves changes its own line no further than to the
    next row on either side, and the line that heights give there no further than to the next
    height. The part reaches two rows beyond that, so that it draws the changed stretch as the whole
    does; what it draws elsewhere differs from the whole but does not change. Bays are one, to the
    same end.
    """
    places = _Places(network, survey)
    for unknown, span in places.touched().items():
        yield unknown, places.part(span)


class _Places:
    """Rows and openings of a wall by their chainage."""

    def __init__(self, network: WallNetwork, survey: WallSurvey) -> None:
        self._network = network
        self._survey = survey
        rows = (survey.top, survey.ground, survey.heights)
        self._at = [[row.at for row in line] for line in rows]
        self._lines = [sorted(line) for line in self._at]
        self._spans = [(opening.start, opening.end) for opening in survey.openings]

    def touched(self) -> dict[Unknown, _Span]:
        """Where each unknown moves a row, an opening or the wall's end."""
        network, found = self._network, defaultdict[Unknown, list[float]](list)
        heights = [(station, head) for station, _, head in network.heights]
        feet = [(station, foot) for station, foot, _ in network.heights]
        lines = (network.top, network.ground, heights, feet)
        ats = (*self._at, self._at[2])
        for places, at_each in zip(lines, ats, strict=True):
            for (station, point), at in zip(places, at_each, strict=True):
                found[(Axis.CHAINAGE, station)].append(at)
                found[(Axis.LEVEL, point)].append(at)
        for called, span in zip(network.openings, self._spans, strict=True):
            for unknown in network.unknowns_of_opening(called):
                found[unknown].extend(span)
        end = network.ends[-1]
        found[(Axis.CHAINAGE, end)].append(math.fsum(bay.length for bay in self._survey.bays))
        return {unknown: (min(at), max(at)) for unknown, at in found.items()}

    def _beyond(self, span: _Span) -> _Span:
        """The span, out to the next row of each line on either side, or to no end."""
        low, high = span
        for line in self._lines:
            if line:
                before, after = bisect_left(line, span[0]) - 1, bisect_right(line, span[1])
                low = min(low, line[before]) if before >= 0 else -math.inf
                high = max(high, line[after]) if after < len(line) else math.inf
        return low, high

    def _met(self, span: _Span) -> list[int]:
        return [
            index
            for index, (start, end) in enumerate(self._spans)
            if end >= span[0] and start <= span[1]
        ]

    def part(self, span: _Span) -> WallNetwork:
        """The network of the rows and openings that tell what changes on a stretch."""
        by_heights = not self._at[0] and not self._at[1] and bool(self._at[2])
        if by_heights and span[0] <= self._lines[2][0]:
            return self._kept([range(len(line)) for line in self._at], range(len(self._spans)))
        changed = self._beyond(self._beyond(span))
        met = self._met(changed)
        for _ in range(2):  # openings that change, and those that share wall with them
            low = min([changed[0], *(self._spans[index][0] for index in met)])
            high = max([changed[1], *(self._spans[index][1] for index in met)])
            met = self._met((low, high))
        low, high = self._beyond(self._beyond((low, high)))
        kept = [[index for index, at in enumerate(line) if low <= at <= high] for line in self._at]
        if by_heights:  # the first of them places the top of the whole wall
            kept[2] = sorted({self._at[2].index(self._lines[2][0]), *kept[2]})
        return self._kept(kept, met)

    def _kept(self, rows: Sequence[Sequence[int]], openings: Sequence[int]) -> WallNetwork:
        """The network of these rows of top, ground and heights, and these openings."""
        survey, network = self._network.survey, self._network
        top, ground, heights = rows
        whole = math.fsum(bay.length for bay in survey.bays)
        return replace(
            network,
            survey=replace(
                survey,
                bays=(Bay(name="all", length=whole),),
                overall=None,
                top=tuple(survey.top[index] for index in top),
                ground=tuple(survey.ground[index] for index in ground),
                heights=tuple(survey.heights[index] for index in heights),
                openings=tuple(
                    replace(survey.openings[index], name=network.openings[index])
                    for index in openings
                ),
                readings=(),
            ),
            ends=network.ends[-1:],
            openings=tuple(network.openings[index] for index in openings),
            top=tuple(network.top[index] for index in top),
            ground=tuple(network.ground[index] for index in ground),
            heights=tuple(network.heights[index] for index in heights),
        )
