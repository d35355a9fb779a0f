"""Tables of the job file about the projector and where it stands."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from giornata.core import projection
from giornata.core.site import Carrier
from giornata.files.job_measures import (
    Angle,
    Entry,
    Illuminance,
    Length,
    Lumens,
    Number,
    Share,
    ThrowRange,
    Watts,
)

__all__ = ["ProjectorTable", "StandTable"]


class ShiftPair(Entry):
    """A pair of lens shifts as a manual's table gives it."""

    up: Share
    side: Share


class ProjectorTable(Entry):
    """``[projector]``."""

    name: str
    columns: Annotated[int, Field(ge=1, le=20000)]
    rows: Annotated[int, Field(ge=1, le=20000)]
    throw: ThrowRange
    lumens: Lumens
    mode: str
    modes: dict[str, Share]
    zoom_loss: Share = 0.0
    shift_up: Share = 0.0
    shift_side: Share = 0.0
    power: Watts = 0.0
    offset: Share = 0.0
    corners: Share = 1.0
    shift_limits: tuple[ShiftPair, ...] = ()
    contrast: Number | None = None
    contrast_kind: Literal["native", "dynamic"] = "native"

    def record(self) -> projection.Projector:
        """The projector."""
        return projection.Projector(
            name=self.name,
            columns=self.columns,
            rows=self.rows,
            throw_min=self.throw[0],
            throw_max=self.throw[1],
            lumens=self.lumens,
            mode=self.mode,
            modes=self.modes,
            zoom_loss=self.zoom_loss,
            shift_up=self.shift_up,
            shift_side=self.shift_side,
            power=self.power,
            offset=self.offset,
            corners=self.corners,
            shift_limits=tuple((pair.up, pair.side) for pair in self.shift_limits),
            contrast=self.contrast,
            dynamic=self.contrast is not None and self.contrast_kind == "dynamic",
        )


class MountTable(Entry):
    """One of ``stand.mounts``: something else that can carry the projector."""

    on: Carrier
    height: Length
    up_to: Length | None = None

    def record(self) -> projection.Mount:
        """The mount."""
        highest = self.height if self.up_to is None else self.up_to
        return projection.Mount(carrier=self.on, lowest=self.height, highest=highest)


class StandTable(Entry):
    """``[stand]``."""

    distance: Length
    height: Length
    overlap: Length = 0.5
    contrast: Number = 5.0
    ambient: Illuminance | None = None
    orientation: projection.Orientation = projection.Orientation.LEVEL
    above: projection.MeasuredFrom = projection.MeasuredFrom.LEVEL_LINE
    nearest: Length | None = None
    farthest: Length | None = None
    on: Carrier = Carrier.TRIPOD
    mounts: tuple[MountTable, ...] = ()
    pan: Angle = 0.0

    def record(self, ambient: float = 0.0) -> projection.Stand:
        """The stand, with the site's ambient light where the stand names none."""
        return projection.Stand(
            distance=self.distance,
            height=self.height,
            overlap=self.overlap,
            contrast=self.contrast,
            ambient=ambient if self.ambient is None else self.ambient,
            orientation=self.orientation,
            measured_from=self.above,
            nearest=self.nearest,
            farthest=self.farthest,
            carrier=self.on,
            mounts=tuple(mount.record() for mount in self.mounts),
            pan=self.pan,
        )
