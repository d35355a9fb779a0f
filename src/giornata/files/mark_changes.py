"""Changes of the job file's marks; comments and all else stay as they are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import tomlkit

from giornata.core.setting_out import ChalkedMark
from giornata.files.photo_changes import length_text, put_row

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
    marks: Any = document.setdefault("marks", tomlkit.table())
    names = marks.get("lost", tomlkit.array())
    for name in lost:
        if name not in names:
            names.append(name)
    if len(names) and "lost" not in marks:
        marks["lost"] = names
    for one in chalked:
        entry = {
            "name": one.name,
            "chainage": length_text(one.chainage),
            "level": length_text(one.level),
        }
        if "chalked" not in marks:
            marks["chalked"] = tomlkit.array().multiline(True)
        put_row(marks, "chalked", entry)
