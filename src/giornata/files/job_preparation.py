"""Table of the job file that says what was tested on the wall before painting."""

from __future__ import annotations

from giornata.core import works
from giornata.files.job_measures import Day, Entry, Hours, Number, Share

__all__ = ["PreparationTable"]


class MoistureTable(Entry):
    """A reading of the moisture meter."""

    bay: str
    reading: Share

    def record(self) -> works.MoistureReading:
        """The reading."""
        return works.MoistureReading(bay=self.bay, share=self.reading)


class SheetTable(Entry):
    """A sheet of polythene that was on the wall."""

    bay: str
    time: Hours
    dry: bool

    def record(self) -> works.SheetTest:
        """The test."""
        return works.SheetTest(bay=self.bay, duration=self.time, dry=self.dry)


class AlkalinityTable(Entry):
    """A pH reading."""

    bay: str
    reading: Number

    def record(self) -> works.AlkalinityReading:
        """The reading."""
        return works.AlkalinityReading(bay=self.bay, ph=self.reading)


class HoldTable(Entry):
    """A bay that is held for what was seen there."""

    bay: str
    cause: works.HoldCause
    cleared: Day | None = None

    def record(self) -> works.Hold:
        """The hold."""
        return works.Hold(bay=self.bay, cause=self.cause, cleared=self.cleared)


class PreparationTable(Entry):
    """``[preparation]``."""

    start: Day | None = None
    cast: Day | None = None
    wait: Hours | None = None
    washed: Day | None = None
    drying: Hours | None = None
    moisture_limit: Share | None = None
    moisture: tuple[MoistureTable, ...] = ()
    sheets: tuple[SheetTable, ...] = ()
    ph: tuple[AlkalinityTable, ...] = ()
    alkaline_primer: bool = False
    old_paint: works.OldPaint | None = None
    holds: tuple[HoldTable, ...] = ()

    def record(self) -> works.PreparationTerms:
        """What was read and decided."""
        return works.PreparationTerms(
            start=self.start,
            cast=self.cast,
            wait=self.wait,
            washed=self.washed,
            drying=self.drying,
            moisture_limit=self.moisture_limit,
            moisture=tuple(one.record() for one in self.moisture),
            sheets=tuple(one.record() for one in self.sheets),
            alkalinity=tuple(one.record() for one in self.ph),
            alkaline_primer=self.alkaline_primer,
            old_paint=self.old_paint,
            holds=tuple(one.record() for one in self.holds),
        )
