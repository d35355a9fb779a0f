"""Units against their exact definitions.

Foot, inch, yard: international yard and pound agreement, 1959 (1 yd = 0.9144 m exactly).
US gallon = 231 cubic inches; imperial gallon = 4.54609 L (NIST SP 811:2008, appendix B).
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core.foundation import (
    FOOT,
    INCH,
    SQUARE_FOOT,
    US_GALLON,
    Dimension,
    Finding,
    System,
    parse,
    parse_number,
    printed,
    shown,
)

LENGTH = Dimension.LENGTH


def value(text: str, dimension: Dimension = LENGTH) -> float:
    found = parse(text, dimension, subject="a length")
    assert not isinstance(found, Finding), found
    return found


def doubt(text: str, dimension: Dimension = LENGTH) -> Finding:
    found = parse(text, dimension, subject="a length")
    assert isinstance(found, Finding), found
    return found


def test_factors_are_the_exact_definitions():
    assert FOOT == 0.3048  # 0.9144 / 3
    assert INCH == 0.0254  # 0.3048 / 12
    assert pytest.approx(FOOT * FOOT, rel=1e-15) == SQUARE_FOOT
    assert pytest.approx(231 * INCH**3, rel=1e-15) == US_GALLON


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("200 ft 9 in", 200 * 0.3048 + 9 * 0.0254),  # 61.1886 m
        ("61.2 m", 61.2),
        ("2'-3 1/2\"", 2 * 0.3048 + 3.5 * 0.0254),  # 0.6985 m
        ("2′ 3½″", 0.6985),
        ("3/4 in", 0.75 * 0.0254),
        ("5 m 20 cm", 5.2),
        ("61,2 m", 61.2),
        ("-0.10 m", -0.1),
        ("−12 mm", -0.012),
        ("1,803.25 ft", 1803.25 * 0.3048),
        ("0", 0.0),
        ("10yd", 9.144),
    ],
)
def test_lengths_as_painters_write_them(text, metres):
    assert value(text) == pytest.approx(metres, rel=1e-14, abs=1e-15)


def test_n12_mixed_units_are_read_and_both_shown():
    # NEEDS N12: "200 ft 9 in by 2.9 m" reads 61.19 m x 2.9 m and shows both.
    length, height = value("200 ft 9 in"), value("2.9 m")
    assert round(length, 2) == 61.19
    assert height == 2.9
    assert shown(length, "m", System.METRIC) == "61.19 m"
    assert shown(length, "m", System.US) == "200 ft 9 in"


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("15 m²/h", Dimension.AREA_RATE, 15 / 3600),
        ("320 sq ft/h", Dimension.AREA_RATE, 320 * 0.09290304 / 3600),
        ("90 m/h", Dimension.SPEED, 0.025),
        ("90 m per h", Dimension.SPEED, 0.025),
        ("6 m2/L", Dimension.SPREADING_RATE, 6000.0),
        ("250 sq ft/US gal", Dimension.SPREADING_RATE, 250 * 0.09290304 / 0.003785411784),
        ("10 %", Dimension.SHARE, 0.1),
        ("14 deg", Dimension.ANGLE, math.radians(14)),
        ("1 h 30 min", Dimension.DURATION, 5400.0),
        ("1 fc", Dimension.ILLUMINANCE, 1 / 0.09290304),
        ("50 °F", Dimension.TEMPERATURE, 10.0),
        ("-40 F", Dimension.TEMPERATURE, -40.0),
        ("15 L", Dimension.VOLUME, 0.015),
        ("62 m2", Dimension.AREA, 62.0),
    ],
)
def test_other_dimensions(text, dimension, si):
    assert value(text, dimension) == pytest.approx(si, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("12.5", "units.missing"),
        ("", "units.empty"),
        ("5 furlong", "units.unknown"),
        ("1,803 ft", "units.doubtful_comma"),
        ("nan m", "units.unreadable"),
        ("inf m", "units.unreadable"),
        ("9 in 2 ft", "units.unreadable"),
        ("1.5.2 m", "units.not_a_number"),
        ("1/0 in", "units.not_a_number"),
        ("12 m junk", "units.unknown"),
        ("1e400 m", "units.unknown"),
    ],
)
def test_doubtful_text_is_a_finding_that_says_what_to_write(text, code):
    finding = doubt(text)
    assert finding.code == code
    assert "Write" in finding.remedy


def test_a_doubtful_comma_offers_both_readings():
    assert "1.803 or 1803" in doubt("1,803 ft").remedy


def test_a_gallon_names_two_units():
    assert doubt("250 sq ft/gal", Dimension.SPREADING_RATE).code == "units.two_meanings"


@pytest.mark.parametrize(("text", "number"), [("1 1/2", 1.5), ("1,803.2", 1803.2), ("-3", -3.0)])
def test_plain_numbers(text, number):
    assert parse_number(text, subject="n") == number


def test_a_word_is_no_number():
    found = parse_number("many", subject="n")
    assert isinstance(found, Finding)
    assert found.code == "units.not_a_number"


def test_sq_ft_of_n1():
    # NEEDS N1: 167.52 m² is 1,803.2 sq ft.
    assert shown(167.52, "m²", System.US) == "1,803.2 sq ft"
    assert printed(167.52, "m²", System.US)[0] == pytest.approx(167.52 / 0.3048**2, rel=1e-12)


@pytest.mark.parametrize(
    ("metres", "text"),
    [
        (78.6, "257 ft 10 1/2 in"),  # 78.6 / 0.0254 = 3094.488 in = 257 ft 10.488 in -> 10 4/8
        (0.0254, "1 in"),
        (0.018, "11/16 in"),  # 0.70866 in; 11.34/16
        (0.3048, "1 ft 0 in"),
        (-0.1, "-3 15/16 in"),  # 3.937 in; 62.99/16
        (0.0, "0 in"),
    ],
)
def test_feet_and_inches_are_printed_to_an_eighth(metres, text):
    assert shown(metres, "m", System.US) == text


@given(st.floats(-1e4, 1e4, allow_nan=False))
def test_printing_in_feet_and_inches_comes_back_within_half_a_step(metres):
    text = shown(metres, "m", System.US)
    step = INCH / 8 if abs(metres) >= FOOT else INCH / 16
    assert value(text) == pytest.approx(metres, abs=0.5 * step * (1 + 1e-6))


@given(st.text(max_size=40))
def test_any_text_gives_a_number_or_a_finding(text):
    found = parse(text, LENGTH, subject="anything")
    assert isinstance(found, Finding) or math.isfinite(found)
