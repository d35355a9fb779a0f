"""Rectified pictures of the wall, written beside the photos they come from."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from giornata.core import photography
from giornata.core.foundation import PhotoError
from giornata.core.photography import Rectification, Stretch
from giornata.desk.photographs import PhotoView
from giornata.files.photos import photo_pixels
from giornata.files.rectified_picture import rectified_png
from giornata.files.saving import outside_faults, replace_file

__all__ = ["RectifiedPicture", "error_words", "rectified_picture", "write_rectified"]

_MOST = 100_000_000  # px of a rectified picture
_SCALES = (25.0, 50.0, 100.0, 200.0, 400.0, 800.0)  # px/m offered, not above the photo's own


@dataclass(frozen=True, slots=True, kw_only=True)
class RectifiedPicture:
    """A rectified picture.

    Parameters
    ----------
    png : bytes
    stretch : Stretch
        Of the wall.
    scale : float
        [px/m]
    finest : float
        What the photo itself holds at its finest place there. [px/m]
    """

    png: bytes
    stretch: Stretch
    scale: float
    finest: float


def rectified_picture(
    photo: PhotoView,
    *,
    start: float | None = None,
    end: float | None = None,
    foot: float | None = None,
    head: float | None = None,
    scale: float | None = None,
) -> RectifiedPicture:
    """A stretch of wall square on, as PNG with its scale bar and its errors.

    Parameters
    ----------
    start, end, foot, head : float or None
        Of the stretch; None takes the known points' own. [m]
    scale : float or None
        None takes the finest of 25, 50, 100, 200, 400 and 800 that the photo holds. [px/m]

    Raises
    ------
    PhotoError
        If the photo is not to scale or cannot be read, or the stretch is empty or too large.
    """
    made = photo.rectification
    if made is None:
        said = photo.findings[0].message if photo.findings else "It has no known points."
        raise PhotoError(
            f"The photo {photo.name} is not to scale: {said}", remedy="Mend that first."
        )
    (left, low), (right, high) = made.hull.min(axis=0), made.hull.max(axis=0)
    try:
        stretch = Stretch(
            start=float(left) if start is None else start,
            end=float(right) if end is None else end,
            foot=float(low) if foot is None else foot,
            head=float(high) if head is None else head,
        )
    except ValueError as fault:
        raise PhotoError(f"{fault}.", remedy="Give start, end, foot and head in this order.") from (
            fault
        )
    finest = photography.finest_scale(made.view, stretch)
    if finest <= 0:
        raise PhotoError("The photo shows nothing of that stretch.", remedy="Give another one.")
    chosen = scale or max((one for one in _SCALES if one <= finest), default=_SCALES[0])
    columns, rows = stretch.pixels(chosen)
    if columns * rows > _MOST:
        raise PhotoError(
            f"At {chosen:g} px/m the picture would have {columns} × {rows} pixels; the limit is "
            f"{_MOST / 1e6:.0f} million.",
            remedy="Give a shorter stretch or a smaller --scale.",
        )
    pixels, shown = photography.rectified(photo_pixels(photo.path), made.view, stretch, chosen)
    lines = (
        f"Photo {photo.name}: {_said(stretch)}; {chosen:g} px to a metre.",
        error_words(made),
    )
    content = rectified_png(pixels, shown, stretch, chosen, made.hull, lines)
    return RectifiedPicture(png=content, stretch=stretch, scale=chosen, finest=finest)


def _said(stretch: Stretch) -> str:
    along = f"{stretch.start:.2f} to {stretch.end:.2f} m along"
    return f"{along}, level {stretch.foot:.2f} to {stretch.head:.2f} m"


def error_words(made: Rectification) -> str:
    """What a rectified photo is worth, in a sentence."""
    best, worst = made.errors.best, made.errors.worst
    return (
        f"Places inside the dashed line are known to {1000 * best.error:.0f} mm at the best and "
        f"{1000 * worst.error:.0f} mm at the worst ({worst.chainage:.2f} m along, level "
        f"{worst.level:.2f} m), 95 of 100; lengths to {100 * made.scale_error:.2f} %. Beyond it "
        "nothing is checked."
    )


def write_rectified(picture: RectifiedPicture, target: Path) -> Path:
    """Write a rectified picture into a file, and say which.

    Raises
    ------
    JobFolderError
        If it cannot be written.
    """
    with outside_faults(target.parent, "Making"):
        target.parent.mkdir(parents=True, exist_ok=True)
    replace_file(target, picture.png)
    return target
