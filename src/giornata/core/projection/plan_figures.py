"""The figures that sum up a plan of set-ups."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from giornata.core.foundation import Figure, derived, given
from giornata.core.projection.best_plan import BestPlan
from giornata.core.projection.light import ZOOM_LOSS_LINE, zoom_light
from giornata.core.projection.projector import Orientation, Projector, Stand
from giornata.core.projection.seam_costs import SEAM_STEP
from giornata.core.projection.seams import STRAIGHT
from giornata.core.projection.setups import SetUp, SetUpPlan

__all__ = ["illuminance_figure", "summed_plan"]

_METHOD = "projection.plan_setups v1"


def summed_plan(
    set_ups: Sequence[SetUp],
    length: float,
    projector: Projector,
    stand: Stand,
    best: BestPlan | None = None,
) -> SetUpPlan:
    """The plan of these set-ups, with its figures.

    Parameters
    ----------
    set_ups : sequence of SetUp
        In order of number; may be empty.
    length : float
        Length of the wall; above 0. [m]
    projector : Projector
        The machine, for the figures' parts.
    stand : Stand
        Where it stands, for the figures' parts.
    best : BestPlan or None
        What came of looking for the best plan; None where only an even one was made.
    """
    if not set_ups:
        return SetUpPlan(set_ups=(), orientation=stand.orientation, rows=0)
    widest = max(set_ups, key=lambda one: one.width)
    dimmest = min(set_ups, key=lambda one: one.light.ratio)
    distance = given("distance from lens to wall", stand.distance, "m", source="stand")
    ratio = given("throw ratio", widest.throw_ratio, "-", source=_zoom_named(projector, widest))
    columns = given("pixel columns", projector.columns, "-", source=f"sheet of {projector.name}")
    rows = given("pixel rows", projector.rows, "-", source=f"sheet of {projector.name}")
    long_side = derived(
        "pixel pitch",
        widest.pitch,
        "m",
        method="projection.pixel_pitch v1",
        formula="distance ÷ throw ratio ÷ pixel columns",
        parts=(distance, ratio, columns),
    )
    level = stand.orientation is Orientation.LEVEL
    across, upright = (columns, rows) if level else (rows, columns)
    width = _size("image width", widest.width, long_side, across)
    least_overlap = given("least overlap", stand.overlap, "m", source="stand")
    overlaps = [one.overlap_next for one in set_ups if one.overlap_next is not None]
    wall_length = given("wall length", length, "m", source="survey")
    count = derived(
        "set-ups",
        len(set_ups),
        "-",
        method=_METHOD,
        formula="images along the wall, each reaching as far as it may, × rows",
        parts=(
            wall_length,
            width,
            least_overlap,
            given("rows, at most", max(one.row for one in set_ups), "-", source="this plan"),
        ),
    )
    evened = best is None or not best.images or best.stay
    light = replace(illuminance_figure(dimmest, projector), name="least illuminance")
    return SetUpPlan(
        set_ups=tuple(set_ups),
        orientation=stand.orientation,
        rows=max(one.row for one in set_ups),
        count=count,
        image_width=width,
        image_height=_size("image height", widest.height, long_side, upright),
        pitch=long_side,
        overlap=derived(
            "smallest overlap",
            min(overlaps),
            "m",
            method=_METHOD,
            formula="(sum of image widths - wall length) ÷ (images in a row - 1), where evened"
            if evened
            else "least end of an image less start of the next",
            parts=(wall_length, width, least_overlap, count),
        )
        if overlaps
        else None,
        illuminance=light,
        ratio=_ratio(dimmest, light, stand, projector),
        bound=best.bound if best is not None and best.images else None,
        crossed=None if best is None or best.crossed is None else _crossed(best, stand),
        trade_offs=() if best is None else best.trade_offs,
        unreachable=() if best is None else best.unreachable,
    )


def _crossed(best: BestPlan, stand: Stand) -> Figure:
    return derived(
        "edge crossed at the seams",
        best.crossed or 0.0,
        "m",
        method="projection.best_images v1",
        formula="least edge that a way from top to foot crosses, over the seams; 1 m for a "
        "straight level one",
        parts=(
            given("seams", len(best.seams), "-", source="this plan"),
            given("least overlap", stand.overlap, "m", source="stand"),
            SEAM_STEP.figure(),
            STRAIGHT.figure(),
        ),
    )


def illuminance_figure(set_up: SetUp, projector: Projector) -> Figure:
    """Illuminance of one set-up's image, with its parts. [lx]

    Parameters
    ----------
    set_up : SetUp
        One of a plan.
    projector : Projector
        The machine it was planned with.
    """
    sheet = f"sheet of {projector.name}"
    share = zoom_light(projector, set_up.throw_ratio)
    corners = (
        ()
        if projector.corners == 1.0
        else (given("corners, share of the mean light", projector.corners, "-", source=sheet),)
    )
    zoom = derived(
        "light left at this zoom",
        share,
        "-",
        method="projection.zoom_light v1",
        formula="1 - loss at the long end × way along the zoom"
        if projector.corners == 1.0
        else "(1 - loss at the long end × way along the zoom) × corners",
        parts=(
            given("loss at the long end", projector.zoom_loss, "-", source=sheet),
            given("throw ratio", set_up.throw_ratio, "-", source=_zoom_named(projector, set_up)),
            ZOOM_LOSS_LINE.figure(),
            *corners,
        ),
    )
    return derived(
        "illuminance",
        set_up.light.illuminance,
        "lx",
        method="projection.illuminance v1",
        formula="light output × mode × zoom ÷ lit area",
        parts=(
            given("light output", projector.lumens, "lm", source=sheet),
            given(f"mode {projector.mode}", projector.modes[projector.mode], "-", source=sheet),
            zoom,
            derived(
                "lit area",
                set_up.width * set_up.height,
                "m²",
                method="projection.image_size v1",
                formula="image width × image height",
                parts=(
                    given("image width", set_up.width, "m", source=f"set-up {set_up.number}"),
                    given("image height", set_up.height, "m", source=f"set-up {set_up.number}"),
                ),
            ),
        ),
    )


def _ratio(set_up: SetUp, light: Figure, stand: Stand, projector: Projector) -> Figure | None:
    if math.isinf(set_up.light.ratio):
        return None  # without other light on the wall there is no ratio
    black: tuple[Figure, ...] = ()
    if set_up.light.black:
        black = (
            given("native contrast", 1 / projector.black, "-", source=f"sheet of {projector.name}"),
        )
    return derived(
        "least image to ambient light",
        set_up.light.ratio,
        "-",
        method="projection.brightness v1",
        formula="illuminance ÷ (ambient light + illuminance ÷ native contrast)"
        if black
        else "illuminance ÷ ambient light",
        parts=(
            light,
            given("ambient light", set_up.light.ambient, "lx", source="read on the wall at night"),
            given("least ratio", stand.contrast, "-", source="stand"),
            *black,
        ),
    )


def _size(name: str, value: float, pitch: Figure, pixels: Figure) -> Figure:
    return derived(
        name,
        value,
        "m",
        method="projection.image_size v1",
        formula=f"pixel pitch × {pixels.name}",
        parts=(pitch, pixels),
    )


def _zoom_named(projector: Projector, set_up: SetUp) -> str:
    if set_up.throw_ratio == projector.throw_min:
        return f"sheet of {projector.name}, wide end of the zoom"
    return "this plan: the widest image that is bright and fine enough"
