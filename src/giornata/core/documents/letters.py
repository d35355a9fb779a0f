"""Letters: how much room a label takes, so that nothing on a paper is covered or cut off."""

from __future__ import annotations

from giornata.core.documents.drawing import Label
from giornata.core.documents.letter_widths import BOLD, REGULAR

__all__ = [
    "CAP_HEIGHT", "Box", "cap_height", "label_box", "letters_missing", "lines_of", "overlap",
    "shortened", "text_width",
]  # fmt: skip

MM_PER_PT = 25.4 / 72.0
CAP_HEIGHT = 0.698
"""Height of a capital, of the type size: OS/2 table of the shipped sans. [-]"""
_DESCENT = 0.21  # of the type size: g, p, y and brackets below the base line
_ASCENT = 0.76  # of the type size: b, d, l and brackets above it
_UNKNOWN = 600  # a letter the table has not: as wide as a figure

Box = tuple[float, float, float, float]  # left, upper, right, lower [mm]


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Length of a line of letters, without kerning. [mm]

    Parameters
    ----------
    text : str
        Set in the shipped sans.
    size : float
        Type size. [pt]
    bold : bool

    Examples
    --------
    >>> round(text_width("00", 10.0), 3)  # a figure is 0.6 of the type size wide
    4.233
    """
    table = BOLD if bold else REGULAR
    return sum(table.get(letter, _UNKNOWN) for letter in text) / 1000 * size * MM_PER_PT


def cap_height(size: float) -> float:
    """Height of a capital or a figure. [mm]

    Parameters
    ----------
    size : float
        Type size. [pt]
    """
    return CAP_HEIGHT * size * MM_PER_PT


def label_box(label: Label) -> Box:
    """The room a label takes: left, upper, right, lower. [mm]"""
    length = text_width(label.text, label.size, bold=label.bold)
    up, down = (part * label.size * MM_PER_PT for part in (_ASCENT, _DESCENT))
    before = {"start": 0.0, "middle": length / 2, "end": length}[label.anchor]
    if label.turned:
        return (label.x - up, label.y + before - length, label.x + down, label.y + before)
    return (label.x - before, label.y - up, label.x - before + length, label.y + down)


def overlap(a: Box, b: Box, *, gap: float = 0.0) -> bool:
    """Whether two boxes come nearer to one another than a gap.

    Parameters
    ----------
    a, b : tuple of float
        Left, upper, right, lower. [mm]
    gap : float
        May be below 0: so much overlap is let pass. [mm]
    """
    return (
        a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap
    )  # fmt: skip


def shortened(text: str, width: float, size: float, *, bold: bool = False) -> str:
    """The text, cut with "…" where it is longer than the room for it.

    Parameters
    ----------
    width : float
        Room. [mm]
    size : float
        Type size. [pt]
    """
    if text_width(text, size, bold=bold) <= width:
        return text
    while len(text) > 1 and text_width(text + "…", size, bold=bold) > width:
        text = text[:-1].rstrip()
    return text + "…"


def lines_of(text: str, width: float, size: float, *, bold: bool = False) -> tuple[str, ...]:
    """The text broken at spaces into lines that fit; a word too long stands alone.

    Parameters
    ----------
    width : float
        Of a line. [mm]
    size : float
        Type size. [pt]
    """
    lines: list[str] = []
    for word in (part for part in text.split(" ") if part):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, bold=bold) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def letters_missing(text: str) -> str:
    """The letters of a text that the shipped sans has not, each once."""
    return "".join(dict.fromkeys(c for c in text if c not in REGULAR and c.isprintable()))
