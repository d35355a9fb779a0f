"""Drawing scales and papers, after their standards."""

from __future__ import annotations

import pytest

from giornata.core.documents import PaperSize, Scale, paper_for, standard_scale
from giornata.core.documents.scales import MARGIN, drawing_paper, scales, whole_units
from giornata.core.foundation import System


def test_scales_are_those_of_iso_5455() -> None:
    """ISO 5455:1979, table 1, reductions from 1:5: 5, 10, 20, 50 and their tenfolds to 10 000."""
    ratios = [scale.ratio for scale in scales(System.METRIC)]
    standard = [5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000]
    assert ratios[: len(standard)] == standard
    assert [scale.name for scale in scales(System.METRIC)][2] == "1:20"


def test_us_scales_are_inches_to_the_foot() -> None:
    """By the foot's 12 in: 1/4 in to the foot is 1:48, 1/8 in 1:96; 1 in to 20 ft is 1:240."""
    names = {scale.ratio: scale.name for scale in scales(System.US)}
    assert names[48].startswith("1/4 in = 1 ft")
    assert names[96].startswith("1/8 in = 1 ft")
    assert names[240].startswith("1 in = 20 ft")
    assert list(names) == sorted(names)


def test_paper_sizes() -> None:
    """ISO 216:2007, table 1 (A0 841 x 1189 to A5 148 x 210); ANSI B is 11 x 17 in."""
    assert PaperSize.A0.value == (841.0, 1189.0)
    assert PaperSize.A1.value == (594.0, 841.0)
    assert PaperSize.A2.value == (420.0, 594.0)
    assert PaperSize.A3.value == (297.0, 420.0)
    assert PaperSize.A4.value == (210.0, 297.0)
    assert PaperSize.A5.value == (148.0, 210.0)
    assert PaperSize.TABLOID.value == pytest.approx((11 * 25.4, 17 * 25.4))
    assert drawing_paper(System.US) is PaperSize.TABLOID


def test_n33_the_wall_on_a3_and_what_the_next_scale_takes() -> None:
    """N33: 61.2 m, A3, 10 mm margins: 1:200 is 306 mm and fits; 1:100 is 612 mm and needs A1."""
    margin = 1000 * MARGIN.value
    assert margin == 10.0
    scale = standard_scale(61.2, PaperSize.A3.long - 2 * margin)
    assert scale is not None
    assert scale.name == "1:200"
    assert 61.2 * scale.mm_per_metre == pytest.approx(306.0)
    hundred = Scale(ratio=100, name="1:100")
    assert 61.2 * hundred.mm_per_metre == pytest.approx(612.0)
    assert paper_for(61.2, hundred) is PaperSize.A1
    assert paper_for(61.2, scale) is PaperSize.A3


def test_a_wall_beyond_all_paper_has_no_scale() -> None:
    assert standard_scale(1e6, 400.0) is None
    assert paper_for(1e6, Scale(ratio=100, name="1:100")) is None


def test_lengths_of_paper_are_rounded_up_to_whole_millimetres() -> None:
    """61.2 m at 1:20 is 3,060 mm exactly: the dust of binary fractions must not make 3,061."""
    twenty = Scale(ratio=20, name="1:20")
    assert whole_units(61.2, twenty, 1.0) == 3060
    assert whole_units(61.2001, twenty, 1.0) == 3061


@pytest.mark.parametrize(("length", "usable"), [(0.0, 400.0), (10.0, 0.0)])
def test_nothing_has_no_scale(length: float, usable: float) -> None:
    with pytest.raises(ValueError, match="length above 0"):
        standard_scale(length, usable)


def test_no_wall_has_no_paper() -> None:
    with pytest.raises(ValueError, match="length above 0"):
        paper_for(-1.0, Scale(ratio=100, name="1:100"))
