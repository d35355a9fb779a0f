"""What of a plan of nights can still be done before it gets light, and what is left."""

from __future__ import annotations

from collections.abc import Collection

from giornata.core.works.nights import NightPlan

__all__ = ["before_light"]


def before_light(
    plan: NightPlan, done: Collection[int], dark: float
) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Set-ups that can still be begun and ended before it gets light, and those that are left.

    Parameters
    ----------
    plan : NightPlan
        For the order of work and the times.
    done : collection of int
        Numbers of the set-ups that are done.
    dark : float
        How long it stays dark; 0 or more. [s]

    Raises
    ------
    ValueError
        If the darkness is below 0.
    """
    if not dark >= 0:
        raise ValueError("darkness left is 0 s or more")
    to_do = [number for group in plan.nights for number in group if number not in done]
    used, fits = 0.0, 0
    for number in to_do:
        used += float(plan.set_ups[number - 1])
        if used > dark + 1e-6:
            break
        fits += 1
    return tuple(to_do[:fits]), tuple(to_do[fits:])
