"""Brightness: light of the image on the wall against the light that is there already."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from giornata.core.foundation import Assumption
from giornata.core.projection.projector import Projector

__all__ = [
    "ZOOM_LOSS_LINE", "Brightness", "brightness", "contrast_of_zones", "illuminance",
    "largest_area", "light_output", "luminance", "system_contrast", "uniformity", "zoom_light",
]  # fmt: skip

ZOOM_LOSS_LINE = Assumption(
    name="light lost between the ends of the zoom: power of the way along it",
    value=1.0,
    unit="-",
    source="no published source: straight line in the throw ratio between the sheet's two ends",
)


def illuminance(output: float, area: float) -> float:
    """Mean light of the image on the wall, all of it lit. [lx]

    Parameters
    ----------
    output : float
        Light output that leaves the lens; 0 or more. [lm]
    area : float
        Lit area; above 0. [m²]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Lumens over area (ISO 11315-1 read the other way round). The corners are darker than the
    mean; the sheet's uniformity says by how much.

    Examples
    --------
    >>> round(illuminance(5000, 8 * 4.5), 2)
    138.89
    """
    if not output >= 0:
        raise ValueError("light output is 0 lm or more")
    if not area > 0:
        raise ValueError("the lit area is above 0 m²")
    return output / area


def luminance(light: float, reflectance: float) -> float:
    """Luminance of a matt surface. [cd/m²]

    Parameters
    ----------
    light : float
        Illuminance; 0 or more. [lx]
    reflectance : float
        Share of light reflected; 0 to 1. [-]

    Raises
    ------
    ValueError
        If the reflectance is outside its range.
    """
    if not 0 <= reflectance <= 1:
        raise ValueError("reflectance lies between 0 and 1")
    return reflectance * light / math.pi


def light_output(readings: Sequence[float], area: float) -> float:
    """Light output from readings over the lit area: their mean times the area. [lm]

    Parameters
    ----------
    readings : sequence of float
        Illuminance at nine points, the middles of three by three equal fields; at least one
        reading, each 0 or more. [lx]
    area : float
        Lit area; above 0. [m²]

    Raises
    ------
    ValueError
        If there is no reading or the area is not above 0.

    References
    ----------
    ISO/IEC 21118 and ANSI IT7.215, nine-point method, as described on public pages.
    """
    if not readings:
        raise ValueError("a light output needs at least one reading")
    if not area > 0:
        raise ValueError("the lit area is above 0 m²")
    return math.fsum(readings) / len(readings) * area


def uniformity(readings: Sequence[float]) -> float:
    """Least over greatest reading of the lit area. [-]

    Parameters
    ----------
    readings : sequence of float
        Illuminance at the points read; the greatest above 0. [lx]

    Raises
    ------
    ValueError
        If no reading is above 0.
    """
    if not readings or not max(readings) > 0:
        raise ValueError("uniformity needs a reading above 0 lx")
    return min(readings) / max(readings)


def system_contrast(light: float, ambient: float) -> float:
    """Light where the image is white over light where it is black. [-]

    Parameters
    ----------
    light : float
        Illuminance of the image; 0 or more. [lx]
    ambient : float
        Light on the wall without it; above 0. [lx]

    Raises
    ------
    ValueError
        If the ambient light is not above 0.

    References
    ----------
    ANSI/INFOCOMM 3M-2011 as described on public pages; the projector's own black is left out.
    """
    if not ambient > 0:
        raise ValueError("the contrast is without bound where no light falls on the wall")
    return (light + ambient) / ambient


def contrast_of_zones(white: Sequence[float], black: Sequence[float]) -> float:
    """Contrast of one picture that is half white and half black: mean over mean. [-]

    Parameters
    ----------
    white, black : sequence of float
        Illuminance read in the middles of its white and of its black zones, the light that is on
        the wall anyhow included; the black ones not all 0. [lx]

    Raises
    ------
    ValueError
        If a zone has no reading, or no black zone reads above 0.

    Notes
    -----
    White and black are read in one picture, not one after the other, so that what the lens and
    the wall scatter counts as it does with a design.

    References
    ----------
    ANSI/INFOCOMM 3M-2011, checkerboard of sixteen zones, as described on public pages.
    """
    if not white or not black:
        raise ValueError("white and black zones need at least one reading each")
    dark = math.fsum(black) / len(black)
    if not dark > 0:
        raise ValueError("the contrast is without bound where black zones read 0 lx")
    return math.fsum(white) / len(white) / dark


def zoom_light(projector: Projector, ratio: float) -> float:
    """Share of the light that is left at a throw ratio, in the darkest corner. [-]

    Parameters
    ----------
    projector : Projector
        For its range of throw ratios, the light lost at the long end and that of its corners.
    ratio : float
        Throw ratio, within the projector's range. [-]

    Raises
    ------
    ValueError
        If the projector does not reach the throw ratio.

    Notes
    -----
    1 at the wide end, 1 - loss at the long end, a straight line between (``ZOOM_LOSS_LINE``); all
    of it times the corners' share of the mean, which is 1 where no one has read it.
    """
    low, high = projector.throw_min, projector.throw_max
    if not low - 1e-9 <= ratio <= high + 1e-9:
        raise ValueError(f"throw ratio {ratio:g} is outside {low:g} to {high:g}")
    if high == low:
        return projector.corners
    along = min(max((ratio - low) / (high - low), 0.0), 1.0)
    left = 1.0 - projector.zoom_loss * math.pow(along, ZOOM_LOSS_LINE.value)
    return left * projector.corners


@dataclass(frozen=True, slots=True, kw_only=True)
class Brightness:
    """Light of an image against the light on the wall.

    Parameters
    ----------
    illuminance : float
        Of the image. [lx]
    ambient : float
        On the wall without it. [lx]
    ratio : float
        Illuminance over ambient and the projector's own black; infinite where neither falls on the
        wall. One more is white over black on the wall. [-]
    limit : float
        Least ratio asked for. [-]
    passes : bool
        Whether the ratio reaches the limit.
    black : float
        What the projector throws where its picture is black; 0 where that is not known. [lx]
    """

    illuminance: float
    ambient: float
    ratio: float
    limit: float
    passes: bool
    black: float = 0.0


def brightness(light: float, ambient: float, limit: float, black: float = 0.0) -> Brightness:
    """Ratio of image to ambient light, with a verdict.

    Parameters
    ----------
    light : float
        Illuminance of the image; 0 or more. [lx]
    ambient : float
        Light on the wall without it; 0 or more. [lx]
    limit : float
        Least ratio; above 0. [-]
    black : float
        Light of the projector's own black over that of its white; 0 to below 1. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    With I the image's light, A the ambient and B = ``black`` I the projector's black, white over
    black on the wall is (I + A + B) / (A + B); the ratio is that less 1, I / (A + B), which
    without black is image over ambient light.

    Examples
    --------
    >>> brightness(109.375, 35.0, 5.0).passes
    False
    """
    if not (light >= 0 and ambient >= 0 and limit > 0 and 0 <= black < 1):
        raise ValueError("lights are 0 lx or more, the limit above 0 and black less than white")
    dark = ambient + black * light
    return Brightness(
        illuminance=light,
        ambient=ambient,
        ratio=light / dark if dark > 0 else math.inf,
        limit=limit,
        passes=light >= limit * dark * (1 - 1e-12),
        black=black * light,
    )


def largest_area(output: float, ambient: float, limit: float, black: float = 0.0) -> float:
    """Largest lit area that still reaches the ratio to ambient light. [m²]

    Parameters
    ----------
    output : float
        Light output that leaves the lens; above 0. [lm]
    ambient : float
        Light on the wall without the image; 0 or more. [lx]
    limit : float
        Least ratio; above 0. [-]
    black : float
        Light of the projector's own black over that of its white; 0 to below 1. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range, or no area reaches the ratio over the black alone.

    Examples
    --------
    >>> largest_area(2800, 35, 5)
    16.0
    """
    if not (output > 0 and ambient >= 0 and limit > 0):
        raise ValueError("output and limit are above 0, ambient light 0 lx or more")
    if not 0 <= black * limit < 1:
        raise ValueError("the projector's black alone is lighter than the limit allows")
    return output * (1 - black * limit) / (limit * ambient) if ambient > 0 else math.inf
