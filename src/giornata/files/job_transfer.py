"""Table of the job file about other ways of transfer than the projector."""

from __future__ import annotations

from pydantic import Field

from giornata.core import works
from giornata.files.job_measures import AreaRate, Entry, Length, Speed

__all__ = ["TransferTable"]


class StretchTable(Entry):
    """A stretch that is not projected."""

    start: Length = Field(alias="from")
    end: Length = Field(alias="to")
    way: works.TransferWay

    def record(self) -> works.TransferStretch:
        """The stretch."""
        return works.TransferStretch(start=self.start, end=self.end, way=self.way)


class TransferTable(Entry):
    """``[transfer]``."""

    pitch: Length | None = None
    snapping: Speed | None = None
    drawing: Speed | None = None
    pricking: Speed | None = None
    pouncing: Speed | None = None
    hanging: AreaRate | None = None
    stretches: tuple[StretchTable, ...] = ()

    def record(self) -> works.TransferTerms:
        """Rates, and where the projector is not used."""
        return works.TransferTerms(
            pitch=self.pitch,
            snapping=self.snapping,
            drawing=self.drawing,
            pricking=self.pricking,
            pouncing=self.pouncing,
            hanging=self.hanging,
            stretches=tuple(one.record() for one in self.stretches),
        )
