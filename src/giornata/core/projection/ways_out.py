"""Ways out where an image is too dim for the light that falls on the wall."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from giornata.core.projection.light import brightness, illuminance, largest_area
from giornata.core.projection.projector import Projector

__all__ = ["WayOut", "WayOutKind", "ways_out"]


class WayOutKind(StrEnum):
    """What is changed so that an image becomes bright enough."""

    SMALLER_IMAGE = "smaller image"
    MORE_LIGHT = "another power mode"
    MORE_LIGHT_SMALLER_IMAGE = "another power mode and a smaller image"
    LESS_AMBIENT = "lamp shaded or switched off"


@dataclass(frozen=True, slots=True, kw_only=True)
class WayOut:
    """One way to make an image bright enough, or one that is not enough alone.

    Parameters
    ----------
    kind : WayOutKind
        What is changed.
    sentence : str
        What to do, with its numbers.
    mode : str
        Power mode it needs.
    width, height : float
        Image it allows. [m]
    ambient : float
        Greatest light on the wall it allows. [lx]
    ratio : float
        Image to ambient light it gives. [-]
    passes : bool
        Whether that reaches the limit.
    """

    kind: WayOutKind
    sentence: str
    mode: str
    width: float
    height: float
    ambient: float
    ratio: float
    passes: bool


def ways_out(
    projector: Projector,
    width: float,
    height: float,
    ambient: float,
    limit: float,
    *,
    zoom: float = 1.0,
) -> tuple[WayOut, ...]:
    """Ways out where an image is too dim; those that are enough come first.

    Parameters
    ----------
    projector : Projector
        For its light output and power modes.
    width, height : float
        The image; above 0. [m]
    ambient : float
        Light on the wall without it; above 0. [lx]
    limit : float
        Least ratio of image to ambient light; above 0. [-]
    zoom : float
        Share of light left at the zoom used, kept as it is; above 0 to 1. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.

    Notes
    -----
    Areas and lamp limits in the sentences are rounded down, so that doing as they say passes. There
    is no way out where the projector's own black alone breaks the limit.
    """
    if not (width > 0 and height > 0 and ambient > 0 and 0 < zoom <= 1):
        raise ValueError("the image, the ambient light and the zoom's share are above 0")
    if projector.black * limit >= 1:
        return ()  # its own black is too light; no image and no lamp mends that
    area = width * height
    output = projector.output * zoom

    def smaller(kind: WayOutKind, mode: str, lumens: float) -> WayOut:
        most = largest_area(lumens, ambient, limit, projector.black)
        scale = math.sqrt(most / area)
        power = "" if mode == projector.mode else f"{_mode(mode)}, and "
        return WayOut(
            kind=kind,
            sentence=(
                f"{power}an image of at most {_floor(most, 1)} m² "
                f"({width * scale:.2f} × {height * scale:.2f} m)"
            ),
            mode=mode,
            width=width * scale,
            height=height * scale,
            ambient=ambient,
            ratio=brightness(lumens / most, ambient, limit, projector.black).ratio,
            passes=True,
        )

    shaded = output / area * (1 / limit - projector.black)
    found = [
        smaller(WayOutKind.SMALLER_IMAGE, projector.mode, output),
        WayOut(
            kind=WayOutKind.LESS_AMBIENT,
            sentence=f"the lamp shaded to at most {_floor(shaded, 1)} lx on the wall, or off",
            mode=projector.mode,
            width=width,
            height=height,
            ambient=shaded,
            ratio=limit,
            passes=True,
        ),
    ]
    brightest = max(projector.modes, key=lambda mode: projector.modes[mode])
    if projector.modes[brightest] > projector.modes[projector.mode]:
        lumens = projector.lumens * projector.modes[brightest] * zoom
        light = brightness(illuminance(lumens, area), ambient, limit, projector.black)
        enough = "" if light.passes else ", which is not enough alone"
        found.append(
            WayOut(
                kind=WayOutKind.MORE_LIGHT,
                sentence=(
                    f"{_mode(brightest)}: {light.illuminance:.0f} lx, {light.ratio:.1f}:1{enough}"
                ),
                mode=brightest,
                width=width,
                height=height,
                ambient=ambient,
                ratio=light.ratio,
                passes=light.passes,
            )
        )
        if not light.passes:
            kind = WayOutKind.MORE_LIGHT_SMALLER_IMAGE
            found.append(smaller(kind, brightest, lumens))
    return tuple(sorted(found, key=lambda way: not way.passes))


def _mode(mode: str) -> str:
    return f"power mode {mode!r}"


def _floor(value: float, digits: int) -> str:
    steps = math.floor(value * 10**digits + 1e-6)
    return f"{steps / 10**digits:.{digits}f}"
