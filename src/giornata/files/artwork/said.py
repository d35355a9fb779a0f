"""Which finding speaks of which thing that is not flat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from giornata.core.foundation import Finding
from giornata.files.artwork.display import Thing
from giornata.files.artwork.reading import page_findings

__all__ = ["called", "said_of"]

_CODES = {
    "gradient": "artwork.gradient",
    "pattern": "artwork.pattern",
    "picture": "artwork.image",
    "effect": "artwork.filter",
    "lettering": "artwork.text",
}
_PAGE_KINDS = {"picture": "image", "lettering": "text"}


def called(things: Sequence[Thing], marks: Mapping[str, Thing]) -> None:
    """Give patterns the name that the source gives their cell."""
    for thing in things:
        if thing.source in marks:
            thing.source = marks[thing.source].source


def said_of(
    name: str, things: Sequence[Thing], findings: tuple[Finding, ...]
) -> tuple[Finding, ...]:
    """All findings, each thing told which is its own; one is added for a kind without any.

    Parameters
    ----------
    name : str
        File name.
    things : sequence of Thing
        What is not flat.
    findings : tuple of Finding
        All that is said so far.
    """
    listed = list(findings)
    for thing in things:
        code = _CODES[thing.kind]
        own = [at for at, one in enumerate(listed) if one.code == code]
        if not own:
            listed.extend(page_findings(name, {_PAGE_KINDS.get(thing.kind, thing.kind): {""}}))
            own = [at for at, one in enumerate(listed) if one.code == code]
        if not own:
            raise ValueError(f"nothing is said of a {thing.kind}")
        quoted = f'"{thing.source}"'
        ways = (
            [at for at in own if thing.source and listed[at].subject.endswith(quoted)],
            [at for at in own if thing.line and _line(listed[at]) == thing.line],
            [at for at in own if listed[at].subject.endswith("more of the kind")],
        )
        thing.finding = next((way[0] for way in ways if way), own[0])
    return tuple(listed)


def _line(finding: Finding) -> int:
    return 0 if finding.place is None else finding.place.line
