"""Energy that machines draw in a night, and how long a battery feeds them."""

from __future__ import annotations

from collections.abc import Sequence

from giornata.core.foundation import Figure, derived

__all__ = ["battery_left", "energy", "running_time"]


def energy(power: Sequence[Figure], time: Figure) -> Figure:
    """Energy that machines running together draw in a time. [J]

    Parameters
    ----------
    power : sequence of Figure
        Of each machine, at least one. [W]
    time : Figure
        [s]

    Raises
    ------
    ValueError
        If no machine is given.
    """
    if not power:
        raise ValueError("at least one machine draws power")
    return derived(
        "energy", sum(map(float, power)) * float(time), "J", method="works.energy v1",
        formula="power × time", parts=(*power, time),
    )  # fmt: skip


def running_time(battery: float, power: float) -> float:
    """How long a battery feeds a power. [s]

    Parameters
    ----------
    battery : float
        Energy that can be drawn, 0 or more. [J]
    power : float
        Above 0. [W]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not (battery >= 0 and power > 0):
        raise ValueError("a battery holds 0 or more and the power is above 0")
    return battery / power


def battery_left(battery: float, power: float, running: float) -> float:
    """How much longer a battery feeds a power, never below 0. [s]

    Parameters
    ----------
    battery : float
        Energy that could be drawn when it was full, 0 or more. [J]
    power : float
        Drawn since; above 0. [W]
    running : float
        For how long; 0 or more. [s]

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
    if not running >= 0:
        raise ValueError("what runs has run for 0 s or more")
    return max(running_time(battery, power) - running, 0.0)
