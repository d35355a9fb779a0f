"""Limits of a pattern seen in a photo: angle, blur, what is hidden, light."""

from __future__ import annotations

import math
from collections.abc import Callable

import cv2
import numpy as np
from scipy.spatial import ConvexHull

from giornata.core.boards.looking import Shots
from giornata.core.boards.pattern import Levels, PatternKind
from giornata.core.boards.saddles import Board, white_first
from giornata.core.boards.shots import Light
from giornata.core.foundation import Assumption, Finding, Severity

__all__ = ["board_findings", "light_ratio", "obliquity", "shot_findings"]

OBLIQUE = Assumption(
    name="angle off square from which a pattern is read badly",
    value=math.radians(55),
    unit="rad",
    source="no published source: by made photos",
    usual=(math.radians(50), math.radians(60)),
)
OBLIQUE_MOST = Assumption(
    name="greatest angle off square of a photo of squares",
    value=math.radians(60),
    unit="rad",
    source="no published source: by made photos",
    usual=(math.radians(55), math.radians(65)),
)
BLUR = Assumption(
    name="greatest blur of a photo, of a square's side in it",
    value=0.022,
    unit="-",
    source="no published source: by made photos, 3 px at squares of 140 px",
    usual=(0.02, 0.03),
)
SEEN = Assumption(
    name="least share of the pattern that is seen",
    value=0.75,
    unit="-",
    source="no published source: by made photos",
    usual=(0.4, 0.75),
)
COVERED = Assumption(
    name="least share of the picture that the seen part of the pattern reaches over",
    value=0.35,
    unit="-",
    source="no published source: by made photos",
    usual=(0.3, 0.5),
)
SIDE = Assumption(
    name="least side of a square in a photo, in pixels",
    value=20.0,
    unit="-",
    source="no published source: a tag's code needs 3 px to each of its modules",
    usual=(15, 30),
)
LIGHT_ALONE = Assumption(
    name="least ratio of projected to other light for a photo by itself",
    value=5.0,
    unit="-",
    source="no published source: by made photos",
    usual=(3, 6),
)
LIGHT_PAIR = Assumption(
    name="least ratio of projected to other light for two photos",
    value=0.25,
    unit="-",
    source="no published source: by made photos",
    usual=(0.2, 0.5),
)

_DARK = 40  # of 255: the brightest hundredth of a photo that shows too little
_BURNT = 253
_BURNT_SHARE = 0.10
_DIAGONAL = 0.10  # of a square's side: where bright and dark are read about a saddle
_SUBJECT = "photo of the pattern"


def obliquity(board: Board) -> float:
    """Angle between the photo's line of sight and the square to the wall. [rad]

    Parameters
    ----------
    board : Board

    Notes
    -----
    A small square seen from so many degrees off square is narrowed by the cosine. The projector
    counts as square to the wall.
    """
    middle = np.array([[board.pattern.columns / 2, board.pattern.rows / 2]])
    long, short = np.linalg.svd(board.onto_photo.slopes(middle)[0], compute_uv=False)
    return math.acos(min(float(short / long), 1.0))


def light_ratio(board: Board, positive: Light) -> float | None:
    """Projected light over the other light on the wall, median; None for tags alone. [-]

    Parameters
    ----------
    board : Board
    positive : ndarray, shape (rows, columns)
        Light of the positive shot. [-]
    """
    if board.pattern.kind is PatternKind.TAGS:
        return None
    smooth = cv2.GaussianBlur(positive, (0, 0), max(0.02 * board.side, 0.5))
    steps = _DIAGONAL * board.pattern.side * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)], float)
    slopes = board.onto_photo.slopes(board.places)
    at = board.seen[:, None, :] + np.einsum("nij,kj->nki", slopes, steps) - 0.5
    look = at.astype(np.float32)
    four = cv2.remap(smooth, look[..., 0], look[..., 1], cv2.INTER_LINEAR)
    first, second = four[:, (0, 2)].mean(axis=1), four[:, (1, 3)].mean(axis=1)
    white = white_first(board.pattern, board.places)
    bright, dark = np.where(white, first, second), np.where(white, second, first)
    return float(np.median(bright / np.maximum(dark, 1e-4))) - 1.0


def shot_findings(shots: Shots, board: Board | None) -> tuple[Finding, ...]:
    """Photos that are too dark or burnt out.

    Parameters
    ----------
    shots : Shots
    board : Board or None
        The pattern in them, where it is known.
    """
    found: list[Finding] = []
    grey = shots.positive.max(axis=2)
    bright = float(np.percentile(grey[::4, ::4], 99))
    if bright < _DARK:
        found.append(
            Finding(
                code="boards.under_exposed",
                severity=Severity.WARN,
                subject=_SUBJECT,
                message=f"It is dark: its brightest hundredth is at {bright:.0f} of 255; "
                f"{_DARK} is the least.",
                remedy="Touch the picture on the phone's screen so that it exposes for it, or "
                "give it more time on a tripod.",
            )
        )
    for name, shot in (("photo of the pattern", shots.positive), ("white shot", shots.white)):
        if shot is None:
            continue
        share = _burnt(shot, board)
        if share > _BURNT_SHARE:
            found.append(
                Finding(
                    code="boards.over_exposed",
                    severity=Severity.WARN,
                    subject=name,
                    message=f"{100 * share:.0f} % of the picture is burnt out; "
                    f"{100 * _BURNT_SHARE:.0f} % is the most. Chalk does not show there.",
                    remedy="Touch the brightest place on the phone's screen, or turn exposure "
                    "down, and lock it for all photos.",
                )
            )
    return tuple(found)


def _burnt(shot: Levels, board: Board | None) -> float:
    burnt = shot.min(axis=2) >= _BURNT
    if board is None:
        return float(burnt[::4, ::4].mean())
    x, y = np.floor(board.expected).astype(int).T
    inside = (x >= 0) & (y >= 0) & (x < burnt.shape[1]) & (y < burnt.shape[0])
    if not inside.any():
        return 0.0
    low, high = board.expected[inside].min(axis=0), board.expected[inside].max(axis=0)
    (left, top), (right, foot) = low.astype(int), high.astype(int) + 1
    return float(burnt[top:foot:4, left:right:4].mean())


def board_findings(board: Board, positive: Light, *, parted: bool) -> tuple[Finding, ...]:
    """What is amiss with how a pattern is seen.

    Parameters
    ----------
    board : Board
    positive : ndarray, shape (rows, columns)
        Light of the positive shot. [-]
    parted : bool
        Whether a second photo took out what is painted on the wall.
    """
    checks: tuple[Callable[[], Finding | None], ...] = (
        lambda: _oblique(board),
        lambda: _blurred(board),
        lambda: _small(board),
        lambda: _hidden(board, positive),
        lambda: _dim(board, positive, parted),
    )
    return tuple(one for one in (check() for check in checks) if one is not None)


def _oblique(board: Board) -> Finding | None:
    angle = obliquity(board)
    tags = board.pattern.kind is PatternKind.TAGS
    if angle <= (OBLIQUE_MOST if tags else OBLIQUE).value:
        return None
    stop = angle > OBLIQUE_MOST.value and not tags
    limit = OBLIQUE_MOST if stop or tags else OBLIQUE
    return Finding(
        code="boards.oblique",
        severity=Severity.STOP if stop else Severity.WARN,
        subject=_SUBJECT,
        message=f"It was taken {math.degrees(angle):.0f}° off square; "
        f"{math.degrees(limit.value):.0f}° is the most.",
        remedy="Stand nearer to the middle of the picture, beside the projector; where there is no "
        "room, show the pattern of large tags.",
    )


def _blurred(board: Board) -> Finding | None:
    if board.soft is None or not board.side > 0:
        return None
    share = board.soft / board.side
    if share <= BLUR.value:
        return None
    return Finding(
        code="boards.blurred",
        severity=Severity.WARN,
        subject=_SUBJECT,
        message=f"Its edges are {board.soft:.1f} px soft, {100 * share:.1f} % of a square; "
        f"{100 * BLUR.value:.1f} % is the most.",
        remedy="Clean the lens, focus projector and phone, stand the phone on a tripod and "
        "release it by the timer; or show the pattern of large tags.",
    )


def _small(board: Board) -> Finding | None:
    if board.side >= SIDE.value:
        return None
    return Finding(
        code="boards.small_in_photo",
        severity=Severity.WARN,
        subject=_SUBJECT,
        message=f"A square of the pattern is {board.side:.0f} px wide in it; "
        f"{SIDE.value:.0f} px is the least.",
        remedy="Go nearer until the picture fills the photo, and send the photo in its full size.",
    )


def _hidden(board: Board, positive: Light) -> Finding | None:
    high, wide = positive.shape
    seen = len(board.seen) / len(board.expected)
    hull = float(ConvexHull(board.places).volume)
    covered = hull / (board.pattern.columns * board.pattern.rows)
    if covered < COVERED.value:
        return Finding(
            code="boards.little_seen",
            severity=Severity.STOP,
            subject=_SUBJECT,
            message=f"What is seen of the pattern reaches over {100 * covered:.0f} % of the "
            f"picture; {100 * COVERED.value:.0f} % is the least.",
            remedy="Have the whole picture in the photo, from a place where less stands before "
            "it; or show the pattern of fine squares.",
        )
    if seen >= SEEN.value:
        return None
    inside = ((board.expected >= 0) & (board.expected < (wide, high))).all(axis=1).mean()
    return Finding(
        code="boards.partly_seen",
        severity=Severity.WARN,
        subject=_SUBJECT,
        message=f"{100 * seen:.0f} % of the pattern's corners are seen, {100 * inside:.0f} % are "
        f"inside the photo; {100 * SEEN.value:.0f} % seen are the least.",
        remedy="Have the whole picture in the photo, from a place where less stands before it; "
        "or show the pattern of fine squares.",
    )


def _dim(board: Board, positive: Light, parted: bool) -> Finding | None:
    ratio = light_ratio(board, positive)
    limit = (LIGHT_PAIR if parted else LIGHT_ALONE).value
    if ratio is None or ratio >= limit:
        return None
    remedy = (
        "Switch lamps off or shade them, or wait for the dark."
        if parted
        else "Take positive and negative, and the white shot, from a tripod; then a quarter of the "
        "other light is enough."
    )
    return Finding(
        code="boards.little_light",
        severity=Severity.WARN,
        subject=_SUBJECT,
        message=f"The pattern is {ratio:.2g} times as bright as the other light on the wall; "
        f"{limit:g} times is the least" + (" with two photos." if parted else " for one photo."),
        remedy=remedy,
    )
