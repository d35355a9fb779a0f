"""Tables of the job file about the artwork: its file and place, paints, options, colourways."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from giornata.core import artwork, setting_out, takeoff
from giornata.files.job_measures import Entry, Hex, Length

__all__ = ["ArtworkTable", "ChoiceTable", "ColourwayTable", "OptionTable", "PaintTable"]

_Role = artwork.Role  # a field of PaintTable is called artwork


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
        )

    def tools(self) -> takeoff.BrushAndRoller:
        """Roller, brush and texture."""
        return takeoff.BrushAndRoller(
            roller=self.roller, narrowest_brush=self.narrowest_brush, texture=self.texture
        )


class PaintTable(Entry):
    """``[[paints]]``."""

    key: str = Field(min_length=1)
    name: str = Field(min_length=1)
    role: _Role = _Role.FIGURE
    artwork: tuple[Hex, ...] = ()


class OptionTable(Entry):
    """``[[options]]``."""

    key: str = Field(min_length=1)
    name: str = Field(min_length=1)
    hide: tuple[str, ...] = ()
    show: tuple[str, ...] = ()

    def record(self) -> artwork.Option:
        """The option."""
        return artwork.Option(key=self.key, name=self.name, hide=self.hide, show=self.show)


class ColourwayTable(Entry):
    """``[[colourways]]``."""

    key: str = Field(min_length=1)
    name: str = Field(min_length=1)
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
