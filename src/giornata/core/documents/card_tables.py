"""The table of a set-up card that is filled in by pencil: aimed, seen and missed at each mark."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.documents.display import bare, headed
from giornata.core.documents.drawing import Item
from giornata.core.documents.letters import text_width
from giornata.core.documents.ruled_table import FIGURES, Column, ruled_table
from giornata.core.foundation import System
from giornata.core.setting_out import ControlMark

__all__ = ["PAIRS", "residual_height", "residual_table"]

PAIRS = 6
"""Rows of the table: as many pairs as an alignment is judged by. [-]"""
_HEAD = 10.0  # mm
_NAME = 30.5  # mm
_BESIDE = 1.6  # mm between a text and the rule beside it, at least


def residual_height(row: float) -> float:
    """Height of the table. [mm]

    Parameters
    ----------
    row : float
        Height of a row. [mm]
    """
    return _HEAD + PAIRS * row


def residual_table(
    marks: Sequence[ControlMark],
    left: float,
    right: float,
    upper: float,
    row: float,
    system: System,
) -> tuple[Item, ...]:
    """Marks to hit, and room for what was seen; rows left over are for marks of one's own.

    Parameters
    ----------
    left, right, upper : float
        Where it lies. [mm]
    row : float
        Height of a row. [mm]
    """
    small = "in" if system is System.US else "mm"
    stacked = system is System.US
    chosen = list(marks)[:PAIRS]
    heights = [bare(mark.above_ground, system, digits=3) for mark in chosen]
    levels = [bare(mark.level, system, digits=3) for mark in chosen]
    along = [bare(mark.chainage, system, digits=3) for mark in chosen]
    # Widths that hold "M07 middle", and the longest measure of the marks. [mm]
    least = (_NAME, 41.0, 36.0) if stacked else (_NAME, 24.0, 22.0, 22.0)
    texts: tuple[list[str], ...] = ([], along, heights, levels)
    fixed = tuple(
        max([wide, *(text_width(text, FIGURES, bold=True) + 2 * _BESIDE for text in each)])
        for wide, each in zip(least, texts, strict=False)
    )
    heads = ["Control mark", headed("Chainage x", system), headed("Above ground", system)]
    if stacked:
        heads[2] += " (level y)"
    else:
        heads.append(headed("Level y", system))
    seen = [headed("Seen x", system), headed("Seen y", system), f"Miss x, {small} (right\u00a0+)",
            f"Miss y, {small} (up\u00a0+)"]  # fmt: skip
    blank = (right - left - sum(fixed)) / 4
    columns = [
        Column(head=head, align="start" if k == 0 else "end", bold=True)
        for k, head in enumerate(heads)
    ] + [Column(head=head, align="start") for head in seen]
    rows, below = [], []
    for k in range(PAIRS):
        if k >= len(chosen):
            rows.append([""] * len(columns))
            below.append([""] * len(columns))
            continue
        mark = chosen[k]
        name, rest = _name_lines(mark.name, fixed[0] - 2 * _BESIDE)
        figures = [name, along[k], heights[k]]
        rows.append([*figures, *([] if stacked else [levels[k]]), "", "", "", ""])
        below.append([rest, "", f"({levels[k]})" if stacked else "", *[""] * (len(columns) - 3)])
    return ruled_table(columns, rows, (*fixed, *[blank] * 4), left=left, upper=upper, row=row,
                       below=below)  # fmt: skip


def _name_lines(name: str, width: float) -> tuple[str, str]:
    """A mark's name in one line, or its last two words ("M07 upper") over the others."""
    words = name.split(" ")
    if text_width(name, FIGURES, bold=True) <= width or len(words) < 3:
        return name, ""
    return " ".join(words[-2:]), " ".join(words[:-2])
