"""Tables of the job file for readings taken between named points of the wall."""

from __future__ import annotations

from pydantic import Field

from giornata.core import survey
from giornata.files.job_measures import Entry, Length, Number

__all__ = ["ReadingTable"]


class ReadingTable(Entry):
    """``[[wall.readings]]``: what was read from one named point to another."""

    kind: survey.Kind
    start: str = Field(default=survey.DATUM, alias="from")
    end: str = Field(alias="to")
    read: Length | None = None
    courses: Number | None = None
    course: str = "course"
    name: str = ""
    instrument: survey.Instrument | None = Field(default=None, alias="with")
    precision: Length | None = None
    doubtful: bool = False

    def record(self) -> survey.Taken:
        """The reading."""
        counted = self.kind is survey.Kind.COURSES
        value, other = (self.courses, self.read) if counted else (self.read, self.courses)
        if value is None or other is not None:
            has = "courses = 14" if counted else 'read = "2.9 m"'
            raise ValueError(f"a reading of kind {self.kind} has {has} and no other value")
        return survey.Taken(
            kind=self.kind,
            start=self.start,
            end=self.end,
            value=value,
            name=self.name,
            instrument=self.instrument,
            sigma=self.precision,
            course=self.course,
            doubtful=self.doubtful,
        )
