"""Contrast of paints that touch."""

import re

import pytest

from giornata.core import viewing
from giornata.core.artwork import Colourway, Paint, Role
from giornata.core.foundation import Severity, given

HAZE = Paint(number=1, key="haze", name="Haze", role=Role.GROUND)
TIDE = Paint(number=2, key="tide", name="Tide")
DEEP = Paint(number=3, key="deep", name="Deep water")
PAINTS = (HAZE, TIDE, DEEP)


def _grey(lrv):
    # IEC 61966-2-1 encoding worked backwards, so that a grey has the light reflectance wanted.
    y = lrv / 100
    encoded = 12.92 * y if y <= 0.0031308 else 1.055 * y ** (1 / 2.4) - 0.055
    return "#" + 3 * f"{round(255 * encoded):02x}"


def _numbers(text):
    return [float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)]


def _colourway(haze, tide, deep):
    colours = {"haze": _grey(haze), "tide": _grey(tide), "deep": _grey(deep)}
    return Colourway(key="c", name="Slack water", colours=colours, coats={})


def test_n19_figure_on_ground_and_n20_touching_figures():
    # N19: 62 on 9 differ by 53, pass 30; 34 on 21 differ by 13, fail: drop to 4 or rise to 51.
    good = viewing.paint_contrasts([(1, 2, 10.0)], PAINTS, _colourway(62, 9, 0))[0]
    assert good.contrast.passes
    assert good.contrast.difference == pytest.approx(53, abs=1)
    bad = viewing.paint_contrasts([(1, 2, 10.0)], PAINTS, _colourway(34, 21, 0))[0]
    assert not bad.contrast.passes
    assert bad.contrast.limit == 30.0
    assert bad.contrast.darker_needed == pytest.approx(4, abs=0.5)
    assert bad.contrast.lighter_needed == pytest.approx(51, abs=0.5)
    # N20: two figures that touch have the limit of 20.
    pair = viewing.paint_contrasts([(2, 3, 10.0)], PAINTS, _colourway(60, 34, 13))[0]
    assert pair.contrast.limit == 20.0
    assert pair.contrast.passes


def test_n20_finding_names_the_pair_and_its_edge():
    # Known by construction: greys of 34 and 21 points touch along 148.7 m, 13 points apart.
    edges = [(1, 2, 12.0), (2, 3, given("edge", 148.7, "m", source="take-off"))]
    (finding,) = viewing.contrast_findings(edges, PAINTS, _colourway(80, 34, 21))
    assert (finding.code, finding.severity) == ("viewing.weak_contrast", Severity.NOTE)
    assert finding.subject == "colourway Slack water"
    assert "Tide and Deep water" in finding.message
    assert "points along 148.7 m" in finding.message
    assert "20 points" in finding.message
    assert _numbers(finding.message)[0] == pytest.approx(13, abs=0.5)
    # 21 down to 34 - 20 = 14, or 34 up to 21 + 20 = 41; 8-bit greys are within half a point.
    assert "Deep water dropped" in finding.remedy
    assert _numbers(finding.remedy)[:4] == pytest.approx([21, 14, 34, 41], abs=0.5)


def test_points_short_of_the_limit_are_not_rounded_up_to_it():
    # By construction: 8-bit greys 120 and 167 have, by IEC 61966-2-1, 18.782 and 38.643 points:
    # 19.86 apart, which is not yet 20.
    colours = {"haze": "#ffffff", "tide": "#a7a7a7", "deep": "#787878"}
    colourway = Colourway(key="c", name="Fog", colours=colours, coats={})
    (finding,) = viewing.contrast_findings([(2, 3, 10.0)], PAINTS, colourway)
    assert "Tide and Deep water 19.8 points" in finding.message
    assert "Deep water dropped from 18.8 to 18.6 or Tide raised from 38.6 to 38.8" in finding.remedy


def test_n19_finding_names_a_figure_too_like_the_ground():
    edges = [(1, 2, 30.0), (1, 3, 5.0)]
    (finding,) = viewing.contrast_findings(edges, PAINTS, _colourway(34, 21, 2))
    assert (finding.code, finding.severity) == ("viewing.weak_figure", Severity.WARN)
    assert "Haze and Tide" in finding.message
    assert _numbers(finding.message)[:2] == pytest.approx([13, 30], abs=0.5)
    assert "Deep water" not in finding.message
    assert "Tide dropped" in finding.remedy
    assert _numbers(finding.remedy)[:4] == pytest.approx([21, 4, 34, 51], abs=0.5)


def test_the_longest_edge_comes_first():
    edges = [(1, 2, 3.0), (1, 3, 30.0)]
    pairs = viewing.paint_contrasts(edges, PAINTS, _colourway(34, 21, 20))
    assert [pair.edge for pair in pairs] == [30.0, 3.0]


def test_no_more_than_five_pairs_are_named():
    # Known by construction: seven paints of one grey, 21 pairs.
    paints = [HAZE] + [Paint(number=n, key=f"k{n}", name=f"P{n}") for n in range(2, 9)]
    colours = {paint.key: "#777777" for paint in paints}
    colourway = Colourway(key="c", name="Fog", colours=colours, coats={})
    edges = [(a, b, float(a + b)) for a in range(2, 9) for b in range(a + 1, 9)]
    (finding,) = viewing.contrast_findings(edges, paints, colourway)
    assert finding.message.count("points along") == 5
    assert "and 16 more" in finding.message


def test_paints_that_differ_enough_or_do_not_touch_have_no_finding():
    edges = [(1, 2, 30.0), (2, 3, 0.0)]
    assert viewing.contrast_findings(edges, PAINTS, _colourway(80, 20, 19)) == ()


def test_an_unknown_paint_is_refused():
    with pytest.raises(ValueError, match="no paint"):
        viewing.paint_contrasts([(1, 9, 3.0)], PAINTS, _colourway(80, 20, 19))


def test_a_paint_without_a_colour_is_refused():
    bare = Colourway(key="c", name="Bare", colours={"haze": "#ffffff"}, coats={})
    with pytest.raises(ValueError, match="no colour for paint 'tide'"):
        viewing.paint_contrasts([(1, 2, 3.0)], PAINTS, bare)
