"""Tables of the job file that say what was measured: site, wall, openings, piers, obstacles."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import Field

from giornata.core import survey
from giornata.core.job import Site
from giornata.files.job_measures import Angle, Entry, Illuminance, Length

__all__ = ["SiteTable", "WallTable"]


class SiteTable(Entry):
    """``[site]``."""

    latitude: Angle | None = None
    longitude: Angle | None = None
    facing: Angle | None = None
    ambient: Illuminance = 0.0

    def record(self) -> Site:
        """The site, with its place on the globe checked."""
        if self.latitude is not None and abs(self.latitude) > math.pi / 2:
            raise ValueError("a latitude lies between -90 and 90 degrees")
        if self.longitude is not None and abs(self.longitude) > math.pi:
            raise ValueError("a longitude lies between -180 and 180 degrees")
        if self.ambient < 0:
            raise ValueError("light on the wall is 0 lx or more")
        return Site(latitude=self.latitude, longitude=self.longitude, facing=self.facing)


class BayTable(Entry):
    """One bay."""

    name: str
    length: Length

    def record(self) -> survey.Bay:
        """The bay."""
        return survey.Bay(name=self.name, length=self.length)


class LevelTable(Entry):
    """One reading of a level."""

    at: Length
    level: Length

    def record(self) -> survey.Level:
        """The reading."""
        return survey.Level(at=self.at, level=self.level)


class HeightTable(Entry):
    """One taped height."""

    at: Length
    height: Length

    def record(self) -> survey.Height:
        """The height."""
        return survey.Height(at=self.at, height=self.height)


class BendTable(Entry):
    """One bend in plan."""

    at: Length
    angle: Angle

    def record(self) -> survey.Bend:
        """The bend."""
        return survey.Bend(at=self.at, angle=self.angle)


class OpeningTable(Entry):
    """``[[wall.openings]]``."""

    name: str
    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    foot: Length | None = None
    head: Length | None = None

    def record(self) -> survey.Opening:
        """The opening."""
        return survey.Opening(
            name=self.name, start=self.start, end=self.end, foot=self.foot, head=self.head
        )


class PierTable(Entry):
    """``[[wall.piers]]``."""

    name: str
    at: Length
    width: Length
    proud: Length = 0.0
    returns: Literal["skip", "paint"] = "skip"

    def record(self) -> survey.Pier:
        """The pier."""
        return survey.Pier(
            name=self.name,
            at=self.at,
            width=self.width,
            proud=self.proud,
            returns_painted=self.returns == "paint",
        )


class ObstacleTable(Entry):
    """``[[wall.obstacles]]``."""

    name: str
    kind: str
    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    height: Length

    def record(self) -> survey.Obstacle:
        """The obstacle."""
        return survey.Obstacle(
            name=self.name, kind=self.kind, start=self.start, end=self.end, height=self.height
        )


class LampTable(Entry):
    """``[[wall.lamps]]``."""

    name: str
    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    ambient: Illuminance

    def record(self) -> survey.Lamp:
        """The lamp."""
        return survey.Lamp(name=self.name, start=self.start, end=self.end, ambient=self.ambient)


class WallTable(Entry):
    """``[wall]``."""

    datum: str
    surface: survey.Surface
    tape: survey.TapeClass
    bays: tuple[BayTable, ...]
    overall: Length | None = None
    closure_limit: Length = 0.02
    length_precision: Length | None = None
    height_precision: Length | None = None
    top: tuple[LevelTable, ...] = ()
    ground: tuple[LevelTable, ...] = ()
    heights: tuple[HeightTable, ...] = ()
    bends: tuple[BendTable, ...] = ()
    joints: tuple[Length, ...] = ()
    openings: tuple[OpeningTable, ...] = ()
    piers: tuple[PierTable, ...] = ()
    obstacles: tuple[ObstacleTable, ...] = ()
    lamps: tuple[LampTable, ...] = ()

    def record(self) -> survey.WallSurvey:
        """The survey."""
        return survey.WallSurvey(
            datum=self.datum,
            surface=self.surface,
            tape=self.tape,
            bays=tuple(bay.record() for bay in self.bays),
            overall=self.overall,
            closure_limit=self.closure_limit,
            length_sigma=self.length_precision,
            height_sigma=self.height_precision,
            top=tuple(reading.record() for reading in self.top),
            ground=tuple(reading.record() for reading in self.ground),
            heights=tuple(height.record() for height in self.heights),
            bends=tuple(bend.record() for bend in self.bends),
            joints=self.joints,
            openings=tuple(opening.record() for opening in self.openings),
            piers=tuple(pier.record() for pier in self.piers),
            obstacles=tuple(obstacle.record() for obstacle in self.obstacles),
            lamps=tuple(lamp.record() for lamp in self.lamps),
        )
