"""Tables of the job file that say what was measured: site, wall, openings, piers, obstacles."""

from __future__ import annotations

import math
from typing import Literal

from pydantic import Field

from giornata.core import survey
from giornata.core.job import Site
from giornata.core.site import StandingStretch
from giornata.files.job_measures import Angle, Entry, Illuminance, Length, Name, Number, Zone
from giornata.files.job_readings import ReadingTable

__all__ = ["SiteTable", "WallTable"]


class StandingTable(Entry):
    """``[[site.standing]]``: ground before the wall on which one may stand."""

    name: Name
    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    near: Length = 0.0
    far: Length | None = None
    along: Angle = 0.0
    across: Angle = 0.0

    def record(self) -> StandingStretch:
        """The stretch."""
        return StandingStretch(
            name=self.name,
            start=self.start,
            end=self.end,
            near=self.near,
            far=math.inf if self.far is None else self.far,
            along=self.along,
            across=self.across,
        )


class SiteTable(Entry):
    """``[site]``."""

    latitude: Angle | None = None
    longitude: Angle | None = None
    facing: Angle | None = None
    zone: Zone | None = None
    ambient: Illuminance = 0.0
    standing: tuple[StandingTable, ...] = ()

    def record(self) -> Site:
        """The site, with its place on the globe checked."""
        if self.latitude is not None and abs(self.latitude) > math.pi / 2:
            raise ValueError("a latitude lies between -90 and 90 degrees")
        if self.longitude is not None and abs(self.longitude) > math.pi:
            raise ValueError("a longitude lies between -180 and 180 degrees")
        if self.facing is not None and abs(self.facing) > 2 * math.pi:
            raise ValueError("the direction the wall faces lies between -360 and 360 degrees")
        if self.ambient < 0:
            raise ValueError("light on the wall is 0 lx or more")
        return Site(
            latitude=self.latitude, longitude=self.longitude, facing=self.facing, zone=self.zone
        )

    def stretches(self) -> tuple[StandingStretch, ...]:
        """Where one may stand before the wall."""
        return tuple(one.record() for one in self.standing)


class BayTable(Entry):
    """One bay."""

    name: Name
    length: Length

    def record(self) -> survey.Bay:
        """The bay."""
        return survey.Bay(name=self.name, length=self.length)


class LevelTable(Entry):
    """One reading of a level."""

    at: Length
    level: Length
    name: str = ""

    def record(self) -> survey.Level:
        """The reading."""
        return survey.Level(at=self.at, level=self.level, name=self.name)


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


class ArcTable(Entry):
    """``[[wall.arcs]]``: its radius, or a straight measure across it and its depth."""

    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    curve: survey.Curve
    radius: Length | None = None
    chord: Length | None = None
    rise: Length | None = None

    def record(self) -> survey.Arc:
        """The arc."""
        measured = (self.chord, self.rise)
        if (self.radius is None) == (measured == (None, None)):
            raise ValueError("a curve has either a radius, or a chord and a rise")
        radius = self.radius
        if radius is None:
            if self.chord is None or self.rise is None:
                raise ValueError("a curve without a radius has a chord and a rise")
            radius = survey.radius_from_rise(self.chord, self.rise)
        return survey.Arc(start=self.start, end=self.end, radius=radius, curve=self.curve)


class SiloTable(Entry):
    """``[wall.silo]``: a round wall, painted all round or through part of a turn."""

    diameter: Length | None = None
    girth: Length | None = None
    turn: Angle = math.tau

    def record(self) -> float:
        """Its diameter. [m]"""
        if (self.diameter is None) == (self.girth is None):
            raise ValueError("a silo has either a diameter or a girth")
        diameter = (self.girth or 0.0) / math.pi if self.diameter is None else self.diameter
        survey.round_face(diameter, turn=self.turn)
        return diameter

    def face(self, sigma: float) -> tuple[survey.Bay, survey.Arc]:
        """The whole face as one bay, and its curve.

        Parameters
        ----------
        sigma : float
            Precision of what was measured, the diameter or the girth. [m]
        """
        diameter = self.record()
        across = sigma if self.girth is None else sigma / math.pi
        length, of_length = survey.round_face(diameter, turn=self.turn, sigma=across)
        return (
            survey.Bay(name="round", length=length, sigma=of_length),
            survey.Arc(start=0.0, end=length, radius=diameter / 2, curve=survey.Curve.CONVEX),
        )


class SheetTable(Entry):
    """``[wall.sheet]``: section of a corrugated or ribbed sheet."""

    form: survey.SheetForm
    pitch: Length
    depth: Length
    crest: Length = 0.0
    valley: Length = 0.0

    def record(self) -> survey.Corrugation:
        """The sheet."""
        return survey.Corrugation(
            form=self.form,
            pitch=self.pitch,
            depth=self.depth,
            crest=self.crest,
            valley=self.valley,
        )


class OpeningTable(Entry):
    """``[[wall.openings]]``."""

    name: Name
    start: Length | None = Field(default=None, alias="from")
    end: Length | None = Field(default=None, alias="to")
    foot: Length | None = None
    head: Length | None = None
    shape: Literal["rectangle", "round", "arched"] | None = None
    spring: Length | None = None
    corners: tuple[tuple[Length, Length], ...] | None = None

    def record(self) -> survey.Opening:
        """The opening."""
        if self.corners is not None:
            beside = (self.start, self.end, self.foot, self.head, self.shape, self.spring)
            if any(key is not None for key in beside):
                raise ValueError("an opening with corners has a name beside them and no more")
            return survey.outlined_opening(self.name, self.corners)
        if self.start is None or self.end is None:
            raise ValueError("an opening has from and to, or corners")
        return survey.Opening(
            name=self.name,
            start=self.start,
            end=self.end,
            foot=self.foot,
            head=self.head,
            shape=survey.OpeningShape(self.shape or "rectangle"),
            spring=self.spring,
        )


class PierTable(Entry):
    """``[[wall.piers]]``."""

    name: Name
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

    name: Name
    kind: str
    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    height: Length
    near: Length | None = None
    far: Length | None = None

    def record(self) -> survey.Obstacle:
        """The obstacle."""
        return survey.Obstacle(
            name=self.name,
            kind=self.kind,
            start=self.start,
            end=self.end,
            height=self.height,
            near=self.near,
            far=self.far,
        )


class LampTable(Entry):
    """``[[wall.lamps]]``."""

    name: Name
    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    ambient: Illuminance | None = None
    light_class: Literal["P1", "P2", "P3", "P4", "P5", "P6"] | None = Field(None, alias="class")

    def record(self) -> survey.Lamp:
        """The lamp, its light as read or else by its class."""
        if (self.ambient is None) == (self.light_class is None):
            raise ValueError("a lamp has either ambient, read on the wall, or the street's class")
        light = self.ambient
        if light is None:
            light = survey.STREET_LIGHT[str(self.light_class)]
        return survey.Lamp(
            name=self.name,
            start=self.start,
            end=self.end,
            ambient=light,
            light_class=self.light_class or "",
        )


class WallTable(Entry):
    """``[wall]``."""

    datum: str
    surface: survey.Surface
    tape: survey.TapeClass
    bays: tuple[BayTable, ...] = ()
    silo: SiloTable | None = None
    overall: Length | None = None
    closure_limit: Length = 0.02
    length_precision: Length | None = None
    height_precision: Length | None = None
    top: tuple[LevelTable, ...] = ()
    ground: tuple[LevelTable, ...] = ()
    heights: tuple[HeightTable, ...] = ()
    bends: tuple[BendTable, ...] = ()
    arcs: tuple[ArcTable, ...] = ()
    joints: tuple[Length, ...] = ()
    openings: tuple[OpeningTable, ...] = ()
    piers: tuple[PierTable, ...] = ()
    obstacles: tuple[ObstacleTable, ...] = ()
    lamps: tuple[LampTable, ...] = ()
    sheet: SheetTable | None = None
    form_factor: Number | None = None
    ribs: survey.Ribs | None = None
    readings: tuple[ReadingTable, ...] = ()

    def record(self) -> survey.WallSurvey:
        """The survey."""
        bays, arcs = self._face()
        return survey.WallSurvey(
            datum=self.datum,
            surface=self.surface,
            tape=self.tape,
            bays=bays,
            overall=self.overall,
            closure_limit=self.closure_limit,
            length_sigma=self.length_precision,
            height_sigma=self.height_precision,
            top=tuple(reading.record() for reading in self.top),
            ground=tuple(reading.record() for reading in self.ground),
            heights=tuple(height.record() for height in self.heights),
            bends=tuple(bend.record() for bend in self.bends),
            arcs=arcs,
            joints=self.joints,
            openings=tuple(opening.record() for opening in self.openings),
            piers=tuple(pier.record() for pier in self.piers),
            obstacles=tuple(obstacle.record() for obstacle in self.obstacles),
            lamps=tuple(lamp.record() for lamp in self.lamps),
            corrugation=None if self.sheet is None else self.sheet.record(),
            form_factor=self.form_factor,
            ribs=self.ribs,
            readings=tuple(reading.record() for reading in self.readings),
        )

    def _face(self) -> tuple[tuple[survey.Bay, ...], tuple[survey.Arc, ...]]:
        """Bays and curves; of a silo they come from its diameter or girth."""
        arcs = tuple(arc.record() for arc in self.arcs)
        if self.silo is None:
            return tuple(bay.record() for bay in self.bays), arcs
        if self.bays or self.arcs or self.overall is not None:
            raise ValueError("a silo has no bays, arcs or overall beside it")
        taped = self.silo.girth or self.silo.diameter or 0.0
        sigma = self.length_precision or survey.tape_error(self.tape, taped)
        bay, arc = self.silo.face(sigma)
        return (bay,), (arc,)
