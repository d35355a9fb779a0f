"""Drawing the artwork with what is not flat colour outlined and numbered."""

from __future__ import annotations

from pathlib import Path

from giornata.core.job import Design, JobResults, not_flat
from giornata.files import artwork_picture, saving

__all__ = ["draw_artwork"]


def draw_artwork(results: JobResults, design: Design, path: Path) -> None:
    """Write a picture of an option's artwork, as PNG or SVG by the file's ending.

    Parameters
    ----------
    results : JobResults
        Of the job.
    design : Design
        The option that is drawn.
    path : Path
        The file; one that is there is replaced.

    Raises
    ------
    JobFolderError
        If the file cannot be written.
    """
    things = not_flat(results, design)
    decided = {one.thing.number for one in things if one.decided}
    make = (
        artwork_picture.artwork_svg
        if path.suffix.lower() == ".svg"
        else artwork_picture.artwork_png
    )
    saving.replace_file(path, make(design.flat, [one.thing for one in things], decided))
