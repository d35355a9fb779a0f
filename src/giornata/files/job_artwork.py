"""Tables of the job file about the artwork: its file and place, paints, options, colourways."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from giornata.core import artwork, setting_out, takeoff
from giornata.files.job_decisions import DecisionTable
from giornata.files.job_measures import Entry, Hex, Length, Name, Number

__all__ = ["ArtworkTable", "ChoiceTable", "ColourwayTable", "OptionTable", "PaintTable"]

_Role = artwork.Role  # a field of PaintTable is called artwork


class PointTable(Entry):
    """One of ``[artwork]`` points."""

    artwork: tuple[Number, Number]
    at: Length
    level: Length

    def record(self) -> setting_out.PointPair:
        """The point in the artwork and on the wall."""
        return setting_out.PointPair(artwork=self.artwork, chainage=self.at, level=self.level)


class TieTable(Entry):
    """One of ``[artwork]`` ties."""

    artwork: Number
    to: str
    edge: setting_out.Edge = setting_out.Edge.MIDDLE

    def record(self) -> setting_out.Tie:
        """The tie."""
        return setting_out.Tie(artwork=self.artwork, to=self.to, edge=self.edge)


class IntoTable(Entry):
    """``[artwork]`` into."""

    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    filling: setting_out.Filling = setting_out.Filling.WHOLE
    outline: Literal["canvas", "figure"] = "canvas"

    def record(self) -> setting_out.Into:
        """The stretch of wall."""
        return setting_out.Into(
            start=self.start,
            end=self.end,
            filling=self.filling,
            figure=self.outline == "figure",
        )


class FitTable(Entry):
    """``[artwork]`` fit."""

    start: Length | None = Field(default=None, alias="from")
    end: Length | None = Field(default=None, alias="to")
    least_gap: Length = 0.02
    bands: tuple[str, ...] = ()
    band_length: Length | None = None

    def record(self) -> setting_out.FitTerms:
        """What may give."""
        return setting_out.FitTerms(
            start=self.start,
            end=self.end,
            least_gap=self.least_gap,
            bands=self.bands,
            band_length=self.band_length,
        )


class ArtworkTable(Entry):
    """``[artwork]``."""

    file: str = Field(min_length=1)
    at: Length = 0.0
    foot: Length = 0.0
    width: Length | None = None
    height: Length | None = None
    scale: Length | None = None
    mirrored: bool = False
    clearance: Length = 0.15
    texture: Length = 0.003
    narrowest_brush: Length = 0.025
    roller: Length = 0.18
    registration: Length = takeoff.REGISTRATION.value
    turn: bool = False
    points: tuple[PointTable, ...] = ()
    ties: tuple[TieTable, ...] = ()
    into: IntoTable | None = None
    fit: FitTable | None = None
    decisions: tuple[DecisionTable, ...] = ()
    words: tuple[str, ...] = ()
    drawn_words: tuple[str, ...] = ()

    def record(self) -> setting_out.ArtworkPlacement:
        """Where the artwork lies on the wall; the tools' ranges are checked with it."""
        self.tools()
        return setting_out.ArtworkPlacement(
            at=self.at,
            foot=self.foot,
            width=self.width,
            height=self.height,
            scale=self.scale,
            mirrored=self.mirrored,
            clearance=self.clearance,
            turn=None if self.turn else 0.0,
            points=tuple(point.record() for point in self.points),
            ties=tuple(tie.record() for tie in self.ties),
            into=None if self.into is None else self.into.record(),
            fit=None if self.fit is None else self.fit.record(),
        )

    def wording(self) -> artwork.Wording:
        """The brief's words, and those typed off the artwork."""
        return artwork.Wording(brief=self.words, drawn=self.drawn_words)

    def tools(self) -> takeoff.BrushAndRoller:
        """Roller, brush and texture."""
        return takeoff.BrushAndRoller(
            roller=self.roller,
            narrowest_brush=self.narrowest_brush,
            texture=self.texture,
            registration=self.registration,
        )


class PaintTable(Entry):
    """``[[paints]]``."""

    key: Name
    name: Name
    role: _Role = _Role.FIGURE
    artwork: tuple[Hex, ...] = ()
    locked: bool = False


class OptionTable(Entry):
    """``[[options]]``."""

    key: Name
    name: Name
    hide: tuple[str, ...] = ()
    show: tuple[str, ...] = ()

    def record(self) -> artwork.Option:
        """The option."""
        return artwork.Option(key=self.key, name=self.name, hide=self.hide, show=self.show)


class ColourwayTable(Entry):
    """``[[colourways]]``."""

    key: Name
    name: Name
    colours: dict[str, Hex]
    coats: dict[str, Annotated[int, Field(ge=1, le=20)]] = Field(default_factory=dict)

    def record(self) -> artwork.Colourway:
        """The colourway."""
        return artwork.Colourway(
            key=self.key, name=self.name, colours=self.colours, coats=self.coats
        )


class ChoiceTable(Entry):
    """``[choice]``."""

    option: str
    colourway: str
