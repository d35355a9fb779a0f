"""What is doubtful where the wall is not flat inside an image: bends and curves in plan."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.projection.setups import SetUp, SetUpPlan, numbers_named

__all__ = ["FLAT_ENOUGH", "shape_findings"]

FLAT_ENOUGH = Assumption(
    name="greatest depth of a curve over one image for which it is squared as flat",
    value=0.025,
    unit="m",
    source="own reckoning on made walls: beyond it an image squared as flat shows in the lines",
    usual=(0.01, 0.05),
)


def shape_findings(
    plan: SetUpPlan, bends: Sequence[float], arcs: Sequence[tuple[float, float, float]]
) -> tuple[Finding, ...]:
    """Findings on images that lie over a bend or on a curve of the wall.

    Parameters
    ----------
    plan : SetUpPlan
        The plan, perhaps empty.
    bends : sequence of float
        Chainages where the wall bends in plan. [m]
    arcs : sequence of (start, end, radius)
        Stretches that are curved in plan. [m], [m], [m]

    Notes
    -----
    A plan that looked at every place lights the wall as it stands, and holds its limits there; what
    is left is a note on how to square such an image.
    """
    return (*_bends(plan, bends), *_curves(plan, arcs))


def _bends(plan: SetUpPlan, bends: Sequence[float]) -> Iterator[Finding]:
    for bend in bends:
        over = [one for one in plan.set_ups if one.lit_start < bend < one.lit_end]
        across = [one.number for one in over]
        if across and plan.bound is not None:
            yield Finding(
                code="projection.bend",
                severity=Severity.NOTE,
                subject=numbers_named(across),
                message=f"The wall bends at {bend:.2f} m, inside the image. It is planned as it "
                f"stands: {_worst(over)}.",
                remedy="Square it as two planes, with four marks or more on each side of the bend.",
            )
        elif across:
            yield Finding(
                code="projection.bend",
                severity=Severity.WARN,
                subject=numbers_named(across),
                message=f"The wall bends at {bend:.2f} m, inside the image.",
                remedy="Square and trace each side of the bend by its own marks, one then other.",
            )


def _curves(plan: SetUpPlan, arcs: Sequence[tuple[float, float, float]]) -> Iterator[Finding]:
    """Images on a curve whose middle and sides lie at clearly different distances."""
    for start, end, radius in arcs:
        depths = {
            one.number: radius * (1 - math.cos(min(width / radius, math.tau) / 2))
            for one in plan.set_ups
            if (width := min(one.lit_end, end) - max(one.lit_start, start)) > 0
        }
        deep = [number for number, depth in depths.items() if depth > FLAT_ENOUGH.value]
        if deep and plan.bound is not None:
            yield Finding(
                code="projection.curve",
                severity=Severity.NOTE,
                subject=numbers_named(deep),
                message=f"The wall is curved from {start:.2f} to {end:.2f} m, radius "
                f"{radius:.2f} m: over one image its face is up to "
                f"{1000 * max(depths.values()):.0f} mm out of flat. It is planned as it stands: "
                f"{_worst([one for one in plan.set_ups if one.number in deep])}.",
                remedy="Square it as a curve of that radius, with marks at both sides and in the "
                "middle.",
            )
        elif deep:
            yield Finding(
                code="projection.curve",
                severity=Severity.WARN,
                subject=numbers_named(deep),
                message=f"The wall is curved from {start:.2f} to {end:.2f} m, radius "
                f"{radius:.2f} m: over one image its face is up to "
                f"{1000 * max(depths.values()):.0f} mm out of flat, limit "
                f"{1000 * FLAT_ENOUGH.value:.0f} mm. The plan lights it as if it were unrolled "
                "flat.",
                remedy="Use narrower images there, square each by its own marks, and check edges "
                "by tape along the face.",
            )


def _worst(some: Sequence[SetUp]) -> str:
    """The coarsest pixel, the least light and the flattest ray of some set-ups, in words."""
    pitch = max(one.coarsest or one.pitch for one in some)
    words = [
        f"pixels up to {1000 * pitch:.1f} mm",
        f"light {min(one.light.illuminance for one in some):.0f} lx or more",
    ]
    slants = [one.slant for one in some if one.slant is not None]
    if slants:
        words.append(f"no ray flatter than {math.degrees(min(slants)):.0f} degrees")
    return ", ".join(words)
