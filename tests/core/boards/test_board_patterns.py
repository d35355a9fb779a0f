"""Coded patterns against OpenCV's own reader of such boards, and by hand."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
import pytest

from giornata.core.boards import Pattern, PatternKind, pattern_pixels
from giornata.core.boards.pattern import charuco, dictionary
from giornata.core.boards.tags import found_tags, recognised

SQUARES = Pattern(columns=1920, rows=1080, set_up=3)


def test_the_usual_pattern_has_24_by_13_squares_of_78_px():
    # By hand: 1,920 / (24 × 1.025) = 78.05; 1,080 / 78 = 13.8; a tag has 6 modules of 9 px.
    assert (SQUARES.side, SQUARES.squares, SQUARES.tag_px) == (78, (24, 13), 54)
    assert SQUARES.corner == (24, 33)  # (1920 - 24 × 78) / 2, (1080 - 13 × 78) / 2


@pytest.mark.parametrize("kind", [PatternKind.SQUARES, PatternKind.FINE])
@pytest.mark.parametrize("size", [(1920, 1080), (1280, 800)])
def test_opencv_reads_every_saddle_where_we_say_it_is(kind, size):
    pattern = Pattern(columns=size[0], rows=size[1], set_up=12, kind=kind)
    reader = cv2.aruco.CharucoDetector(charuco(pattern))
    corners, numbers, _, tags = reader.detectBoard(pattern_pixels(pattern))
    assert sorted(tags.ravel()) == sorted(pattern.tags)
    assert len(numbers) == len(pattern.places())
    # OpenCV counts from the first pixel's middle, half a pixel off.
    found = corners.reshape(-1, 2) + 0.5
    assert np.abs(found - pattern.places()[numbers.ravel()]).max() < 0.01


def test_opencv_reads_every_large_tag():
    pattern = replace(SQUARES, kind=PatternKind.TAGS)
    found, codes, _ = cv2.aruco.ArucoDetector(dictionary(pattern.kind)).detectMarkers(
        pattern_pixels(pattern)
    )
    order = [pattern.tags.index(int(code)) for code in codes.ravel()]
    assert len(order) == 12 * 7
    centres = np.array([one.reshape(4, 2).mean(axis=0) + 0.5 for one in found])
    assert np.abs(centres - pattern.tag_centres()[order]).max() < 0.6  # px


def test_the_negative_is_the_pattern_with_black_and_white_exchanged():
    positive = pattern_pixels(SQUARES)
    assert (positive.astype(int) + pattern_pixels(SQUARES, negative=True) == 255).all()
    assert set(np.unique(positive)) == {0, 255}


def test_each_set_up_is_told_by_where_its_tags_stand():
    every = [replace(SQUARES, set_up=number) for number in range(1, 31)]
    for number in (1, 2, 30):
        tags = found_tags(pattern_pixels(every[number - 1]), PatternKind.SQUARES)
        found = recognised(tags, every)
        assert found is not None
        assert found.pattern.set_up == number
        others = [one for one in every if one.set_up != number]
        assert recognised(tags, others) is None


@pytest.mark.parametrize(
    ("columns", "rows", "set_up", "match"),
    [
        (1920, 1080, 0, "numbered from 1"),
        (1080, 1920, 1, "not upright"),
        (320, 200, 1, "enough pixels"),
    ],
)
def test_what_is_no_pattern(columns, rows, set_up, match):
    with pytest.raises(ValueError, match=match):
        Pattern(columns=columns, rows=rows, set_up=set_up)


def test_large_tags_make_no_board_of_squares():
    with pytest.raises(ValueError, match="no board of squares"):
        charuco(replace(SQUARES, kind=PatternKind.TAGS))
