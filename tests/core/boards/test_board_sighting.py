"""Marks found in made photos, and every refusal; truth known by construction, seeds fixed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from types import ModuleType
from typing import Any

import cv2
import numpy as np
import pytest

from giornata.core.boards import (
    Pattern,
    PlannedMark,
    Shots,
    Sighting,
    Tap,
    light_ratio,
    obliquity,
    pattern_pixels,
    sighting,
)
from giornata.core.boards.shots import grey_light
from giornata.core.foundation import Severity

MM = 0.001
PATTERN = Pattern(columns=1920, rows=1080, set_up=3)


@dataclass(frozen=True, kw_only=True)
class Taken:
    """A scene with its photos."""

    scene: Any
    shots: tuple[Any, Any, Any]

    @property
    def marks(self) -> list[PlannedMark]:
        return [
            PlannedMark(name=f"M{number:02d}", x_px=float(x), y_px=float(y))
            for number, (x, y) in enumerate(self.scene.planned)
        ]

    def seen(self, *, only: str = "pnw", **more: Any) -> Sighting:
        a, b, c = self.shots
        shots = Shots(
            positive=a, negative=b if "n" in only else None, white=c if "w" in only else None
        )
        marks = more.pop("marks", self.marks)
        return sighting(shots, more.pop("pattern", PATTERN), marks, self.scene.pitch, **more)

    def missed(self, made: Sighting) -> Any:
        at = [int(one.name[1:]) for one in made.found]
        x = [one.cross.x_px for one in made.found]
        return self.scene.missed(x, [one.cross.y_px for one in made.found], at)


def taken(
    module: ModuleType, seed: int, *, negative: bool = True, held: float = 0.0, white: bool = True,
    pattern: Pattern = PATTERN, **more: Any,
) -> Taken:  # fmt: skip
    rng = np.random.default_rng(seed)
    scene = module.scene(rng, **more)
    positive = pattern_pixels(pattern)
    other = pattern_pixels(pattern, negative=True) if negative else None
    return Taken(scene=scene, shots=scene.shots(positive, other, rng, held=held, white=white))


@pytest.fixture(scope="module")
def near(made_night: ModuleType) -> Taken:
    """6.4 m wide, 8 crosses, the phone on a tripod; one of its pixels is 6.7 mm of wall."""
    return taken(made_night, 5, down=2, width=1100, shapes=8, fine=0.004, parts=2)


@pytest.fixture(scope="module")
def by_one_photo(near: Taken) -> Sighting:
    return near.seen(only="pw")


def codes(made: Sighting) -> dict[str, Severity]:
    return {one.code: one.severity for one in made.findings}


@pytest.mark.parametrize("only", ["pnw", "pw", "pn"], ids=["pair", "one photo", "pair, no white"])
def test_all_crosses_are_found_by_themselves_to_a_few_millimetres(near, only):
    made = near.seen(only=only)
    assert made.refused is None
    assert made.differenced is ("n" in only)
    assert len(made.found) >= 7
    # A quarter of a photo's pixel is asked of the median.
    missed = near.missed(made)
    assert np.median(missed) < 1.7 * MM
    assert missed.max() < 6 * MM


def test_the_noise_of_the_pattern_is_the_noise_there_is(near):
    made = near.seen(only="pn")
    board = made.board
    lamp, phone = near.scene.night.lamp, near.scene.night.phone
    module_back = np.linalg.inv(lamp.px_from_wall)
    wall = cv2.perspectiveTransform(board.places.reshape(-1, 1, 2), module_back).reshape(-1, 2)
    true = np.sqrt(((board.seen - phone.photo_from_wall(wall)) ** 2).mean())
    assert 0.8 < board.noise / true < 1.25
    assert made.board_sigma_px == pytest.approx(board.onto_picture.sigma)


def test_what_is_said_of_the_photo_is_so(near):
    board = near.seen(only="pn").board
    # The phone stands 20 degrees off square, the projector up to 8 the other way.
    assert 0.15 < obliquity(board) < 0.55
    # 3,000 lm on 7.3 × 4.1 m are 100 lx; beside them 2 lx, and 1/400 of the light in black.
    ratio = light_ratio(board, grey_light(near.shots[0]))
    assert 15 < ratio < 60


def test_a_tap_starts_a_search_and_is_not_the_measure(near, by_one_photo):
    by_itself = {one.name: one.cross for one in by_one_photo.found}
    taps = []
    for name in ("M00", "M03", "M04", "M07"):
        if name in by_itself:
            # A finger is 10 px off: 67 mm.
            cross = by_itself[name]
            taps.append(Tap(name=name, x=cross.photo_x + 8, y=cross.photo_y - 6))
    made = near.seen(only="pw", taps=taps)
    assert {one.name for one in made.found} == set(by_itself)
    for one in made.found:
        assert one.cross.x_px == pytest.approx(by_itself[one.name].x_px, abs=0.1)
    lost = near.seen(only="pw", taps=[Tap(name="nobody", x=3, y=3)])
    assert codes(lost)["boards.few_crosses"] is Severity.STOP


def tap(by: Sighting, name: str, called: str = "") -> Tap:
    cross = next(one.cross for one in by.found if one.name == name)
    return Tap(name=called or name, x=cross.photo_x, y=cross.photo_y)


def test_two_taps_of_one_mark_are_refused(near, by_one_photo):
    # Alone they left a scale of nought by nought.
    first = by_one_photo.found[0].name
    taps = [tap(by_one_photo, first), tap(by_one_photo, by_one_photo.found[-1].name, first)]
    made = near.seen(only="pw", taps=taps)
    assert made.refused.code == "boards.tapped_twice"
    assert first in made.refused.message


def test_two_marks_at_one_cross_or_planned_in_one_place_are_refused(near, by_one_photo):
    first, second, *_ = (one.name for one in by_one_photo.found)
    at_one = [tap(by_one_photo, first), tap(by_one_photo, first, second)]
    made = near.seen(only="pw", taps=at_one)
    assert made.refused.code == "boards.taps_at_one_place"
    assert f"{first} and {second} stand in one place" in made.refused.message
    known = next(one for one in near.marks if one.name == first)
    marks = [*near.marks, replace(known, name="again")]
    apart = [tap(by_one_photo, first), tap(by_one_photo, second, "again")]
    made = near.seen(only="pw", marks=marks, taps=apart)
    assert made.refused.code == "boards.taps_at_one_place"


def test_another_set_ups_pattern_is_named(near):
    made = near.seen(only="p", pattern=replace(PATTERN, set_up=4), others=(1, 2, 3))
    assert made.refused.code == "boards.other_set_up"
    assert "set-up 3, not of set-up 4" in made.refused.message


def test_the_photo_of_a_bare_wall_shows_no_pattern(near):
    white = near.shots[2]
    made = sighting(Shots(positive=white, white=white), PATTERN, near.marks, near.scene.pitch)
    assert made.refused.code == "boards.no_pattern"


def test_a_mirrored_photo_is_refused_and_a_turned_one_is_not(near):
    positive, _, white = near.shots
    flipped = Shots(positive=np.ascontiguousarray(positive[:, ::-1]))
    mirrored = sighting(flipped, PATTERN, near.marks, near.scene.pitch)
    assert mirrored.refused.code == "boards.mirrored"
    turned = Shots(positive=np.rot90(positive).copy(), white=np.rot90(white).copy())
    made = sighting(turned, PATTERN, near.marks, near.scene.pitch)
    assert made.refused is None
    assert np.median(near.missed(made)) < 1.7 * MM


def test_photos_of_two_sizes_are_refused(near):
    positive, negative, _ = near.shots
    small = cv2.resize(negative, None, fx=0.5, fy=0.5)
    shots = Shots(positive=positive, negative=small)
    made = sighting(shots, PATTERN, near.marks, near.scene.pitch)
    assert made.refused.code == "boards.sizes_differ"
    assert "550 × 412 and 1100 × 825 px" in made.refused.message


def test_n50_a_picture_over_two_folds_is_refused_and_says_what_to_do(near):
    made = near.seen(folds=2)
    assert made.refused.code == "boards.several_folds"
    assert "bends 2 times" in made.refused.message
    assert "a set-up of its own" in made.refused.remedy


def test_without_white_light_no_cross_is_looked_for(near):
    made = near.seen(only="p")
    assert made.refused.code == "boards.no_white"
    assert "white light" in made.refused.message


def test_exposures(near):
    positive, _, white = near.shots
    dark = Shots(positive=(positive / 12).astype(np.uint8), white=white)
    made = codes(sighting(dark, PATTERN, near.marks, near.scene.pitch))
    assert made["boards.under_exposed"] is Severity.WARN
    burnt = Shots(positive=positive, white=np.clip(white * 1.6, 0, 255).astype(np.uint8))
    made = codes(sighting(burnt, PATTERN, near.marks, near.scene.pitch))
    assert made["boards.over_exposed"] is Severity.WARN


def test_marks_that_are_not_there(near):
    # Marks planned where no cross is: eight of another stretch.
    rng = np.random.default_rng(2)
    other = [
        PlannedMark(name=f"X{n}", x_px=float(x), y_px=float(y))
        for n, (x, y) in enumerate(rng.uniform((100, 100), (1800, 1000), (8, 2)))
    ]
    assert near.seen(only="pw", marks=other).refused.code == "boards.no_crosses"
    one_more = [*near.marks, PlannedMark(name="X", x_px=900.0, y_px=500.0)]
    made = near.seen(only="pw", marks=one_more)
    assert made.refused is None
    assert codes(made)["boards.crosses_missed"] is Severity.NOTE
    assert "X" in [one.name for one in made.missed]


def test_three_crosses_are_too_few(near, by_one_photo):
    taps = [
        Tap(name=one.name, x=one.cross.photo_x, y=one.cross.photo_y) for one in by_one_photo.found
    ]
    made = near.seen(only="pw", marks=near.marks[:3], taps=taps[:3])
    assert codes(made)["boards.few_crosses"] is Severity.STOP


def test_marks_that_could_be_these_or_those_are_not_guessed(near):
    # Three of the four columns are planned; the grid is even, so that either three will do.
    three = [one for number, one in enumerate(near.marks) if number % 4 < 3]
    made = near.seen(only="pw", marks=three)
    assert codes(made)["boards.crosses_ambiguous"] is Severity.STOP


def test_n50_marks_that_other_set_ups_go_on_with_are_named_by_the_plan_and_that_is_said(near):
    # By construction: two more columns as even in the picture, one beyond either side, that other
    # set-ups aim at; and a plan that has the picture where it stands.
    px, scene = near.scene.px, near.scene
    step = px[1, 0] - px[0, 0]
    every = np.array([(px[0, 0] + k * step, y) for y in px[[0, 4], 1] for k in range(-1, 5)])
    aside = px.mean(axis=0) - scene.planned.mean(axis=0)
    x, y = (scene.night.lamp.places(every) / scene.pitch).T
    planned = np.column_stack([x + 960, 1080 - y + 1.4 / scene.pitch]) + aside
    marks = [PlannedMark(name=f"M{n:02d}", x_px=a, y_px=b) for n, (a, b) in enumerate(planned)]
    others = [marks[n] for n in (0, 5, 6, 11)]
    own = [one for one in marks if one not in others]
    made = near.seen(only="pw", marks=own, beside=others)
    assert made.refused is None
    assert codes(made)["boards.named_by_plan"] is Severity.WARN
    assert codes(near.seen(only="pw", marks=own)).get("boards.named_by_plan") is None


def test_a_mark_behind_the_lens_is_not_in_front():
    # By hand: a metre along is to the right and one upwards up, before the lens; through it, both
    # are turned round and so is one of them on a face that is seen from behind.
    before = PlannedMark(name="a", x_px=0, y_px=0, along=(300, 0, 0), up=(0, -300, 0))
    assert before.in_front
    assert PlannedMark(name="b", x_px=0, y_px=0).in_front
    assert not replace(before, along=(-300, 0, 0)).in_front


def test_n50_a_cross_upon_paint_that_is_burnt_out_is_said_to_be(near, by_one_photo):
    positive, _, white = near.shots
    gone = by_one_photo.found[2]
    x, y = int(gone.cross.photo_x), int(gone.cross.photo_y)
    burnt = white.copy()
    burnt[y - 25 : y + 26, x - 25 : x + 26] = 255
    made = sighting(Shots(positive=positive, white=burnt), PATTERN, near.marks, near.scene.pitch)
    (missed,) = [one for one in made.missed if one.name == gone.name]
    assert "burnt out" in missed.why


def test_shots_from_the_hand(near):
    positive, negative, white = near.shots
    aside = np.roll(negative, (-4, 6), axis=(0, 1))
    held = Shots(positive=positive, negative=aside)
    made = sighting(held, PATTERN, near.marks, near.scene.pitch)
    assert codes(made)["boards.hand_held"] is Severity.NOTE
    assert made.board.noise < 0.2
    # A white shot without a negative: the crosses are where they are by one from a tripod.
    plain = Shots(positive=positive, white=np.roll(white, (-4, 6), axis=(0, 1)))
    made = sighting(plain, PATTERN, near.marks, near.scene.pitch)
    assert made.refused is None
    assert np.median(near.missed(made)) < 1.7 * MM
    # Where the pattern cannot be read in the positive alone, the two are not subtracted.
    dim = Shots(positive=white, negative=np.roll(white, (-4, 6), axis=(0, 1)))
    refused = sighting(dim, PATTERN, near.marks, near.scene.pitch)
    assert refused.board is None
    assert codes(refused)["boards.hand_held_far"] is Severity.STOP
    # A white shot of somewhere else cannot be laid upon the pattern.
    noise = np.random.default_rng(1).integers(0, 255, positive.shape, dtype=np.uint8)
    apart = sighting(Shots(positive=positive, white=noise), PATTERN, near.marks, near.scene.pitch)
    # Small photos are asked for in full size instead.
    assert codes(apart)["boards.too_coarse"] is Severity.STOP
    large = [cv2.resize(one, None, fx=1.5, fy=1.5) for one in (positive, noise)]
    shots = Shots(positive=large[0], white=large[1])
    apart = sighting(shots, PATTERN, near.marks, near.scene.pitch)
    assert codes(apart)["boards.moved_apart"] is Severity.STOP
