"""What the search for the best plan says: stretches not reached, and what more set-ups save."""

from __future__ import annotations

from collections.abc import Iterator

from giornata.core.foundation import Assumption, Finding, Severity
from giornata.core.projection.limits import Limit
from giornata.core.projection.setups import SetUpPlan, Unreachable, numbers_named

__all__ = ["WORTH_A_SET_UP", "best_findings"]

WORTH_A_SET_UP = Assumption(
    name="edge crossed at seams that is worth another set-up",
    value=1.0,
    unit="m",
    source="no published source: about what is redrawn by hand in a quarter of an hour",
    usual=(0.5, 3.0),
)

_REMEDIES = {
    Limit.LIGHT: "have the lamp there shaded or switched off, use a brighter power mode, a smaller "
    "image from nearer or a brighter projector",
    Limit.PIXELS: "stand nearer, hire a projector of more pixels, or draw the thin lines by hand",
    Limit.VIEW: "stand farther back, or square before that stretch",
    Limit.FOCUS: "stand farther back, or square before that stretch",
    Limit.STANDING: "have the place cleared, or allow other distances from the wall",
    Limit.OVERLAP: "ask for less overlap, or allow other distances from the wall",
    Limit.PICTURE: "stand farther back, or raise the lens",
}


def best_findings(plan: SetUpPlan) -> tuple[Finding, ...]:
    """Findings on what no place of the projector reaches, and on seams worth another set-up.

    Parameters
    ----------
    plan : SetUpPlan
        The plan.
    """
    return (*_unreachable(plan), *_trade(plan))


def _unreachable(plan: SetUpPlan) -> Iterator[Finding]:
    whole = [one.projector for one in plan.alternatives if one.projector and one.whole]
    other = f"take {' or '.join(whole)}, which reaches all of it; or " if whole else ""
    for one in plan.unreachable:
        yield Finding(
            code="projection.unreachable",
            severity=Severity.WARN,
            subject=f"wall from {one.start:.2f} to {one.end:.2f} m",
            message=f"No place of the projector goes on from {one.start:.2f} m within the limits; "
            f"the limit that bites is {one.limit.value}.{_beside(plan, one)}",
            remedy=f"For that stretch {other}{_REMEDIES[one.limit]}; or put it on by grid or "
            "pounce.",
        )


def _beside(plan: SetUpPlan, lost: Unreachable) -> str:
    """How the wall beside it is planned, where it has no set-ups of its own."""
    if plan.bound is None:
        return ""
    middle = (lost.start + lost.end) / 2
    before = [one.number for one in plan.set_ups if (one.lit_start + one.lit_end) / 2 < middle]
    after = [one.number for one in plan.set_ups if one.number not in before]
    sides = [
        f"to its {side} {numbers_named(numbers)}"
        for side, numbers in (("left", before), ("right", after))
        if numbers
    ]
    return (
        f" It is left to grid or pounce and has no set-up; {' and '.join(sides)} "
        f"{'are' if len(plan.set_ups) > 1 else 'is'} planned by themselves."
    )


def _trade(plan: SetUpPlan) -> Iterator[Finding]:
    if not plan.trade_offs:
        return
    fewest, *others = plan.trade_offs
    worth = [fewest]
    for one in others:
        if worth[-1].cost - one.cost >= WORTH_A_SET_UP.value * (one.count - worth[-1].count):
            worth.append(one)
    worth = worth[1:]
    if worth:
        ways = "; ".join(f"{one.count} set-ups cross {one.cost:.2f} m" for one in worth)
        yield Finding(
            code="projection.more_set_ups",
            severity=Severity.NOTE,
            subject="seams",
            message=f"The fewest set-ups, {fewest.count}, cross {fewest.cost:.2f} m of edge at "
            f"their seams (a straight level edge counts 1 m); {ways}.",
            remedy="Nothing need be done; draw the lines at those seams by hand from marks, or "
            "give the night one set-up more.",
        )
