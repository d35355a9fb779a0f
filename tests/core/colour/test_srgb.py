"""sRGB, XYZ and CIELAB against IEC 61966-2-1 and an independent colour library's printed values."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from giornata.core import colour


def test_c5_matrix_to_xyz_matches_iec_61966_2_1():
    # IEC 61966-2-1 as printed to four digits (second-hand, as shipped in colour-science 0.4.7).
    published = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    np.testing.assert_allclose(colour.XYZ_FROM_LINEAR, published, atol=1e-4)
    # White: 0.9505, 1.0000, 1.0890 (same source).
    np.testing.assert_allclose(colour.xyz_from_srgb([1, 1, 1]), [0.9505, 1.0, 1.0890], atol=1e-4)


def test_c6_matrix_from_xyz_matches_iec_61966_2_1():
    # Same source, inverse matrix to four digits: it is the inverse of the matrix printed to four
    # digits, which moves entries by up to 3.7e-4 from that of the chromaticities used here
    # (3.2410 by 1/(the primaries' own matrix), against 3.2406); hence 4e-4 and not 1e-4.
    published = [[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]]
    np.testing.assert_allclose(colour.LINEAR_FROM_XYZ, published, atol=4e-4)
    np.testing.assert_allclose(
        colour.LINEAR_FROM_XYZ @ colour.XYZ_FROM_LINEAR, np.eye(3), atol=1e-12
    )


def test_c7_both_branches_meet_at_the_threshold():
    # IEC 61966-2-1: 0.04045 decodes to 0.0031308 from either branch, gap 2.3e-9.
    below = colour.linear_from_srgb([0.04045] * 3)[0]
    above = colour.linear_from_srgb([0.04045 + 1e-12] * 3)[0]
    assert below == pytest.approx(0.0031308, abs=1e-8)
    assert above == pytest.approx(0.0031308, abs=1e-8)


def test_c8_decoded_levels():
    # Computed with colour-science 0.4.7: 128/255, 119/255, 64/255.
    decoded = colour.linear_from_srgb(np.array([128, 119, 64]) / 255)
    np.testing.assert_allclose(decoded, [0.2158605, 0.1844750, 0.0512695], atol=1e-7)


@pytest.mark.parametrize(
    ("text", "lab"),
    [
        # coloraide 8.13.1, CIELAB under D65.
        ("#f00", (53.2371, 80.0901, 67.2033)),
        ("#0f0", (87.7355, -86.1816, 83.1866)),
        ("#00f", (32.3009, 79.1953, -107.8555)),
    ],
)
def test_c9_lab_of_the_primaries(text, lab):
    np.testing.assert_allclose(colour.lab_from_srgb(colour.srgb_from_hex(text)), lab, atol=2e-3)


def test_c11_mid_grey():
    # CIE 15: L* = 50 is Y = 18.4187 %; Y = 18 % is L* = 49.4961; sRGB #777777 is 50.0344.
    y = colour.xyz_from_lab([50.0, 0.0, 0.0])[1]
    assert 100 * y == pytest.approx(18.4187, abs=1e-3)
    assert colour.lab_from_xyz(0.18 * colour.D65_XYZ)[0] == pytest.approx(49.4961, abs=1e-3)
    grey = colour.lab_from_srgb(colour.srgb_from_hex("#777777"))
    assert grey[0] == pytest.approx(50.0344, abs=1e-3)
    np.testing.assert_allclose(grey[1:], 0.0, atol=1e-9)


@given(st.lists(st.floats(-0.2, 1.2), min_size=3, max_size=3))
def test_law_every_step_is_undone(values):
    # Known by construction: each conversion has its inverse.
    linear = colour.linear_from_srgb(values)
    np.testing.assert_allclose(colour.srgb_from_linear(linear), values, atol=1e-9)
    xyz = colour.xyz_from_linear(linear)
    np.testing.assert_allclose(colour.linear_from_xyz(xyz), linear, atol=1e-9)
    np.testing.assert_allclose(colour.xyz_from_lab(colour.lab_from_xyz(xyz)), xyz, atol=1e-9)


@given(st.integers(0, 0xFFFFFF))
def test_law_hex_text_survives(number):
    text = f"#{number:06x}"
    assert colour.hex_from_srgb(colour.srgb_from_hex(text)) == text


@pytest.mark.parametrize("text", ["3366cc", "#3366c", "#3366ccff", "#gg0000", "", "red"])
def test_other_text_is_no_colour(text):
    with pytest.raises(ValueError, match="not a colour"):
        colour.srgb_from_hex(text)


def test_a_colour_has_three_numbers():
    with pytest.raises(ValueError, match="shape"):
        colour.linear_from_srgb([0.1, 0.2])


def test_hex_of_a_pair_is_refused():
    with pytest.raises(ValueError, match="three finite numbers"):
        colour.hex_from_srgb([float("nan"), 0.2, 0.3])
