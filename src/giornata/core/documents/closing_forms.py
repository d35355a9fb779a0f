"""Closing forms: the mark table, and forms to fill in by pencil: residuals, check measurements."""

from __future__ import annotations

from collections.abc import Iterator

from giornata.core.closing import LEVEL_READ, TAPE_READ_AGAIN, MeasureKind
from giornata.core.documents.display import bare, headed, small_text
from giornata.core.documents.drawing import DrawnPaper, Label, Sheet
from giornata.core.documents.flowed_tables import Block, flowed
from giornata.core.documents.letters import lines_of
from giornata.core.documents.not_projected import marks_of_use
from giornata.core.documents.ruled_table import BOX, Column
from giornata.core.documents.scales import MARGIN, card_paper
from giornata.core.documents.title_block import (
    TITLE_HEIGHT,
    heading,
    title_block,
    title_findings,
)
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.core.projection import SetUp

__all__ = ["closing_forms"]

_TOP = 20.0  # mm from the margin to what stands below the head
_LINE = 4.6
_SIZE = 10.0
_BLANK = 24.0  # mm to write a reading in
_ROOM_TO_MEASURE = 14
_HOW = (
    (
        "Residuals: throw the crosses, read how far each fell from its mark, right and up above "
        "0; square the picture; read again. Once more before the projector is taken down: what "
        "moved since shows which lines to draw again."
    ),
    (
        "Check measurements, by day or with a lookout: one more tape between marks on either side "
        "of a seam, a level, a plumb line, and at both ends and every {late} or so a chainage by "
        "other means than the running tape. Write what is read, never what is hoped for."
    ),
    "Type them in: giornata square, giornata measure; then giornata close says how both ends meet.",
)


def closing_forms(results: JobResults, system: System) -> DrawnPaper:
    """The mark table, a form for check measurements, and one of residuals for each set-up.

    Parameters
    ----------
    system : System
        The reader's units.
    """
    size, head = card_paper(system), heading(results)
    margin = 1000 * MARGIN.value
    left, right, lower = margin, size.short - margin, size.long - margin
    words = list(_words(left, right, margin + _TOP, system))
    blocks = [_marks(results, system), _measures(system), *_residuals(results, system)]
    pages = flowed(
        [block for block in blocks if block.rows], "Closing forms", left, right, margin,
        lower - TITLE_HEIGHT - 3.0, words[-1].y + 3.0, words,
    )  # fmt: skip
    sheets = []
    for page, (name, items) in enumerate(pages, start=1):
        under = "Marks, residuals, check measurements"
        block = title_block(head, "Closing forms", under, (page, len(pages)), left, right, lower)
        title = Label(x=left, y=margin + 8.0, text=name, size=22.0, bold=True)
        sheets.append(
            Sheet(
                name=name, width=size.short, height=size.long, items=(title, *items, *block)
            )
        )  # fmt: skip
    return DrawnPaper(
        title=f"{head.job}: closing forms",
        date=head.date,
        sheets=tuple(sheets),
        findings=title_findings(head),
    )


def _words(left: float, right: float, y: float, system: System) -> Iterator[Label]:
    late = "80 ft" if system is System.US else "24 m"
    for text in _HOW:
        for line in lines_of(text.format(late=late), right - left, _SIZE):
            yield Label(x=left, y=y, text=line, size=_SIZE)
            y += _LINE
        y += 1.0


def _marks(results: JobResults, system: System) -> Block:
    away = results.unprojected
    columns = (
        Column(head="Mark", align="start", bold=True),
        Column(head=headed("Chainage", system), bold=True),
        Column(head=headed("Level", system), bold=True),
        Column(head="Seen from set-ups", align="start"),
        Column(head=headed("Chainage as adjusted", system), width=_BLANK),
        Column(head=headed("Level as adjusted", system), width=_BLANK),
        Column(head="Set again", align="middle"),
    )
    rows = tuple(
        (
            mark.name,
            bare(mark.chainage, system, digits=3),
            bare(mark.level, system, digits=3),
            ", ".join(str(n) for n in mark.set_ups if n not in away) or "none",
            "",
            "",
            BOX,
        )
        for mark in marks_of_use(results)
    )
    return Block(name="Mark table", aside="each from the datum", columns=columns, rows=rows)


def _measures(system: System) -> Block:
    columns = (
        Column(head=f"Kind: {', '.join(str(kind) for kind in MeasureKind)}", align="start",
               width=46.0),
        Column(head="From mark", align="start"),
        Column(head="To mark", align="start"),
        Column(head=headed("Read", system)),
        Column(head="Known to"),
        Column(head="Typed in", align="middle", width=16.0),
    )  # fmt: skip
    taped, levelled = (
        small_text(one.value, system, digits=0) for one in (TAPE_READ_AGAIN, LEVEL_READ)
    )
    return Block(
        name="Check measurements",
        aside=f"where nothing else is said, known to {taped} by tape, {levelled} by level",
        columns=columns,
        rows=(("", "", "", "", "", BOX),) * _ROOM_TO_MEASURE,
    )


def _residuals(results: JobResults, system: System) -> Iterator[Block]:
    small = "in" if system is System.US else "mm"
    columns = (
        Column(head="Mark", align="start", bold=True),
        *(
            Column(head=f"{when}: {way},\u00a0{small}", width=_BLANK)
            for when in ("First", "Squared", "At the end")
            for way in ("right", "up")
        ),
    )
    away = results.unprojected
    for one in results.set_ups.set_ups:
        if one.number in away:
            continue
        aimed = [mark for mark in results.marks if one.number in mark.set_ups]
        yield Block(
            name=f"Set-up {one.number}",
            aside=_where(one, results.wall.length, system),
            columns=columns,
            rows=tuple((mark.name, *[""] * 6) for mark in aimed),
            written_in=(("at", 18.0), ("by", 18.0)),
        )


def _where(one: SetUp, length: float, system: System) -> str:
    """What of a wall of this length its image reaches."""
    unit = "" if system is System.US else " m"
    start, end = max(one.start, 0.0), min(one.end, length)
    return f"{bare(start, system)} to {bare(end, system)}{unit}"
