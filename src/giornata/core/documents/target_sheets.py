"""Target sheets: one for each control mark, hung where chalk does not show in photos."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.boards import TARGET_HALF
from giornata.core.documents.display import bare, small_text
from giornata.core.documents.drawing import DARK, FINE, INK, DrawnPaper, Item, Label, Sheet, box
from giornata.core.documents.drawing import segment as line
from giornata.core.documents.letters import lines_of, shortened, text_width
from giornata.core.documents.scales import MARGIN, PaperSize, card_paper
from giornata.core.documents.title_block import (
    TITLE_HEIGHT,
    Heading,
    bars,
    heading,
    title_block,
    title_findings,
)
from giornata.core.foundation import System
from giornata.core.job import JobResults
from giornata.core.projection import numbers_named
from giornata.core.setting_out import ControlMark

__all__ = ["target_sheets"]

_NAME = 30.0  # pt
_SIZE = 9.0  # pt
_LINE = 4.0  # mm
_HEAD = 22.0  # mm between the margin and the target
_BETWEEN = 6.0  # mm between the two columns of words

_HANG = (
    "Push a pin through the middle, where the four squares meet, and set its point on the mark.",
    "Turn the sheet until the lines at its sides are level. Tape its corners, flat on the wall.",
    "Look again before each set of photos: the middle is on the mark, the name is this mark's.",
    "Chalk crosses and targets may be mixed. Photograph as with crosses, in plain white light.",
)
_CARE = (
    "Matt paper, printed at 100 %: gloss shines back. Print again what is wet, torn or curled.",
    "Weak tape, tried on the paint first. Tape and paper come off when the set-up is done.",
    "Ladder: level ground, one holds it. No sheet where wind can take it into traffic.",
    "Local code and the makers' manuals come first.",
)


def target_sheets(
    results: JobResults,
    system: System,
    marks: Sequence[ControlMark],
    *,
    paper: PaperSize | None = None,
) -> DrawnPaper:
    """A target for each of some control marks, its name in large letters over it.

    Parameters
    ----------
    marks : sequence of ControlMark
        At least one.
    paper : PaperSize, optional
        Upright; else A4, or Letter for US units.

    Raises
    ------
    ValueError
        If there is no mark, or the paper is too small for a target.
    """
    size = paper or card_paper(system)
    if not marks:
        raise ValueError("targets are printed for marks, and there is none")
    side = 2000 * TARGET_HALF.value
    margin = 1000 * MARGIN.value
    if size.short < side + 2 * margin or size.long < 275.0:
        raise ValueError(f"{size.title} is too small for a target; take A4, Letter or larger")
    head = heading(results)
    pages = len(marks)
    return DrawnPaper(
        title=f"{head.job}: target sheets",
        date=head.date,
        sheets=tuple(
            _sheet(one, size, head, (page, pages), system) for page, one in enumerate(marks, 1)
        ),
        findings=title_findings(head),
    )


def _sheet(
    mark: ControlMark, size: PaperSize, head: Heading, page: tuple[int, int], system: System
) -> Sheet:
    margin, half = 1000 * MARGIN.value, 1000 * TARGET_HALF.value
    left, right, lower = margin, size.short - margin, size.long - margin
    x, y = size.short / 2, margin + _HEAD + half
    items = [*_target(x, y, half, left, right), *_title(mark, left, right, margin, system)]
    wide = (right - left - _BETWEEN) / 2
    columns = ((left, "Hang it", _HANG), (left + wide + _BETWEEN, "Take care", _CARE))
    top = y + half + 6.0
    for start, title, words in columns:
        items.append(Label(x=start, y=top, text=title, size=10.0, bold=True))
        at = top
        for word in words:
            for number, text in enumerate(lines_of(word, wide - 4.0, _SIZE)):
                at += _LINE
                dash = "– " if number == 0 else "\u2007 "
                items.append(Label(x=start, y=at, text=dash + text, size=_SIZE))
    foot = lower - TITLE_HEIGHT - 1.5
    if size.long > 285.0:  # Letter has no room for the bar; the target's own side is said
        items += bars(None, system, left, right, foot, "")
    wide_text = small_text(2 * TARGET_HALF.value, system, digits=0)
    items += title_block(head, f"Target {mark.name}", f"{wide_text} wide", page, left, right, lower)
    return Sheet(name=mark.name, width=size.short, height=size.long, items=tuple(items))


def _target(x: float, y: float, half: float, left: float, right: float) -> list[Item]:
    """Black up and left, and down and right; lines at its sides and over it to set it level by."""
    return [
        box(x - half, y - half, x, y, fill=INK),
        box(x, y, x + half, y + half, fill=INK),
        line((left, y), (x - half - 2.0, y), FINE),
        line((x + half + 2.0, y), (right, y), FINE),
        line((x, y - half - 5.0), (x, y - half - 2.0), FINE),
    ]


def _title(
    mark: ControlMark, left: float, right: float, upper: float, system: System
) -> list[Item]:
    unit = "" if system is System.US else " m"
    place = f"chainage {bare(mark.chainage, system, digits=3)}{unit}"
    level = f"level {bare(mark.level, system, digits=3)}{unit}"
    said = max(text_width(text, 12.0) for text in (place, level))
    aimed = numbers_named(mark.set_ups) if mark.set_ups else "no set-up"
    name = shortened(mark.name, right - left - said - 6.0, _NAME, bold=True)
    return [
        Label(x=left, y=upper + 11.0, text=name, size=_NAME, bold=True),
        Label(x=right, y=upper + 5.0, text=place, size=12.0, anchor="end"),
        Label(x=right, y=upper + 10.5, text=level, size=12.0, anchor="end"),
        Label(x=right, y=upper + 15.5, text=aimed,
              size=_SIZE, anchor="end", colour=DARK),
    ]  # fmt: skip
