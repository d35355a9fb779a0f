"""Room that letters take, against the font itself."""

from __future__ import annotations

from pathlib import Path

import pytest
import skia

import giornata.files
from giornata.core.documents import Label
from giornata.core.documents.letters import (
    cap_height,
    label_box,
    letters_missing,
    lines_of,
    overlap,
    shortened,
    text_width,
)

FONTS = Path(giornata.files.__file__).parent / "fonts"
MM = 25.4 / 72


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text", ["Slipway gate, 3.60 × 2.98 m", "257 ft 10 1/2 in", "Łódź, Ærø, Σίκινος, Жабляк"]
)
def test_widths_are_those_of_the_shipped_font(text: str, bold: bool) -> None:
    """The font measured by Skia; the table is rounded to 1 % of the type size a letter."""
    name = "IBMPlexSans-Bold.ttf" if bold else "IBMPlexSans-Regular.ttf"
    typeface = skia.Typeface.MakeFromFile(str(FONTS / name))
    font = skia.Font(typeface, 1000.0)
    glyphs = [typeface.unicharToGlyph(ord(letter)) for letter in text]
    truth = sum(font.getWidths(glyphs)) / 1000 * 10.0 * MM
    assert text_width(text, 10.0, bold=bold) == pytest.approx(truth, rel=0.01)
    assert cap_height(10.0) == pytest.approx(font.getMetrics().fCapHeight / 1000 * 10.0 * MM)


def test_a_turned_label_stands_where_a_level_one_lies() -> None:
    level = label_box(Label(x=50.0, y=50.0, text="12.80", size=10.0, anchor="end"))
    turned = label_box(Label(x=50.0, y=50.0, text="12.80", size=10.0, anchor="end", turned=True))
    assert level[2] == 50.0  # it ends there
    assert turned[1] == 50.0  # read upwards, its end is its upper side
    wide, high = level[2] - level[0], level[3] - level[1]
    assert (turned[3] - turned[1], turned[2] - turned[0]) == pytest.approx((wide, high))


def test_boxes_that_touch_do_not_overlap() -> None:
    assert not overlap((0, 0, 1, 1), (1, 0, 2, 1))
    assert overlap((0, 0, 1, 1), (1, 0, 2, 1), gap=0.1)
    assert overlap((0, 0, 1, 1), (0.5, 0.5, 2, 2))
    assert not overlap((0, 0, 1, 1), (0.95, 0, 2, 1), gap=-0.1)


def test_a_text_is_cut_only_where_it_does_not_fit() -> None:
    assert shortened("Harbour", 100.0, 10.0) == "Harbour"
    cut = shortened("Harbour wall, Port Merrow", 20.0, 10.0)
    assert cut.endswith("…")
    assert text_width(cut, 10.0) <= 20.0


def test_lines_hold_all_words() -> None:
    text = "Left end of the wall, at the foot, on the level line"
    lines = lines_of(text, 30.0, 9.0)
    assert " ".join(lines) == text
    assert len(lines) > 1
    assert all(text_width(line, 9.0) <= 30.0 for line in lines)


def test_letters_the_font_has_not_are_named_once() -> None:
    assert letters_missing("壁画 壁 wall") == "壁画"
    assert letters_missing("Tideline, Ærø") == ""


def test_a_label_says_something() -> None:
    with pytest.raises(ValueError, match="has a text"):
        Label(x=0.0, y=0.0, text=" ", size=9.0)
