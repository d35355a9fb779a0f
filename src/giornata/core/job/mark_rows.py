"""Rows of set-ups as their marks see them: runs of neighbours, and the seams of their pictures."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core import setting_out
from giornata.core.projection import SetUp, level_between
from giornata.core.setting_out import ImageOnWall, LevelSeam, Picture, PictureSeam

__all__ = ["Run", "images_of", "level_seams", "picture_seams", "runs_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Set-ups of one row, in order along the wall, and what their images show of it.

    Parameters
    ----------
    row : int
        From 1 upwards. [-]
    set_ups : tuple of SetUp
        Neighbours overlap.
    spans : tuple of (float, float)
        From where to where each image shows the wall. [m]
    """

    row: int
    set_ups: tuple[SetUp, ...]
    spans: tuple[tuple[float, float], ...]


def runs_of(set_ups: Sequence[SetUp]) -> list[Run]:
    """Row by row, parted where nothing lights the wall; there an image shows what is lit.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    """
    runs = []
    for row in sorted({one.row for one in set_ups}):
        here = sorted((one for one in set_ups if one.row == row), key=lambda one: one.start)
        parted = [k for k, one in enumerate(here[:-1], start=1) if one.overlap_next is None]
        for first, end in itertools.pairwise([0, *parted, len(here)]):
            spans = [
                (
                    one.lit_start if k == first > 0 else one.start,
                    one.lit_end if k == end - 1 < len(here) - 1 else one.end,
                )
                for k, one in enumerate(here[first:end], start=first)
            ]
            runs.append(Run(row=row, set_ups=tuple(here[first:end]), spans=tuple(spans)))
    return runs


def images_of(set_ups: Sequence[SetUp]) -> list[ImageOnWall]:
    """What each image covers of the wall.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    """
    return [
        ImageOnWall(number=one.number, row=one.row, start=one.start, end=one.end, foot=one.foot,
                    head=one.head)
        for one in set_ups
    ]  # fmt: skip


def level_seams(set_ups: Sequence[SetUp], pictures: Sequence[Picture]) -> tuple[LevelSeam, ...]:
    """The seams between set-ups above one another.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    pictures : sequence of Picture
        One to each.
    """
    by_place = {(one.column, one.row): one for one in set_ups}
    images = {one.number: one for one in images_of(set_ups)}
    made = (
        setting_out.level_seam(
            images[low.number],
            images[high.number],
            (pictures[low.number - 1], pictures[high.number - 1]),
            level_between(low, high),
        )
        for low in set_ups
        if (high := by_place.get((low.column, low.row + 1))) is not None
    )
    return tuple(one for one in made if one is not None)


def picture_seams(set_ups: Sequence[SetUp], pictures: Sequence[Picture]) -> tuple[PictureSeam, ...]:
    """Where pictures meet, beside and above one another.

    Parameters
    ----------
    set_ups : sequence of SetUp
        All of the wall.
    pictures : sequence of Picture
        One to each.
    """
    found = []
    for run in runs_of(set_ups):
        own = [pictures[one.number - 1] for one in run.set_ups]
        overlaps = setting_out.overlaps_of(run.spans, own)
        for (left, right), overlap in zip(itertools.pairwise(run.set_ups), overlaps, strict=True):
            if overlap is not None:
                found.append(PictureSeam(left=left.number, right=right.number, overlap=overlap))
    found += [
        PictureSeam(left=one.lower.number, right=one.upper.number, overlap=one.overlap)
        for one in level_seams(set_ups, pictures)
    ]
    return tuple(found)
