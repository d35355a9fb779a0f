"""Groups: which shapes of a drawing an option shows."""

from __future__ import annotations

from collections.abc import Iterable

from giornata.core.artwork.drawing import Drawing
from giornata.core.artwork.shape import Shape
from giornata.core.foundation import Finding, Severity, number_of

__all__ = ["shown_shapes"]


def shown_shapes(
    drawing: Drawing, *, hide: Iterable[str] = (), show: Iterable[str] = ()
) -> tuple[tuple[Shape, ...], tuple[Finding, ...]]:
    """The shapes left when named groups are left out or brought in, and names that don't fit.

    Parameters
    ----------
    hide, show : iterable of str
        Names of groups. What the file itself hides stays hidden unless it is in ``show``; a
        name in both is shown.

    Notes
    -----
    A shape's group may be a path, outermost first ("boats/rigging"); the shape is left out if
    the path as a whole or any name in it is left out.
    """
    hide, show = tuple(hide), tuple(show)
    known = set(drawing.groups) | set(drawing.hidden)
    for shape in drawing.shapes:
        known.update(_names(shape.group))
    out = (set(drawing.hidden) | set(hide)) - set(show)
    shapes = tuple(shape for shape in drawing.shapes if out.isdisjoint(_names(shape.group)))
    findings = [
        _unknown(drawing, name, known)
        for name in dict.fromkeys((*hide, *show))
        if name not in known
    ]
    findings += [_both(name) for name in dict.fromkeys(hide) if name in show]
    if not shapes:
        findings.append(_nothing(drawing))
    return shapes, tuple(findings)


def _names(group: str) -> set[str]:
    return {group, *group.split("/")} - {""}


def _unknown(drawing: Drawing, name: str, known: set[str]) -> Finding:
    names = ", ".join(sorted(known)) or "none"
    return Finding(
        code="artwork.unknown_group",
        severity=Severity.STOP,
        subject=f"group {name!r}",
        message=f"{drawing.name} has no group of this name; its groups are: {names}.",
        remedy="Correct the name in the option, or name the group in the artwork file.",
    )


def _both(name: str) -> Finding:
    return Finding(
        code="artwork.group_hidden_and_shown",
        severity=Severity.WARN,
        subject=f"group {name!r}",
        message="One option both hides and shows it; it is shown.",
        remedy="Take the name out of one of the two lists.",
    )


def _nothing(drawing: Drawing) -> Finding:
    return Finding(
        code="artwork.nothing_visible",
        severity=Severity.STOP,
        subject=drawing.name,
        message=f"0 of {number_of(len(drawing.shapes), 'shape is', 'shapes are')} visible: "
        "the whole wall would be ground.",
        remedy="Show a group in the option, or choose another artwork file.",
    )
