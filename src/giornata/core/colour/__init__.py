"""Colour: sRGB, XYZ, CIELAB, differences, luminance, light reflectance, colour vision."""

from giornata.core.colour.cielab import (
    ciede2000,
    difference_1976,
    lab_from_srgb,
    lab_from_xyz,
    xyz_from_lab,
)
from giornata.core.colour.luminance import (
    FIGURE_POINTS,
    LARGE_AREA_POINTS,
    ReflectanceContrast,
    contrast_ratio,
    light_reflectance,
    reflectance_contrast,
    relative_luminance,
)
from giornata.core.colour.srgb import (
    D65_XYZ,
    LINEAR_FROM_XYZ,
    XYZ_FROM_LINEAR,
    hex_from_srgb,
    linear_from_srgb,
    linear_from_xyz,
    srgb_from_hex,
    srgb_from_linear,
    xyz_from_linear,
    xyz_from_srgb,
)
from giornata.core.colour.vision import Deficiency, deficiency_matrix, srgb_as_seen

__all__ = [
    "D65_XYZ",
    "FIGURE_POINTS",
    "LARGE_AREA_POINTS",
    "LINEAR_FROM_XYZ",
    "XYZ_FROM_LINEAR",
    "Deficiency",
    "ReflectanceContrast",
    "ciede2000",
    "contrast_ratio",
    "deficiency_matrix",
    "difference_1976",
    "hex_from_srgb",
    "lab_from_srgb",
    "lab_from_xyz",
    "light_reflectance",
    "linear_from_srgb",
    "linear_from_xyz",
    "reflectance_contrast",
    "relative_luminance",
    "srgb_as_seen",
    "srgb_from_hex",
    "srgb_from_linear",
    "xyz_from_lab",
    "xyz_from_linear",
    "xyz_from_srgb",
]
