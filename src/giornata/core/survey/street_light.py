"""Light of street lamps by their class, where no meter was at hand."""

from __future__ import annotations

from giornata.core.foundation import Finding, Severity

__all__ = ["STREET_LIGHT", "by_class_finding"]

STREET_LIGHT = {"P1": 15.0, "P2": 10.0, "P3": 7.5, "P4": 5.0, "P5": 3.0, "P6": 2.0}
"""Mean illuminance on the ground that each class of street asks for (EN 13201-2:2015, classes P;
from memory, not seen). [lx]"""


def by_class_finding(name: str, light_class: str, light: float) -> Finding:
    """That a lamp's light on the wall was not read but follows from its class.

    Parameters
    ----------
    light : float
        Taken for the wall. [lx]
    """
    return Finding(
        code="survey.light_by_class",
        severity=Severity.NOTE,
        subject=f"lamp {name}",
        message=f"Its light was not read: {light:.1f} lx, the mean on the ground that class "
        f"{light_class} asks for, is taken for the wall; right under it there may be far more.",
        remedy="Read it on the wall by night with a meter, facing out, and give it as ambient.",
    )
