"""The key of colours along the foot of a sheet: number, name, swatch and code of every paint."""

from __future__ import annotations

import math
from collections.abc import Sequence

from giornata.core.artwork import Colourway, Paint
from giornata.core.documents.drawing import FINE, INK, PAPER, Disc, Item, Label, box
from giornata.core.documents.letters import cap_height, shortened

__all__ = ["colour_key", "key_height"]

_ROW, _HEAD, _NAMES, _CELL = 4.8, 6.4, 34.0, 27.0
_SIZE = 9.0
_MOST = 4  # colourways; further ones would leave too little room for the wall


def _shown(colourways: Sequence[Colourway], chosen: str) -> list[Colourway]:
    """The chosen colourway first, then the others."""
    return sorted(colourways, key=lambda one: one.key != chosen)[:_MOST]


def _across(count: int, width: float) -> int:
    """Paints beside one another. [-]"""
    return min(count, max(int((width - _NAMES) / _CELL), 1))


def key_height(count: int, colourways: int, width: float) -> float:
    """Room a key takes. [mm]

    Parameters
    ----------
    count, colourways : int
        How many paints and colourways; 1 or more. [-]
    width : float
        Of the key. [mm]
    """
    blocks = math.ceil(count / _across(count, width))
    return blocks * (_HEAD + _ROW * min(colourways, _MOST)) + 1.0


def colour_key(
    paints: Sequence[Paint],
    colourways: Sequence[Colourway],
    chosen: str,
    left: float,
    right: float,
    upper: float,
) -> tuple[Item, ...]:
    """The key, the chosen colourway in its first row.

    Parameters
    ----------
    chosen : str
        Key of the chosen colourway.
    left, right, upper : float
        Where it lies. [mm]
    """
    rows = _shown(colourways, chosen)
    across = _across(len(paints), right - left)
    wide = (right - left - _NAMES) / across
    items: list[Item] = []
    y = upper
    for first in range(0, len(paints), across):
        for k, paint in enumerate(paints[first : first + across]):
            x = left + _NAMES + k * wide
            items += [
                Disc(x=x + 2.6, y=y + 3.0, radius=2.5, fill=PAPER, pen=FINE),
                Label(x=x + 2.6, y=y + 3.0 + cap_height(11.0) / 2, text=str(paint.number),
                      size=11.0 if paint.number < 10 else _SIZE, anchor="middle", bold=True),
                Label(x=x + 6.4, y=y + 4.4, size=_SIZE, bold=True,
                      text=shortened(paint.name, wide - 8.0, _SIZE, bold=True)),
            ]  # fmt: skip
        for row, colourway in enumerate(rows):
            base = y + _HEAD + row * _ROW
            own = colourway.key == chosen
            name = shortened(colourway.name, _NAMES - 2.0, _SIZE, bold=own)
            items.append(Label(x=left, y=base + 3.4, text=name, size=_SIZE, bold=own))
            for k, paint in enumerate(paints[first : first + across]):
                x = left + _NAMES + k * wide
                code = colourway.colours[paint.key]
                swatch = min(max(wide - 18.5, 6.0), 16.0)
                items += [
                    box(x + 0.2, base + 0.4, x + swatch, base + 4.2, fill=code, pen=FINE),
                    Label(x=x + swatch + 1.5, y=base + 3.4, text=code, size=_SIZE, colour=INK),
                ]
        y += _HEAD + _ROW * len(rows)
    return tuple(items)
