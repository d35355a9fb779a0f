"""What marks are good for: against simulated squaring with OpenCV, and the fewest of them."""

from __future__ import annotations

import itertools

import cv2
import numpy as np
import pytest
import shapely

from giornata.core import setting_out
from giornata.core.foundation import Severity
from giornata.core.setting_out import ControlMark, MarkLayout, MarkTerms, Picture

MM = 0.001
GROUND = [(0.0, 0.0), (40.0, 0.0)]
TOP = [(0.0, 3.0), (40.0, 3.0)]
CORNERS = [(0.2, 0.2), (0.2, 2.8), (5.8, 0.2), (5.8, 2.8)]
NEAR = Picture(start=0.0, end=6.0, foot=0.0, head=3.0, sigma=3 * MM)
EVERYWHERE = shapely.box(-1, -1, 41, 4)


def squared(picture: Picture, marks: list[tuple[float, float]], trials: int = 3000) -> float:
    """Twice the standard error at the worst place of pictures squared on marks that are off."""
    true = np.array(marks)
    places = picture.worst_places()
    rng = np.random.default_rng(11)
    off = np.empty((trials, len(places), 2))
    for k in range(trials):
        noisy = true + rng.normal(0.0, picture.sigma, true.shape)
        matrix, _ = cv2.findHomography(true, noisy, 0)
        off[k] = cv2.perspectiveTransform(places[None], matrix)[0] - places
    worst = max(np.linalg.eigvalsh(np.cov(off[:, k].T))[-1] for k in range(len(places)))
    return float(2 * np.sqrt(worst))


# --------------------------------------------------------------------------- what marks give


@pytest.mark.parametrize(
    "marks",
    [
        CORNERS,
        [*CORNERS, (3.0, 0.2), (3.0, 2.8)],
        [(1.5, 0.8), (1.5, 2.2), (4.5, 0.8), (4.5, 2.2), (3.0, 2.9)],
        [(0.2, 0.2), (0.3, 1.5), (0.2, 2.8), (5.8, 0.2), (5.7, 1.4), (5.8, 2.8), (3.0, 0.3)],
    ],
)
def test_the_error_expected_is_that_of_pictures_squared_on_noisy_marks(
    marks: list[tuple[float, float]],
) -> None:
    # OpenCV's findHomography, least squares, on 3,000 draws; a spread of so many is good to 2.6 %.
    (expected,) = setting_out.expected_errors([NEAR], [marks])
    assert expected == pytest.approx(squared(NEAR, marks), rel=0.05)


def test_the_middle_of_four_marks_is_where_their_diagonals_cross() -> None:
    # By hand: a corner that is off across its own diagonal by e turns that diagonal about the
    # corner opposite, and the crossing moves along the other diagonal by e / 2; off along its own
    # diagonal it moves nothing. So along each diagonal two corners count, each by half: the error
    # of one mark over the root of two, whichever way.
    picture = Picture(start=-1.0, end=1.0, foot=-1.0, head=1.0, sigma=2 * MM)
    corners = list(itertools.product((-1.0, 1.0), repeat=2))
    known = np.linalg.inv(picture.information(corners).sum(axis=0))
    middle = picture.fields([(0.0, 0.0)])[0]
    spread = middle @ known @ middle.T
    assert np.sqrt(np.diag(spread)).tolist() == pytest.approx([MM * 2**0.5, MM * 2**0.5])
    # At a corner the four-point map goes through the mark itself: its own error.
    corner = picture.fields([(1.0, 1.0)])[0]
    assert np.sqrt(np.diag(corner @ known @ corner.T)) == pytest.approx([2 * MM, 2 * MM])
    assert setting_out.expected_errors([picture], [corners])[0] == pytest.approx(4 * MM)


def test_three_marks_or_four_with_three_in_a_line_do_not_square_a_picture() -> None:
    line = [(0.0, 0.0), (3.0, 0.0), (6.0, 0.0), (3.0, 3.0)]
    few, flat = setting_out.expected_errors([NEAR, NEAR], [CORNERS[:3], line])
    assert few == np.inf
    assert flat > 1.0


def test_a_mark_more_never_makes_it_worse() -> None:
    rng = np.random.default_rng(5)
    for _ in range(50):
        marks = rng.uniform((0, 0), (6, 3), (8, 2)).tolist()
        errors = setting_out.expected_errors([NEAR] * 4, [marks[:k] for k in (5, 6, 7, 8)])
        assert list(errors) == sorted(errors, reverse=True)


# --------------------------------------------------------------------------- the fewest


def spans(count: int, width: float = 6.0, step: float = 5.4) -> np.ndarray:
    left = step * np.arange(count)
    return np.stack([left, left + width], axis=1)


def pictures(images: np.ndarray, sigma: float) -> list[Picture]:
    edges = np.concatenate([[images[0, 0]], (images[1:, 0] + images[:-1, 1]) / 2, [images[-1, 1]]])
    return [
        Picture(start=float(a), end=float(b), foot=0.0, head=3.0, sigma=sigma)
        for a, b in itertools.pairwise(edges)
    ]


def about(images: np.ndarray, keep_off: tuple[tuple[str, shapely.Geometry], ...] = ()) -> dict:
    return {
        "ground": np.array(GROUND), "top": np.array(TOP),
        "levels": np.tile([-0.1, 3.1], (len(images), 1)), "keep_off": keep_off,
    }  # fmt: skip


def fewest(
    images: np.ndarray, accuracy: float, sigma: float = 3 * MM, **more: object
) -> MarkLayout:
    keywords = {**about(images), **more}
    return setting_out.fewest_marks(images, pictures(images, sigma), accuracy=accuracy, **keywords)  # type: ignore[arg-type]


def errors_of(images: np.ndarray, marks: list[ControlMark], sigma: float) -> tuple[float, ...]:
    return setting_out.expected_errors(
        pictures(images, sigma),
        [
            [(m.chainage, m.level) for m in marks if number in m.set_ups]
            for number in range(1, len(images) + 1)
        ],
    )


def by_brute_force(images: np.ndarray, accuracy: float, sigma: float, **more: object) -> int | None:
    """The least number of marks, by trying every choice that keeps one in each column."""
    keywords = about(images) | more
    plain = setting_out.control_marks(images, **keywords)
    columns = setting_out.marks_of_columns(plain.marks, images, **keywords)
    insides = setting_out.marks_inside(images, **keywords)
    every = [mark for group in (*columns, *insides) for mark in group]
    for count in range(len(every) + 1):
        for chosen in itertools.combinations(every, count):
            if any(column and not set(column) & set(chosen) for column in columns):
                continue
            if max(errors_of(images, list(chosen), sigma)) <= accuracy:
                return count
    return None


@pytest.mark.parametrize("accuracy_mm", [30.0, 10.0, 8.5, 7.5, 7.0, 6.5, 6.3])
def test_one_picture_needs_as_many_marks_as_every_choice_tried_says(accuracy_mm: float) -> None:
    images = spans(1)
    found = fewest(images, accuracy_mm * MM)
    assert len(found.marks) == by_brute_force(images, accuracy_mm * MM, 3 * MM)


@pytest.mark.parametrize("accuracy_mm", [30.0, 9.0, 8.0, 7.8])
def test_neighbours_share_as_few_marks_as_every_choice_tried_says(accuracy_mm: float) -> None:
    # The insides of both pictures are barred: nine places in three columns are left.
    barred = tuple(
        (f"hedge {k}", shapely.box(a + 1.0, -1, a + 5.0, 4)) for k, a in enumerate((0.0, 5.4))
    )
    images = spans(2)
    found = fewest(images, accuracy_mm * MM, keep_off=barred)
    assert len(found.marks) == by_brute_force(images, accuracy_mm * MM, 3 * MM, keep_off=barred)


def test_three_pictures_of_different_needs() -> None:
    # The middle picture alone is coarse; two places inside each, of six, are left.
    images = spans(3)
    barred = tuple(
        (f"hedge {k}", shapely.box(a + 1.0, 0.5, a + 5.0, 4)) for k, a in enumerate((0, 5.4, 10.8))
    )
    own = pictures(images, 2 * MM)
    own[1] = Picture(start=own[1].start, end=own[1].end, foot=0.0, head=3.0, sigma=4 * MM)
    keywords = about(images, barred)
    found = setting_out.fewest_marks(images, own, accuracy=9.5 * MM, **keywords)
    seen = [sum(k in mark.set_ups for mark in found.marks) for k in (1, 2, 3)]
    assert seen[1] > max(seen[0], seen[2])
    (said,) = (f.message for f in found.findings if f.code == "setting_out.marks_chosen")
    assert "more than 4 in set-up 2;" in said


def test_n49_thirty_marks_hold_where_four_to_a_set_up_are_enough() -> None:
    # N49: 14 set-ups, 15 columns x 2 rows; with 12 mm asked of marks good to 3 mm no more than
    # four to a picture are needed, and all but one mark of the two rows are.
    images = spans(14, 6.0, 2.6)[:, :] * (34.0 / 39.8)
    found = fewest(images, 16 * MM)
    assert len(found.marks) <= 30
    assert all(error <= 16 * MM for error in errors_of(images, list(found.marks), 3 * MM))
    assert {len([m for m in found.marks if k in m.set_ups]) for k in range(1, 15)} == {4}


def test_every_picture_holds_what_was_asked_and_no_mark_stands_where_it_may_not() -> None:
    images = spans(6)
    gate = ("Gate", shapely.box(10.4, -1, 11.2, 4))
    found = fewest(images, 7.5 * MM, keep_off=(gate,))
    assert all(e <= 7.5 * MM for e in errors_of(images, list(found.marks), 3 * MM))
    assert all(not 10.35 < mark.chainage < 11.25 for mark in found.marks)
    assert len({mark.name for mark in found.marks}) == len(found.marks)
    assert [m.chainage for m in found.marks] == sorted(m.chainage for m in found.marks)
    moved = [f for f in found.findings if f.code == "setting_out.mark_moved"]
    assert len(moved) == 1


def test_an_accuracy_out_of_reach_is_told_with_what_is_reached() -> None:
    images = spans(2)
    found = fewest(images, 2 * MM)
    (short,) = (f for f in found.findings if f.code == "setting_out.accuracy_unreached")
    assert short.severity is Severity.WARN
    best = errors_of(images, list(found.marks), 3 * MM)
    assert max(best) < 7.5 * MM
    assert "set-up 1" in short.message
    assert "set-up 2" in short.message


def test_a_picture_without_places_for_four_marks_is_told() -> None:
    images = spans(2)
    found = fewest(images, 9 * MM, keep_off=(("Hedge", shapely.box(6.5, -1, 41, 4)),))
    (short,) = (f for f in found.findings if f.code == "setting_out.accuracy_unreached")
    assert "set-up 2 has fewer than 4 places for marks" in short.message


@pytest.mark.parametrize(
    ("terms", "says"),
    [
        ({"accuracy": 0.0}, "accuracy asked of a picture is above 0"),
        ({"drawn": 0.0}, "standard error above 0"),
        ({"aiming": -1.0}, "standard error above 0"),
    ],
)
def test_impossible_terms_of_marks_are_refused(terms: dict[str, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        MarkTerms(**terms)


def test_malformed_questions_are_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        fewest(spans(1), 0.0)
    with pytest.raises(ValueError, match="has its picture"):
        setting_out.fewest_marks(spans(2), pictures(spans(1), MM), accuracy=MM, **about(spans(2)))
    with pytest.raises(ValueError, match="width, a height"):
        Picture(start=1.0, end=1.0, foot=0.0, head=1.0, sigma=MM)
