"""Marks as they are typed: a name and two pixels, or a name and how far its cross missed it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import typer

from giornata.core.boards import Tap
from giornata.core.foundation import Dimension, Finding, parse, parse_number
from giornata.core.projection import LINE_SET, LineKind, LinePoint

__all__ = ["Typed", "is_line", "one_mark", "read_lines", "read_marks", "read_taps"]

_FARTHEST = 10.0  # m
_SIGNS = {"right": 1.0, "up": 1.0, "left": -1.0, "down": -1.0}
_XY = r"([+\-−]?[0-9.]+)\s*(?:px)?[\s,;]+([+\-−]?[0-9.]+)\s*(px)?"
_PIXELS = re.compile(rf"[\s:=,]*{_XY}")
_LINE = re.compile(rf"\s*(level|plumb)\s+(.*?)[\s:=]+{_XY}", re.IGNORECASE)
_TAP = re.compile(r"\s*@\s*([0-9]+(?:\.[0-9]*)?)\s*[,;]\s*([0-9]+(?:\.[0-9]*)?)\s*(?:px)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """A mark that was typed: seen at a pixel of the picture, or missed by its cross.

    Parameters
    ----------
    name : str
        As the job spells it.
    px : tuple of float or None
        Where in the picture. [px]
    missed : tuple of float or None
        Right and up of the mark, on the wall. [m]
    """

    name: str
    px: tuple[float, float] | None = None
    missed: tuple[float, float] | None = None


def read_marks(
    seen: Sequence[str], fell: Sequence[str], lines: Sequence[str], names: Sequence[str]
) -> tuple[Typed, ...]:
    """What was typed, all of it as pixels or all of it as lengths.

    Parameters
    ----------
    seen : sequence of str
        "M03 upper 812.4 77.0": pixels.
    fell : sequence of str
        "M03 upper 34 mm, -12 mm": right and up of the mark; a word may stand for the sign.
    lines : sequence of str
        Either, from a file: pixels end in "px".
    names : sequence of str
        Of the job's marks.

    Raises
    ------
    typer.BadParameter
        If something is spelled otherwise, a name is unknown, comes twice, or both are mixed.
    """
    made = [_pixels(text, names, "--seen") for text in seen]
    made += [_missed(text, names, "--fell") for text in fell]
    made += [
        (_pixels if text.rstrip().endswith("px") else _missed)(text, names, "--file")
        for text in lines
    ]
    taken = [one.name for one in made]
    for name in taken:
        if taken.count(name) > 1:
            raise typer.BadParameter(f"{name} is typed twice")
    if len({one.px is None for one in made}) > 1:
        raise typer.BadParameter("type pixels for all marks, or lengths on the wall for all")
    return tuple(made)


def one_mark(text: str, names: Sequence[str], where: str) -> tuple[str, str]:
    """The mark that a text begins with, and the rest of it.

    The longest name that it begins with counts, whatever the case; else a beginning that only one
    mark has.

    Raises
    ------
    typer.BadParameter
        If it begins with no mark, or with several.
    """
    clean = " ".join(text.split())
    folded = clean.casefold()
    whole = [n for n in names if re.match(re.escape(n.casefold()) + r"(?=[\s:=,]|$)", folded)]
    if whole:
        name = max(whole, key=len)
        return name, clean[len(name) :]
    short = re.split(r"[\s:=]", clean, maxsplit=1)[0]
    begun = [name for name in names if name.casefold().startswith(short.casefold() + " ")]
    if len(begun) == 1:
        return begun[0], clean[len(short) :]
    known = ", ".join(begun or names) or "none yet"
    raise typer.BadParameter(f"{text!r} begins with no mark; marks are {known}", param_hint=where)


def _pixels(text: str, names: Sequence[str], where: str) -> Typed:
    name, rest = one_mark(text, names, where)
    match = _PIXELS.fullmatch(rest)
    read = [] if match is None else [parse_number(match[k], subject=name) for k in (1, 2)]
    numbers = [one for one in read if not isinstance(one, Finding)]
    if len(numbers) != 2:
        raise typer.BadParameter(
            f"a mark seen is 'NAME X Y' in pixels, as in '{name} 812.4 77.0', not {text!r}",
            param_hint=where,
        )
    return Typed(name=name, px=(numbers[0], numbers[1]))


def _missed(text: str, names: Sequence[str], where: str) -> Typed:
    name, rest = one_mark(text, names, where)
    parts = rest.lstrip(" :=,").split(",")
    lengths = [_length(part) for part in parts]
    known = [one for one in lengths if one is not None]
    if len(parts) != 2 or len(known) != 2:
        raise typer.BadParameter(
            f"a miss is 'NAME RIGHT, UP' with units, as in '{name} 34 mm, -12 mm', not {text!r}",
            param_hint=where,
        )
    if max(map(abs, known)) > _FARTHEST:
        raise typer.BadParameter(
            f"{text!r}: a cross falls at most {_FARTHEST:g} m from its mark; look at the unit",
            param_hint=where,
        )
    return Typed(name=name, missed=(known[0], known[1]))


def _length(text: str) -> float | None:
    """Length with its sign, or with a word in its place. [m]"""
    words = text.strip().removeprefix("+").split()
    sign = _SIGNS.get(words[-1].casefold(), 0.0) if words else 0.0
    body = " ".join(words[:-1] if sign else words)
    if body == "0":
        return 0.0  # the one length that is the same in every unit
    read = parse(body, Dimension.LENGTH, subject="miss")
    if isinstance(read, Finding):
        return None
    return read * (sign or 1.0)


def read_taps(texts: Sequence[str], names: Sequence[str]) -> tuple[Tap, ...]:
    """Places of a photo pointed at: "M03 lower @ 812,344".

    Raises
    ------
    typer.BadParameter
        If one is spelled otherwise or names no mark of the set-up.
    """
    made = []
    for text in texts:
        name, rest = one_mark(text.replace("@", " @", 1), names, "--tap")
        match = _TAP.fullmatch(rest)
        if match is None:
            raise typer.BadParameter(f"a tap is 'MARK @ X,Y', not {text!r}", param_hint="--tap")
        made.append(Tap(name=name, x=float(match[1]), y=float(match[2])))
    return tuple(made)


def is_line(text: str, names: Sequence[str]) -> bool:
    """Whether a text of a file is of a level or plumb line, and of no mark that is called so."""
    folded = " ".join(text.split()).casefold()
    begun = any(folded.startswith(f"{name.casefold()} ") for name in names)
    return not begun and folded.startswith(tuple(f"{kind} " for kind in LineKind))


def read_lines(texts: Sequence[str], px_sigma: float) -> tuple[LinePoint, ...]:
    """Points of level and plumb lines: "level 2.40 m: 812.4 77.0", "plumb 27.3 m: 30 400".

    Parameters
    ----------
    px_sigma : float
        How well a point is read; above 0. [px]

    Raises
    ------
    typer.BadParameter
        If one is spelled otherwise.
    """
    made: list[LinePoint] = []
    for text in texts:
        match = _LINE.fullmatch(" ".join(text.split()))
        at = None if match is None else _length(match[2])
        numbers = [] if match is None else [parse_number(match[k], subject=text) for k in (3, 4)]
        px = [one for one in numbers if not isinstance(one, Finding)]
        if match is None or at is None or len(px) != 2:
            raise typer.BadParameter(
                "a point of a line is 'level HEIGHT: X Y' or 'plumb CHAINAGE: X Y', with a unit "
                f"and in pixels, as in 'level 2.40 m: 812.4 77.0', not {text!r}",
                param_hint="--line",
            )
        kind = LineKind(match[1].casefold())
        line = f"{kind} {at:.3f} m"
        count = sum(one.line == line for one in made)
        made.append(
            LinePoint(
                line=line, name=f"{line}, point {count + 1}", kind=kind, at=at, x_px=px[0],
                y_px=px[1], line_sigma=LINE_SET.value, px_sigma=px_sigma,
            )
        )  # fmt: skip
    return tuple(made)
