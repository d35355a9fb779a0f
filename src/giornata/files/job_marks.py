"""Table of the job file about control marks: what is asked of them, how well they are set."""

from __future__ import annotations

from giornata.core.setting_out import ChalkedMark, MarkTerms
from giornata.files.job_measures import Entry, Length, Number

__all__ = ["MarksTable"]

_USUAL = MarkTerms()


class ChalkedEntry(Entry):
    """``[[marks.chalked]]``."""

    name: str
    chainage: Length
    level: Length

    def record(self) -> ChalkedMark:
        """The mark."""
        return ChalkedMark(name=self.name, chainage=self.chainage, level=self.level)


class MarksTable(Entry):
    """``[marks]``."""

    accuracy: Length | None = None
    drawn: Length = _USUAL.drawn
    aiming: Number = _USUAL.aiming
    seam: Length | None = None
    lost: tuple[str, ...] = ()
    chalked: tuple[ChalkedEntry, ...] = ()
    shift_by_eye: bool = False

    def record(self) -> MarkTerms:
        """What is asked of the marks."""
        return MarkTerms(
            accuracy=self.accuracy,
            drawn=self.drawn,
            aiming=self.aiming,
            seam=self.seam,
            lost=self.lost,
            chalked=tuple(one.record() for one in self.chalked),
            shift_by_eye=self.shift_by_eye,
        )
