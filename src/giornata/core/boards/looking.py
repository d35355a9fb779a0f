"""Photos of one set-up laid upon each other, and the pattern looked for in them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import cv2
import numpy as np

from giornata.core.boards.board_findings import (
    hand_held,
    mirrored,
    moved_apart,
    no_pattern,
    other_set_up,
    too_coarse,
)
from giornata.core.boards.laying import Laid, Shown, edges, laid_upon, resampled
from giornata.core.boards.pattern import Levels, Pattern, PatternKind, pattern_pixels
from giornata.core.boards.saddles import Board, measured_board
from giornata.core.boards.shots import Light, grey_light, levels_of, parted
from giornata.core.boards.tags import Tags, found_tags, kinds_tried, recognised
from giornata.core.foundation import Assumption, Finding

__all__ = ["HELD_NOISE", "Looked", "Shots", "looked_at"]

HELD_NOISE = 1.0
"""Noise of a saddle from which shots from the hand must not be subtracted. [px]"""


HELD_DOUBT = Assumption(
    name="standard error of marks by two shots from the hand, each way, in pixels of the photo",
    value=0.25,
    unit="-",
    source="no published source: by made photos, 0.05 to 0.3 px",
    usual=(0.05, 0.3),
)
COARSE = Assumption(
    name="longer side of a photo, in pixels, below which shots cannot be told from moved ones",
    value=1600.0,
    unit="-",
    source="no published source: by made photos",
    usual=(1400, 2000),
)
_LIT = (
    0.8  # of white light: where less of it falls, a photo of the pattern tells little of the wall
)
_SOFTER = 1.0  # px: blur of a photo of tags alone
_SOME = 2  # tags read, from which other kinds of pattern are tried


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shots:
    """Photos of one set-up, upright, from one place.

    Parameters
    ----------
    positive : ndarray of uint8, shape (rows, columns, 3)
    negative, white : ndarray or None
        Of the same size; None where that was not taken.
    """

    positive: Levels
    negative: Levels | None = None
    white: Levels | None = None

    @property
    def sizes(self) -> tuple[tuple[int, int], ...]:
        """Different sizes among them, width and height. [px]"""
        every = [one for one in (self.positive, self.negative, self.white) if one is not None]
        return tuple(sorted({(one.shape[1], one.shape[0]) for one in every}))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Looked:
    """A pattern looked for in a set of photos.

    Parameters
    ----------
    positive : ndarray, shape (rows, columns)
        Light of the positive shot. [-]
    board : Board or None
        None where none was measured; the findings say why.
    white : ndarray or None
        Light of the white shot, as if taken from where the positive was; None for none. [-]
    white_sigma : float
        How well it was brought there, each way. [px]
    parted : bool
        Whether what is painted on the wall was taken out of the pattern's picture.
    differenced : bool
        Whether that was done by the negative.
    findings : tuple of Finding
    """

    positive: Light
    board: Board | None
    white: Light | None
    white_sigma: float
    parted: bool
    differenced: bool
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Tried:
    picture: Light
    parted: bool = False
    differenced: bool = False
    known: dict[PatternKind, Tags] = field(default_factory=dict)

    def tags(self, kind: PatternKind) -> Tags:
        if kind not in self.known:
            self.known[kind] = found_tags(levels_of(self.picture), kind)
        return self.known[kind]

    def kinds(self, first: PatternKind) -> Sequence[PatternKind]:
        """Kinds worth a try: all have codes in common, so where none is read there is no other."""
        return kinds_tried(first) if len(self.tags(first).codes) >= _SOME else (first,)


def looked_at(shots: Shots, pattern: Pattern, others: Sequence[int]) -> Looked:
    """The pattern looked for: in the difference of two shots, against the white one, or alone.

    Parameters
    ----------
    shots : Shots
        All of one size.
    pattern : Pattern
        Expected; its other kinds are tried as well.
    others : sequence of int
        Numbers of set-ups whose patterns are told apart. [-]
    """
    positive = grey_light(shots.positive)
    alone = _Tried(picture=np.asarray(np.sqrt(positive), np.float32))
    findings: list[Finding] = []
    tried: list[_Tried] = []
    white: Light | None = None
    single: Board | None = None
    both: Light | None = None
    inside: Shown | None = None
    sigma = held_doubt = 0.0
    if shots.negative is not None:
        negative = grey_light(shots.negative)
        laid = laid_upon(edges(positive), edges(negative), moved=negative)
        if laid is not None and laid.still:
            tried.append(_Tried(picture=parted(positive, negative), parted=True, differenced=True))
            both = white = np.asarray((positive + negative) / 2, np.float32)
        else:
            single = _board(alone, pattern)
            laid = None
            if single is not None and single.noise <= HELD_NOISE:
                inside = _shown(single, positive, white=True) > _LIT
                laid = laid_upon(edges(positive), edges(negative), moved=negative, shown=inside)
            noise = None if single is None else single.noise
            findings.append(hand_held(_far(laid), noise, HELD_NOISE, used=laid is not None))
            if laid is not None:
                both = np.asarray((positive + laid.light) / 2, np.float32)
                held_doubt = HELD_DOUBT.value
                held = parted(positive, laid.light)
                tried.append(_Tried(picture=held, parted=True, differenced=True))
    if shots.white is not None:
        plain = grey_light(shots.white)
        against = _Tried(picture=parted(positive, plain), parted=True)
        rough: Board | None = None
        if both is not None:
            laid = laid_upon(both, plain, shown=inside)
        else:
            single = _board(alone, pattern) if single is None else single
            rough = _board(against, pattern) if single is None else single
            laid = None
            if rough is not None:
                lit, shown = _lit(rough, positive)
                laid = laid_upon(lit, plain, shown=shown)
                held_doubt = 0.0 if laid is None or laid.still else HELD_DOUBT.value
        white = None if laid is None else laid.light
        if laid is not None:
            sigma = math.hypot(laid.sigma, held_doubt)
            if sigma == 0:
                tried.append(against)
        elif both is not None or rough is not None:
            findings.append(_apart(positive))
    made = Looked(
        positive=positive, board=None, white=white, white_sigma=sigma, parted=False,
        differenced=False, findings=tuple(findings),
    )  # fmt: skip
    for one in tried:
        board = _board(one, pattern)
        # A difference of two shots is worth having only where it is the better one.
        if board is not None and (single is None or board.noise < single.noise):
            return replace(made, board=board, parted=one.parted, differenced=one.differenced)
    board = _board(alone, pattern) if single is None else single
    if board is not None:
        return replace(made, board=board)
    return replace(made, findings=(*findings, _cause((*tried, alone), pattern, others)))


def _lit(board: Board, positive: Light) -> tuple[Light, Shown]:
    """The wall as in white light, by a photo of the pattern, and where that shows it."""
    share = _shown(board, positive)
    return np.asarray(positive / np.maximum(share, _LIT), np.float32), share > _LIT


def _shown(board: Board, positive: Light, *, white: bool = False) -> Light:
    """Share of white light that the pattern, or plain white, throws on each pixel of a photo."""
    frame = np.asarray(pattern_pixels(board.pattern) / 255, np.float32)
    if white:
        frame[:] = 1.0
    frame[[0, -1]] = frame[:, [0, -1]] = 0.0  # what lies beyond is not lit
    seen = resampled(frame, board.onto_picture.mapped, positive.shape)
    return np.asarray(cv2.GaussianBlur(seen, (0, 0), board.soft or _SOFTER), np.float32)


def _apart(positive: Light) -> Finding:
    """Why a white shot cannot be laid upon the pattern: a coarse photo shows too little for it."""
    longest = max(positive.shape)
    return too_coarse(longest, round(COARSE.value)) if longest < COARSE.value else moved_apart()


def _far(laid: Laid | None) -> float | None:
    return None if laid is None else laid.far


def _board(tried: _Tried, pattern: Pattern) -> Board | None:
    """The expected set-up's pattern of any kind, measured."""
    for kind in tried.kinds(pattern.kind):
        found = recognised(tried.tags(kind), [replace(pattern, kind=kind)])
        board = None if found is None else measured_board(tried.picture, found)
        if board is not None:
            return board
    return None


def _cause(every: Sequence[_Tried], pattern: Pattern, others: Sequence[int]) -> Finding:
    """Why no pattern of the set-up was found."""
    most = 0
    for tried in every:
        for kind in tried.kinds(pattern.kind):
            tags = tried.tags(kind)
            most = max(most, len(tags.codes))
            others_of_kind = [replace(pattern, kind=kind, set_up=number) for number in others]
            found = recognised(tags, others_of_kind)
            if found is not None:
                return other_set_up(found.pattern.set_up, pattern.set_up)
    flipped = np.ascontiguousarray(levels_of(every[-1].picture)[:, ::-1])
    mirror = recognised(found_tags(flipped, pattern.kind), [pattern])
    return no_pattern(most) if mirror is None else mirrored()
