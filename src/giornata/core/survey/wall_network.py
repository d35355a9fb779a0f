"""The plain survey as a network: each bay, level, height and opening a reading among others."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import fsum

from giornata.core.foundation import Dimension, parse
from giornata.core.survey.instruments import deviation
from giornata.core.survey.line import to_nanometre
from giornata.core.survey.network import Axis, Unknown
from giornata.core.survey.observations import Height, Level, WallSurvey
from giornata.core.survey.opening_points import adjusted_opening, least_size, opening_readings
from giornata.core.survey.readings import level_error
from giornata.core.survey.taken import DATUM, Kind, Taken
from giornata.core.survey.tape import bay_error, length_error

__all__ = ["WallNetwork", "wall_network"]

_ONE_PLACE = 0.0005  # m: chainages closer than this are one; half of the last digit taped
_ON_LINE = re.compile(r"(top|ground) at (.+?)( before| after)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class WallNetwork:
    """A survey's readings between points, and where its own places are among them.

    Parameters
    ----------
    survey : WallSurvey
        As taken.
    readings : tuple of Taken
        The plain ones first, then those taken between named points.
    sigma : tuple of float
        Standard deviation of each. [m]
    plain : int
        How many are plain ones. [-]
    same_chainage : mapping of str to str
        Points that stand at the chainage of another, each with that other.
    ends : tuple of str
        Points at the right ends of the bays.
    openings : tuple of str
        What the openings are called.
    top, ground : tuple of (str, str)
        Station and point of each level of the survey, in its order.
    heights : tuple of (str, str, str)
        Station, lower and upper point of each height of the survey, in its order.
    pointless : tuple of str
        Readings left out because both their points are one.
    """

    survey: WallSurvey
    readings: tuple[Taken, ...]
    sigma: tuple[float, ...]
    plain: int
    same_chainage: Mapping[str, str]
    ends: tuple[str, ...]
    openings: tuple[str, ...]
    top: tuple[tuple[str, str], ...]
    ground: tuple[tuple[str, str], ...]
    heights: tuple[tuple[str, str, str], ...]
    pointless: tuple[str, ...]

    def own_points(self) -> tuple[str, ...]:
        """Names of the points that the plain survey itself has, each once."""
        plain = self.readings[: self.plain]
        return tuple(dict.fromkeys(point for r in plain for point in (r.start, r.end)))

    def unknowns_of_opening(self, called: str) -> tuple[Unknown, ...]:
        """The unknowns that place an opening.

        Parameters
        ----------
        called : str
            Its name in the network.
        """
        own = {f"{called} {part}" for part in ("left", "right", "foot", "head", "spring")}
        corner = f"{called} corner "
        return tuple(
            (axis, name)
            for name in self.own_points()
            if name in own or name.startswith(corner)
            for axis in (Axis.CHAINAGE, Axis.LEVEL)
        )

    def _along(self, values: Mapping[Unknown, float], point: str) -> float:
        return to_nanometre(values[(Axis.CHAINAGE, self.same_chainage.get(point, point))])

    def without_size(self, values: Mapping[Unknown, float], least: float) -> tuple[str, ...]:
        """Names of bays, heights and openings that an adjustment leaves smaller than that.

        Parameters
        ----------
        values : mapping of Unknown to float
            Each unknown. [m]
        least : float
            Smallest size that counts; above 0. [m]
        """
        ends = [0.0, *(self._along(values, point) for point in self.ends)]
        sizes = [
            (f"the bay to {name}", b - a)
            for name, (a, b) in zip(self.ends, itertools.pairwise(ends), strict=True)
        ]
        for _, foot_point, head_point in self.heights:
            size = values[(Axis.LEVEL, head_point)] - values[(Axis.LEVEL, foot_point)]
            sizes.append((f"the height at {head_point}", size))
        for opening, called in zip(self.survey.openings, self.openings, strict=True):
            size = least_size(
                opening,
                called,
                lambda point: self._along(values, point),
                lambda point: values[(Axis.LEVEL, point)],
            )
            sizes.append((f"opening {called}", size))
        return tuple(name for name, size in sizes if size < least)

    def put_back(self, values: Mapping[Unknown, float]) -> WallSurvey:
        """The plain survey with chainages, levels and heights of an adjustment.

        Parameters
        ----------
        values : mapping of Unknown to float
            Each unknown. [m]

        Raises
        ------
        ValueError
            If a bay, height or opening comes out without size.
        """
        survey = self.survey

        def along(point: str) -> float:
            return self._along(values, point)

        def level(point: str) -> float:
            return values[(Axis.LEVEL, point)]

        def moved(rows: Sequence[Level], places: Sequence[tuple[str, str]]) -> tuple[Level, ...]:
            return tuple(
                replace(row, at=along(station), level=level(point))
                for row, (station, point) in zip(rows, places, strict=True)
            )

        ends = [0.0, *(along(point) for point in self.ends)]
        return replace(
            survey,
            bays=tuple(
                replace(bay, length=b - a)
                for bay, (a, b) in zip(survey.bays, itertools.pairwise(ends), strict=True)
            ),
            overall=None if survey.overall is None else ends[-1],
            top=moved(survey.top, self.top),
            ground=moved(survey.ground, self.ground),
            heights=tuple(
                Height(at=along(station), height=level(head) - level(foot))
                for station, foot, head in self.heights
            ),
            openings=tuple(
                adjusted_opening(opening, called, along, level)
                for opening, called in zip(survey.openings, self.openings, strict=True)
            ),
        )


def _distinct(names: Sequence[str]) -> tuple[str, ...]:
    """The names, those used twice numbered."""
    return tuple(
        f"{name} ({names[: index + 1].count(name)})" if names.count(name) > 1 else name
        for index, name in enumerate(names)
    )


def wall_network(survey: WallSurvey) -> WallNetwork:
    """The network of a survey: its plain readings, and those taken between named points.

    Parameters
    ----------
    survey : WallSurvey
        Its bays, levels, heights, openings and readings.

    Notes
    -----
    The left end of the wall is the datum. Each bay is a length from the end of the one before;
    the overall a length from end to end. Each chainage at which levels or heights were read is
    one running chainage, whatever was read there. An opening is a running chainage of its left
    side, and a width. Each level is a reading from the level line.
    """
    plain = _Plain(survey)
    named = [(r, plain.names(r.start), plain.names(r.end)) for r in survey.readings]
    added = [replace(r, start=start, end=end) for r, start, end in named if start != end]
    return WallNetwork(
        survey=survey,
        readings=(*plain.readings, *added),
        sigma=(*plain.sigma, *(deviation(survey, reading) for reading in added)),
        plain=len(plain.readings),
        same_chainage=plain.same,
        ends=plain.ends,
        openings=plain.openings,
        top=plain.top,
        ground=plain.ground,
        heights=plain.heights,
        pointless=tuple(reading.name for reading, start, end in named if start == end),
    )


class _Plain:
    """The plain readings of a survey, gathered one by one."""

    def __init__(self, survey: WallSurvey) -> None:
        self._survey = survey
        self.readings: list[Taken] = []
        self.sigma: list[float] = []
        self.same: dict[str, str] = {}
        self.ends = tuple(
            f"end of bay {name}" for name in _distinct([bay.name for bay in survey.bays])
        )
        self.openings = _distinct([opening.name for opening in survey.openings])
        self._lengths()
        self._stations: list[tuple[float, str, str]] = []
        levels = {row.at for row in (*survey.top, *survey.ground)}
        for at in sorted(levels | {row.at for row in survey.heights}):
            self._station(at)
        self.top = self._line("top", survey.top)
        self.ground = self._line("ground", survey.ground)
        self.heights = self._heights(survey.heights)
        for opening, called in zip(survey.openings, self.openings, strict=True):
            for reading, sigma in opening_readings(survey, opening, called):
                self.readings.append(reading)
                self.sigma.append(sigma)

    def names(self, point: str) -> str:
        """A point's own name, where a reading spells it by its chainage, in whatever unit."""
        match = _ON_LINE.fullmatch(point.strip())
        at = parse(match[2], Dimension.LENGTH, subject=point) if match else None
        if match is None or not isinstance(at, float):
            return point
        station = self._at(at)
        line = self.top if match[1] == "top" else self.ground
        here = [name for where, name in line if where == station]
        if here:
            return here[0] if match[3] == " before" else here[-1]
        by_height = [
            head if match[1] == "top" else foot
            for where, foot, head in self.heights
            if where == station
        ]
        return by_height[0] if by_height else point

    def _add(self, kind: Kind, start: str, end: str, value: float, sigma: float, name: str) -> None:
        self.readings.append(Taken(kind=kind, start=start, end=end, value=value, name=name))
        self.sigma.append(sigma)

    def _lengths(self) -> None:
        survey = self._survey
        for bay, start, end in zip(survey.bays, [DATUM, *self.ends], self.ends, strict=False):
            error = bay_error(survey, bay)
            self._add(Kind.LENGTH, start, end, bay.length, error, f"bay {end[11:]}")
        if survey.overall is not None:
            error = length_error(survey, survey.overall)
            self._add(Kind.LENGTH, DATUM, self.ends[-1], survey.overall, error, "overall")

    def _station(self, at: float) -> None:
        """A chainage at which something was read, once for all that was read there."""
        if self._stations and at - self._stations[-1][0] < _ONE_PLACE:
            return
        digits = next((n for n in (2, 3, 4) if abs(round(at, n) - at) < 1e-9), 9)
        label = f"{at:.{digits}f} m"
        end = self._survey.overall or fsum(bay.length for bay in self._survey.bays)
        name = f"at {label}"
        if abs(at) < _ONE_PLACE:
            name = DATUM
        elif abs(at - end) < _ONE_PLACE:
            name = self.ends[-1]
        else:
            error = length_error(self._survey, abs(at))
            self._add(Kind.CHAINAGE, DATUM, name, at, error, f"chainage {label}")
        self._stations.append((at, name, label))

    def _at(self, at: float) -> str:
        near = (name for where, name, _ in self._stations if abs(where - at) < _ONE_PLACE)
        return next(near, "")

    def _label(self, station: str) -> str:
        return next(label for _, name, label in self._stations if name == station)

    def _line(self, line: str, rows: Sequence[Level]) -> tuple[tuple[str, str], ...]:
        error = level_error(self._survey)
        places = []
        at_each = [self._at(row.at) for row in rows]
        for index, (row, station) in enumerate(zip(rows, at_each, strict=True)):
            name = row.name or f"{line} at {self._label(station)}"
            count = at_each.count(station)
            if count > 1 and not row.name:
                turn = at_each[:index].count(station)
                name += " before" if turn == 0 else " after" if turn == count - 1 else f" ({turn})"
            self._add(Kind.LEVEL, DATUM, name, row.level, error, name)
            self.same.setdefault(name, station)
            places.append((station, name))
        return tuple(places)

    def _heights(self, rows: Sequence[Height]) -> tuple[tuple[str, str, str], ...]:
        """Each height between the two lines where both were read at its place, else by itself."""
        error = level_error(self._survey)
        places: list[tuple[str, str, str]] = []
        at_each = [self._at(row.at) for row in rows]
        for row, station in zip(rows, at_each, strict=True):
            tops = [name for where, name in self.top if where == station]
            feet = [name for where, name in self.ground if where == station]
            label = self._label(station)
            name = f"height at {label}"
            if at_each.count(station) > 1 or len(tops) > 1 or len(feet) > 1:
                name += f" ({1 + len([place for place in places if place[0] == station])})"
                foot, head = f"foot of {name}", f"head of {name}"
            else:
                foot = feet[0] if feet else f"ground at {label}"
                head = tops[0] if tops else f"top at {label}"
            self._add(Kind.HEIGHT, foot, head, row.height, error, name)
            self.same.setdefault(foot, station)
            self.same.setdefault(head, station)
            places.append((station, foot, head))
        return tuple(places)
