"""Changes of the job file that come from photos; comments and all else stay as they are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import PurePosixPath
from typing import Any

import tomlkit
from tomlkit.items import AoT, Array, Comment, Whitespace

from giornata.core.foundation import PhotoError

__all__ = [
    "add_photo", "length_text", "put_levels", "put_obstacle", "put_opening", "put_row",
    "set_outlines", "set_points",
]  # fmt: skip

Document = tomlkit.TOMLDocument
_SAME_PLACE = 0.05  # m; a reading nearer than this to one that was taped gives way to it


def length_text(value: float) -> str:
    """A length as the job file has it, to the millimetre."""
    return f"{round(value, 3) + 0.0:.3f} m"


def add_photo(document: Document, file: str, name: str) -> None:
    """A new photo without points; it comes last."""
    table = tomlkit.table()
    table["file"] = file
    if name and name != PurePosixPath(file).stem:
        table["name"] = name
    table["points"] = tomlkit.array()
    _appended(document, "photos", table)


def set_points(document: Document, label: str, points: Iterable[Mapping[str, Any]]) -> None:
    """The known points of a photo, in place of those it had.

    Raises
    ------
    PhotoError
        If the file has no such photo.
    """
    _photo(document, label)["points"] = _rows(points)


def set_outlines(document: Document, label: str, outlines: Iterable[Mapping[str, Any]]) -> None:
    """The outlines drawn on a photo, in place of those it had.

    Raises
    ------
    PhotoError
        If the file has no such photo.
    """
    photo = _photo(document, label)
    rows = _rows(outlines)
    if isinstance(photo.get("outlines"), AoT):
        del photo["outlines"]
    photo["outlines"] = rows


def put_opening(document: Document, name: str, corners: Sequence[tuple[float, float]]) -> bool:
    """An opening by its corners on the wall; whether one of that name gave way to it."""
    outline = tomlkit.array()
    for chainage, level in corners:
        outline.append([length_text(chainage), length_text(level)])
    return _put_named(document, "openings", {"name": name, "corners": outline.multiline(True)})


def put_obstacle(
    document: Document, name: str, start: float, end: float, height: float
) -> bool:  # fmt: skip
    """An obstacle by its ends and its height above the ground; whether one gave way to it. [m]"""
    entry = {
        "name": name,
        "kind": name.lower(),
        "from": length_text(start),
        "to": length_text(end),
        "height": length_text(height),
    }
    return _put_named(document, "obstacles", entry)


def put_levels(
    document: Document, line: str, readings: Iterable[tuple[float, float]], taped: Sequence[float]
) -> int:
    """Readings of the top or the ground put among those that were taped; how many gave way to them.

    Parameters
    ----------
    line : str
        "top" or "ground".
    readings : iterable of (float, float)
        Chainage and level. [m]
    taped : sequence of float
        Chainages of the readings that are there, in the file's order. [m]
    """
    wall: Any = document["wall"]
    rows = wall.get(line)
    here = list(taped)
    left_out = 0
    if rows is None:
        rows = wall[line] = tomlkit.array().multiline(True)
    for at, level in sorted(readings):
        if any(abs(at - other) < _SAME_PLACE for other in here):
            left_out += 1
            continue
        index = sum(other <= at for other in here)
        here.insert(index, at)
        entry: Any = _inline({"at": length_text(at), "level": length_text(level)})
        if isinstance(rows, AoT):
            entry = tomlkit.table()
            entry.update({"at": length_text(at), "level": length_text(level)})
        rows.insert(index, entry)
    return left_out


def put_row(parent: Any, key: str, entry: Mapping[str, Any]) -> None:
    """A last row of a list of tables that is there, written as its other rows are.

    Parameters
    ----------
    parent : tomlkit table
        What holds the list.
    key : str
        Of the list.
    entry : mapping of str to str
        The row.
    """
    rows = parent[key]
    if isinstance(rows, AoT):
        table = tomlkit.table()
        table.update(entry)
        table.add(tomlkit.nl())
        _appended(parent, key, table)
    else:
        rows.append(_inline(entry))


def _photo(document: Document, label: str) -> Any:
    photos: Any = document.get("photos", [])
    for photo in photos:
        if label == (photo.get("name") or PurePosixPath(photo["file"]).stem):
            return photo
    raise PhotoError(
        f"The job has no photo {label!r}.", remedy="giornata photo lists the job's photos."
    )


def _put_named(document: Document, key: str, entry: Mapping[str, Any]) -> bool:
    wall: Any = document["wall"]
    rows = wall.get(key, [])
    for index, row in enumerate(rows):
        if row.get("name") == entry["name"]:
            comments = isinstance(rows, AoT)
            for old in [one for one in row if one not in entry]:
                del row[old]
            row.update(entry)
            if not comments:
                rows[index] = row
            return True
    if len(rows):
        put_row(wall, key, entry)
    else:
        table = tomlkit.table()
        table.update(entry)
        table.add(tomlkit.nl())
        _appended(wall, key, table)
    return False


def _appended(parent: Any, key: str, table: Any) -> None:
    existing = parent.get(key)
    if isinstance(existing, AoT):
        behind = _words_behind(existing[-1])
        existing.append(table)
        for item in behind:
            table.add(item)
        return
    if isinstance(existing, Array) and len(existing):
        existing.append(_inline(table))
        return
    if existing is not None:
        del parent[key]
    rows = tomlkit.aot()
    rows.append(table)
    parent.append(key, rows)


def _words_behind(table: Any) -> list[Any]:
    """Comments behind a table after an empty line, taken from it: they speak of what comes next."""
    body = table.value.body
    last = max((place for place, (key, _) in enumerate(body) if key is not None), default=-1)
    first = next(
        (place for place in range(last + 1, len(body)) if isinstance(body[place][1], Whitespace)),
        len(body),
    )
    behind = [item for _, item in body[first + 1 :]]
    if not any(isinstance(item, Comment) for item in behind):
        return []
    del body[first + 1 :]
    return behind


def _inline(entry: Mapping[str, Any]) -> Any:
    row = tomlkit.inline_table()
    row.update(entry)
    return row


def _rows(entries: Iterable[Mapping[str, Any]]) -> Any:
    rows = tomlkit.array().multiline(True)
    for entry in entries:
        rows.append(_inline(entry))
    return rows
