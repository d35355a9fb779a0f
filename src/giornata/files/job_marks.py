"""Table of the job file about control marks: what is asked of them, how well they are set."""

from __future__ import annotations

from giornata.core.setting_out import MarkTerms
from giornata.files.job_measures import Entry, Length, Number

__all__ = ["MarksTable"]

_USUAL = MarkTerms()


class MarksTable(Entry):
    """``[marks]``."""

    accuracy: Length | None = None
    drawn: Length = _USUAL.drawn
    aiming: Number = _USUAL.aiming

    def record(self) -> MarkTerms:
        """What is asked of the marks."""
        return MarkTerms(accuracy=self.accuracy, drawn=self.drawn, aiming=self.aiming)
