"""A set-up's marks, found in the photos that were taken of it."""

from __future__ import annotations

from pathlib import Path

from giornata.core.foundation import PhotoError
from giornata.core.projection import SetUp
from giornata.desk.night_photos import PhotoOf, latest_photos
from giornata.desk.photographed import SeenInPhoto, photographed
from giornata.desk.squaring import how_it_stays, marks_seen_events
from giornata.files.site_log import Event
from giornata.web.watching import Ready

__all__ = ["seen_in_photos"]


def seen_in_photos(folder: Path, ready: Ready, one: SetUp, standing: list[Event]) -> SeenInPhoto:
    """The marks in the last photos of a set-up.

    Parameters
    ----------
    standing : list of Event
        Of the site log; the photos are among them.

    Returns
    -------
    SeenInPhoto
        Not refused.

    Raises
    ------
    PhotoError
        If the set-up has no photo of its pattern, or its photos cannot square it; it says why.
    """
    photos = latest_photos(standing, one.number)
    positive, negative, white = (
        folder / photos[of] if of in photos else None
        for of in (PhotoOf.PATTERN, PhotoOf.NEGATIVE, PhotoOf.WHITE)
    )
    if positive is None:
        raise PhotoError(
            f"Set-up {one.number} has no photo of its pattern.",
            remedy="Show the pattern, photograph it, then the negative and plain white.",
        )
    seen = photographed(ready.results, one, positive, negative, white)
    refused = seen.refused
    if refused is not None:
        readings = marks_seen_events(folder, one.number)
        stays = how_it_stays(readings[-1] if readings else None)
        raise PhotoError(
            f"{refused.message} Nothing was written down; the picture is as it was, {stays}.",
            remedy=refused.remedy,
            findings=seen.findings,
        )
    return seen
