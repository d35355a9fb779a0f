"""Changes of the job file's marks; comments and all else stay as they are."""

from __future__ import annotations

from collections.abc import Sequence

import tomlkit
from tomlkit.items import Array

from giornata.core.setting_out import ChalkedMark
from giornata.files.photo_changes import length_text

__all__ = ["put_marks"]


def put_marks(
    document: tomlkit.TOMLDocument, lost: Sequence[str], chalked: Sequence[ChalkedMark]
) -> None:
    """List marks as lost and as chalked in ``[marks]``, behind those that are listed already.

    Parameters
    ----------
    document : tomlkit.TOMLDocument
        The job file.
    lost : sequence of str
        Names; one that is listed is not listed again.
    chalked : sequence of ChalkedMark
        New ones.
    """
    marks = document.setdefault("marks", tomlkit.table())
    names = _listed(marks, "lost", multiline=False)
    for name in lost:
        if name not in names:
            names.append(name)
    rows = _listed(marks, "chalked", multiline=True)
    for one in chalked:
        row = tomlkit.inline_table()
        row["name"] = one.name
        row["chainage"] = length_text(one.chainage)
        row["level"] = length_text(one.level)
        rows.append(row)
    for key, value in (("lost", names), ("chalked", rows)):
        if len(value):
            marks[key] = value


def _listed(marks: tomlkit.items.Table, key: str, *, multiline: bool) -> Array:
    """The array that is there, its entries in it whichever way they were written."""
    made = tomlkit.array().multiline(multiline)
    for entry in marks.get(key, []):
        if isinstance(entry, dict):
            row = tomlkit.inline_table()
            row.update(entry)
            made.append(row)
        else:
            made.append(entry)
    return made
