"""Closing: all set-ups of a wall adjusted together, so that both ends of the drawing meet."""

from giornata.core.closing.chaining import chained_end
from giornata.core.closing.closing_findings import (
    closing_findings,
    doubt_named,
    parted_findings,
)
from giornata.core.closing.closure import ClosedMark, Closure, closed
from giornata.core.closing.doubts import Doubt, Sifted, doubts, sifted
from giornata.core.closing.equations import InSpace, Source, SourceKind
from giornata.core.closing.fronts import Front, Fronts
from giornata.core.closing.joins import RowJoin, fronts_to_join
from giornata.core.closing.joint import Joint, joined
from giornata.core.closing.known_marks import KnownMarks, known_marks, known_marks_findings
from giornata.core.closing.meeting import Meeting, Moved, fallen, meeting
from giornata.core.closing.new_marks import ToCome
from giornata.core.closing.next_measure import Worth, worth_measuring
from giornata.core.closing.observed import (
    LEVEL_READ,
    TAPE_READ_AGAIN,
    Measure,
    MeasureKind,
    PictureSeen,
    PlacedMark,
)
from giornata.core.closing.readings import Readings, SeamPlace
from giornata.core.closing.replan_records import NewMark, Replan, SeamLeft, SetUpLeft, TapeFrom
from giornata.core.closing.replanning import MarkSpot, replanned
from giornata.core.closing.seams_asked import SeamsAsked
from giornata.core.closing.taken_up import RowTaken, ShapesMoved, TakenUp, taken_up

__all__ = [
    "LEVEL_READ",
    "TAPE_READ_AGAIN",
    "ClosedMark",
    "Closure",
    "Doubt",
    "Front",
    "Fronts",
    "InSpace",
    "Joint",
    "KnownMarks",
    "MarkSpot",
    "Measure",
    "MeasureKind",
    "Meeting",
    "Moved",
    "NewMark",
    "PictureSeen",
    "PlacedMark",
    "Readings",
    "Replan",
    "RowJoin",
    "RowTaken",
    "SeamLeft",
    "SeamPlace",
    "SeamsAsked",
    "SetUpLeft",
    "ShapesMoved",
    "Sifted",
    "Source",
    "SourceKind",
    "TakenUp",
    "TapeFrom",
    "ToCome",
    "Worth",
    "chained_end",
    "closed",
    "closing_findings",
    "doubt_named",
    "doubts",
    "fallen",
    "fronts_to_join",
    "joined",
    "known_marks",
    "known_marks_findings",
    "meeting",
    "parted_findings",
    "replanned",
    "sifted",
    "taken_up",
    "worth_measuring",
]
