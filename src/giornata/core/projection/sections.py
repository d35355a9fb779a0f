"""In one go or in parts: a design cut into sections so fine that its thinnest line can be drawn."""

from __future__ import annotations

from dataclasses import dataclass

from giornata.core.foundation import Assumption, Finding, Severity, number_of
from giornata.core.projection.projector import Orientation, Projector
from giornata.core.projection.throw import SLACK

__all__ = ["LINE_PIXELS", "SectionLayout", "section_layout", "section_layouts"]

LINE_PIXELS = Assumption(
    name="least pixels across the thinnest line",
    value=3.0,
    unit="-",
    source="common practice, no source",
    usual=(1.0, 3.0),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SectionLayout:
    """A design projected in sections, ``across`` by ``up`` of them.

    Parameters
    ----------
    across, up : int
        Sections along the wall and upright. [-]
    orientation : Orientation
        How the projector lies.
    width, height : float
        Lit size of one section. [m]
    pitch : float
        Side of one pixel on the wall. [m]
    overlap_across, overlap_up : float
        Overlap of neighbours; 0 where there is only one. [m]
    spare_width, spare_height : float
        Lit beyond the design where one section alone covers it. [m]
    line_pixels : float
        Pixels across the thinnest line. [-]
    passes : bool
        Whether that reaches the least pixels.
    """

    across: int
    up: int
    orientation: Orientation
    width: float
    height: float
    pitch: float
    overlap_across: float
    overlap_up: float
    spare_width: float
    spare_height: float
    line_pixels: float
    passes: bool

    @property
    def count(self) -> int:
        """Sections, and so set-ups. [-]"""
        return self.across * self.up


def section_layout(
    projector: Projector,
    width: float,
    height: float,
    across: int,
    up: int,
    orientation: Orientation,
    *,
    overlap: float,
    thinnest_line: float,
    least_pixels: float = LINE_PIXELS.value,
) -> SectionLayout:
    """Finest pixels at which sections of equal size cover a design.

    Parameters
    ----------
    projector : Projector
        For its native pixels; distance and zoom are chosen to suit.
    width, height : float
        Of the design; above 0. [m]
    across, up : int
        Sections along the wall and upright; at least 1. [-]
    orientation : Orientation
        How the projector lies.
    overlap : float
        Least overlap of neighbours; 0 or more. [m]
    thinnest_line : float
        Width of the thinnest line of the design; above 0. [m]
    least_pixels : float
        Pixels asked for across that line; above 0. [-]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (width > 0 and height > 0 and thinnest_line > 0 and least_pixels > 0 and overlap >= 0):
        raise ValueError("design, line and pixels are above 0 and the overlap 0 or more")
    if across < 1 or up < 1:
        raise ValueError("there is at least one section")
    columns, rows = projector.columns, projector.rows
    if orientation is Orientation.ON_SIDE:
        columns, rows = rows, columns
    pitch = max(
        (width + (across - 1) * overlap) / across / columns,
        (height + (up - 1) * overlap) / up / rows,
    )
    lit_width, lit_height = columns * pitch, rows * pitch
    line_pixels = thinnest_line / pitch
    return SectionLayout(
        across=across,
        up=up,
        orientation=orientation,
        width=lit_width,
        height=lit_height,
        pitch=pitch,
        overlap_across=_overlap(width, lit_width, across),
        overlap_up=_overlap(height, lit_height, up),
        spare_width=lit_width - width if across == 1 else 0.0,
        spare_height=lit_height - height if up == 1 else 0.0,
        line_pixels=line_pixels,
        passes=line_pixels >= least_pixels * (1 - SLACK),
    )


def section_layouts(
    projector: Projector,
    width: float,
    height: float,
    *,
    overlap: float,
    thinnest_line: float,
    least_pixels: float = LINE_PIXELS.value,
    most: int = 100,
) -> tuple[tuple[SectionLayout, ...], tuple[Finding, ...]]:
    """Lay-outs worth comparing, by number of sections; the first that passes is the one to use.

    Parameters
    ----------
    projector : Projector
        For its native pixels.
    width, height : float
        Of the design; above 0. [m]
    overlap : float
        Least overlap of neighbours; 0 or more. [m]
    thinnest_line : float
        Width of the thinnest line of the design; above 0. [m]
    least_pixels : float
        Pixels asked for across that line; above 0. [-]
    most : int
        Greatest number of sections tried. [-]

    Returns
    -------
    layouts : tuple of SectionLayout
        Every way of cutting up to the first number of sections that passes; those of one number
        with the passing first, level before on its side, then finest pixels first.
    findings : tuple of Finding
        ``projection.sections`` where none passes.

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    tried: list[SectionLayout] = []
    for count in range(1, most + 1):
        cut = [
            section_layout(
                projector,
                width,
                height,
                across,
                count // across,
                orientation,
                overlap=overlap,
                thinnest_line=thinnest_line,
                least_pixels=least_pixels,
            )
            for across in range(1, count + 1)
            if count % across == 0
            for orientation in Orientation
        ]
        tried += sorted(
            cut,
            key=lambda one: (not one.passes, one.orientation is Orientation.ON_SIDE, one.pitch),
        )
        if any(one.passes for one in cut):
            return tuple(tried), ()
    best = max(tried, key=lambda one: one.line_pixels)
    return tuple(tried), (
        Finding(
            code="projection.sections",
            severity=Severity.STOP,
            subject=f"{width:.2f} × {height:.2f} m",
            message=(
                f"The thinnest line, {1000 * thinnest_line:.1f} mm, is {best.line_pixels:.1f} "
                f"pixels wide in {number_of(best.count, 'section')}; {least_pixels:g} are "
                "asked for."
            ),
            remedy="Draw the thin lines by grid or pounce, or hire a projector of more pixels.",
        ),
    )


def _overlap(length: float, section: float, count: int) -> float:
    return (count * section - length) / (count - 1) if count > 1 else 0.0
