"""A reading as bytes, from the process that reads to the one that asked.

A line of JSON, then the areas as well-known binary one after another. Nothing in it can be
executed, so a reader led astray by a hostile file can at worst send a wrong drawing.
"""

from __future__ import annotations

import json
from typing import Any

from giornata.core.foundation import Finding, Place, Severity
from giornata.files.artwork.display import Picture
from giornata.files.artwork.reading import Reading
from giornata.files.artwork.transfer_things import (
    Blocks,
    flat_from_plain,
    flat_to_plain,
    thing_from_plain,
    thing_to_plain,
)

__all__ = ["from_bytes", "to_bytes"]


def _finding_to_plain(finding: Finding) -> dict[str, Any]:
    place = finding.place
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "subject": finding.subject,
        "message": finding.message,
        "remedy": finding.remedy,
        "place": None if place is None else [place.file, place.line],
    }


def _finding_from_plain(plain: dict[str, Any]) -> Finding:
    place = plain.pop("place")
    return Finding(
        severity=Severity(plain.pop("severity")),
        place=None if place is None else Place(file=place[0], line=place[1]),
        **plain,
    )


def to_bytes(reading: Reading) -> bytes:
    """The reading as bytes."""
    blocks = Blocks()
    plain: dict[str, Any] = {"findings": [_finding_to_plain(f) for f in reading.findings]}
    picture = reading.picture
    if picture is not None:
        plain["picture"] = {
            "width": picture.width,
            "height": picture.height,
            "groups": picture.groups,
            "hidden": picture.hidden,
            "shapes": [flat_to_plain(shape, blocks) for shape in picture.shapes],
            "things": [thing_to_plain(thing, blocks) for thing in picture.things],
        }
    return b"".join((json.dumps(plain).encode("ascii"), b"\n", *blocks.parts))


def from_bytes(data: bytes) -> Reading:
    """The reading that ``to_bytes`` made into bytes.

    Raises
    ------
    ValueError
        If the bytes are not a whole reading.
    """
    head, newline, body = data.partition(b"\n")
    if not newline:
        raise ValueError("the reading is cut short")
    plain = json.loads(head)
    findings = tuple(_finding_from_plain(each) for each in plain["findings"])
    if "picture" not in plain:
        return Reading(picture=None, findings=findings)
    picture = plain["picture"]
    blocks = Blocks(body)
    return Reading(
        picture=Picture(
            width=picture["width"],
            height=picture["height"],
            shapes=tuple(flat_from_plain(each, blocks) for each in picture["shapes"]),
            groups=tuple(picture["groups"]),
            hidden=tuple(picture["hidden"]),
            things=tuple(thing_from_plain(each, blocks) for each in picture["things"]),
        ),
        findings=findings,
    )
