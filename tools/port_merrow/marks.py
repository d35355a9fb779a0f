"""The three marks a motif is made of: a filled shape, a stroked line, a dot."""

from __future__ import annotations

from port_merrow.curves import line, number, outline, taper

Elements = list[str]


def fill(paint: str, data: str) -> str:
    """A filled shape from path data."""
    return f'<path class="{paint}" d="{data}"/>'


def shape(paint: str, text: str) -> str:
    """A filled closed shape from its points."""
    return fill(paint, outline(text))


def blade(paint: str, text: str, *widths: float) -> str:
    """A filled tapering stroke from its centre line and its width at each point."""
    return fill(paint, taper(text, widths))


def stroke(paint: str, width: float, *lines: str) -> str:
    """Round-capped lines of one width, drawn as one mark."""
    data = "".join(line(text) for text in lines)
    return f'<path class="line {paint}-line" stroke-width="{number(width)}" d="{data}"/>'


def dot(paint: str, x: float, y: float, radius: float) -> str:
    """A disc."""
    return f'<circle class="{paint}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>'
