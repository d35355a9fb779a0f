"""Limits of how a pattern is seen, on boards made by a pinhole camera; truth by construction."""

from __future__ import annotations

import math
from dataclasses import replace

import cv2
import numpy as np
import pytest

from giornata.core.boards import Board, Pattern, PatternKind, light_ratio, obliquity, pattern_pixels
from giornata.core.boards.board_checks import board_findings
from giornata.core.boards.carrying import carrier
from giornata.core.foundation import Severity, readonly

PATTERN = Pattern(columns=1920, rows=1080, set_up=1)
WIDE, HIGH = 2000, 1500


def photo_from_frame(degrees: float, fills: float = 0.9) -> np.ndarray:
    """A camera 2 picture widths off, turned so about the upright: OpenCV-free, by hand."""
    turn = math.radians(degrees)
    away, focal = 2 * 1920.0, fills * WIDE * 2
    inner = np.array([[focal, 0, WIDE / 2], [0, focal, HIGH / 2], [0, 0, 1]])
    axes = np.array(
        [[math.cos(turn), 0, 0], [0, 1, 0], [math.sin(turn), 0, away]]
    )  # of the frame's x, y and 1, its middle at the origin
    middle = np.array([[1, 0, -960.0], [0, 1, -540.0], [0, 0, 1]])
    return inner @ axes @ middle


def board(degrees: float = 0.0, *, fills: float = 0.9, keep=None, soft=1.0, kind=None) -> Board:
    pattern = PATTERN if kind is None else replace(PATTERN, kind=kind)
    places = pattern.places()
    matrix = photo_from_frame(degrees, fills)
    seen = cv2.perspectiveTransform(places.reshape(-1, 1, 2), matrix).reshape(-1, 2)
    kept = np.ones(len(places), bool) if keep is None else keep(places)
    onto, _ = carrier(seen[kept], places[kept])
    back, _ = carrier(places[kept], seen[kept])
    squares = back.smooth.slopes(np.array([[960.0, 540.0]]))[0] * pattern.side
    return Board(
        pattern=pattern, seen=readonly(seen[kept]), places=readonly(places[kept]),
        onto_picture=onto, onto_photo=back, expected=readonly(seen),
        side=float(np.linalg.norm(squares, axis=0).min()), soft=soft,
    )  # fmt: skip


def said(one: Board, *, ambient: float = 0.02, parted: bool = True) -> dict[str, Severity]:
    found = board_findings(one, shown(one, ambient), parted=parted)
    return {finding.code: finding.severity for finding in found}


def shown(one: Board, ambient: float) -> np.ndarray:
    """Light of the frame as that camera sees it, beside so much other light."""
    matrix = np.linalg.inv(one.onto_picture.smooth.matrix[:, :3])
    frame = pattern_pixels(one.pattern).astype(np.float32) / 255
    if one.pattern.kind is PatternKind.TAGS:
        return np.full((HIGH, WIDE), ambient, np.float32)
    plane = cv2.findHomography(one.places, one.seen)[0]
    assert matrix.shape == plane.shape
    return cv2.warpPerspective(frame, plane, (WIDE, HIGH)) * 0.2 + np.float32(ambient)


@pytest.mark.parametrize("degrees", [0.0, 30.0, 57.0])
def test_the_angle_off_square_is_the_one_it_was_taken_at(degrees):
    # A small square narrows by the cosine; acos is flat near 0, so rounding shows as a degree.
    assert math.degrees(obliquity(board(degrees))) == pytest.approx(degrees, abs=1.0)


def test_a_good_photo_has_nothing_to_be_said_of():
    assert said(board(20.0)) == {}


@pytest.mark.parametrize(("degrees", "severity"), [(57.0, Severity.WARN), (62.0, Severity.STOP)])
def test_oblique_photos_are_warned_of_from_55_degrees_and_refused_from_60(degrees, severity):
    assert said(board(degrees))["boards.oblique"] is severity


def test_large_tags_are_read_beyond_60_degrees():
    assert said(board(62.0, kind=PatternKind.TAGS, soft=None)) == {"boards.oblique": Severity.WARN}


def test_blur_is_measured_against_the_squares():
    # Squares are 78 × 0.9375 = 73 px wide: 2.2 % are 1.6 px.
    assert "boards.blurred" not in said(board(soft=1.4))
    assert said(board(soft=2.0))["boards.blurred"] is Severity.WARN


def test_small_pictures_are_warned_of():
    # 78 px × 0.24 × 2,000 / 1,920 = 19.5 px
    assert said(board(fills=0.24, soft=0.4))["boards.small_in_photo"] is Severity.WARN


def test_hidden_patterns():
    def a_third_hidden(places):
        return np.arange(len(places)) % 3 != 0

    def left_third(places):
        return places[:, 0] < 640

    assert said(board(keep=a_third_hidden)) == {"boards.partly_seen": Severity.WARN}
    assert said(board(keep=left_third))["boards.little_seen"] is Severity.STOP


@pytest.mark.parametrize(
    ("ambient", "parted", "low"),
    [(0.03, False, False), (0.05, False, True), (0.7, True, False), (0.9, True, True)],
)
def test_other_light_is_weighed_against_the_projected(ambient, parted, low):
    # Projected 0.2: at least 5 times the other light for one photo, a quarter of it for two.
    one = board()
    assert light_ratio(one, shown(one, ambient)) == pytest.approx(0.2 / ambient, rel=0.05)
    assert ("boards.little_light" in said(one, ambient=ambient, parted=parted)) is low
