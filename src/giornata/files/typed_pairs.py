"""Marks and where they were seen, typed into a small text or CSV file."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from giornata.core.foundation import JobFolderError
from giornata.files.saving import outside_faults

__all__ = ["typed_pairs"]

_MOST = 200_000  # bytes: a thousand marks are far fewer
_HEADS = (("x_px", "y_px", "{} {} px"), ("right_mm", "up_mm", "{} mm, {} mm"),
          ("right", "up", "{}, {}"))  # fmt: skip


def typed_pairs(path: Path) -> tuple[str, ...]:
    """The lines of the file, each as it could be typed: "M03 812.4 77.0 px", "M03 34 mm, -12 mm".

    Parameters
    ----------
    path : Path
        Text, one mark a line, what follows "#" left out; or CSV with the heads ``mark`` and
        either ``x_px`` and ``y_px``, ``right_mm`` and ``up_mm``, or ``right`` and ``up`` with
        units in their cells.

    Raises
    ------
    JobFolderError
        If the file cannot be read, is no text, or has other heads.
    """
    with outside_faults(path, "Reading"), path.open("rb") as file:
        content = file.read(_MOST + 1)
    if len(content) > _MOST:  # cut off, perhaps within a letter
        raise JobFolderError(f"{path}: is no list of marks.", remedy=_remedy())
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise JobFolderError(
            f"{path}: is not text in UTF-8.", remedy="Save it as UTF-8 in a text editor."
        ) from fault
    if "\0" in text:
        raise JobFolderError(f"{path}: is no list of marks.", remedy=_remedy())
    lines = [line.partition("#")[0].strip() for line in text.splitlines()]
    lines = [line for line in lines if line]
    first = lines[0].casefold() if lines else ""
    for sign in ",;\t":
        if first.split(sign)[0].strip(" \"'") == "mark" and sign in first:
            return _from_table(path, lines, sign)
    if not lines:
        raise JobFolderError(f"{path}: holds no mark.", remedy=_remedy())
    return tuple(lines)


def _from_table(path: Path, lines: list[str], sign: str) -> tuple[str, ...]:
    table = io.StringIO("\n".join(lines))
    try:
        rows = list(csv.reader(table, delimiter=sign, skipinitialspace=True))
    except csv.Error as fault:
        raise JobFolderError(f"{path}: {fault}.", remedy=_remedy()) from fault
    heads = [head.strip().casefold() for head in rows[0]]
    found = next(((x, y, form) for x, y, form in _HEADS if {x, y} <= set(heads)), None)
    if found is None or any(len(row) != len(heads) for row in rows):
        raise JobFolderError(f"{path}: its heads or a row do not fit.", remedy=_remedy())
    x, y, form = found
    name, first, second = (heads.index(head) for head in ("mark", x, y))
    return tuple(
        f"{row[name].strip()} {form.format(row[first].strip(), row[second].strip())}"
        for row in rows[1:]
    )


def _remedy() -> str:
    return (
        'Write one mark a line, "M03 upper 812.4 77.0 px" or "M03 upper 34 mm, -12 mm" (right and '
        "up of the mark), or a table with the heads mark, x_px, y_px or mark, right_mm, up_mm."
    )
