"""The door of the room: a file's path in, a drawing and findings out."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from giornata.core.foundation import ArtworkError, Finding, Place, Severity
from giornata.files.artwork.confinement import Allowance, read_confined
from giornata.files.artwork.inflation import CannotUnpack, unpacked
from giornata.files.artwork.kinds import Kind, kind_of
from giornata.files.artwork.reading import Reading

if TYPE_CHECKING:
    # At run time only where a drawing is made: the reading process passes this door on its way
    # in, and starts in half the time without the numeric libraries behind this room.
    from giornata.core.artwork import Drawing

__all__ = ["LARGEST_RASTER", "LARGEST_VECTOR", "read_artwork"]

LARGEST_VECTOR = 64 * 2**20  # bytes
LARGEST_RASTER = 768 * 2**20  # bytes
_READABLE = "SVG, SVGZ, PDF, PNG, JPEG, TIFF, WebP, HEIC or PSD"


def _size_text(size: int) -> str:
    return f"{size / 2**20:.1f} MiB"


def _head(path: Path) -> tuple[bytes, int]:
    """First bytes and size of a file.

    Raises
    ------
    ArtworkError
        If it is not there, not a file, not readable, empty, or too large for any kind.
    """
    try:
        if not path.exists():
            raise ArtworkError(
                f"There is no artwork file {path}.",
                remedy="Put the file there, or correct its name in job.toml.",
            )
        if not path.is_file():
            raise ArtworkError(
                f"{path} is not a file.", remedy="Name the artwork file itself in job.toml."
            )
        size = path.stat().st_size
        if size > LARGEST_RASTER:
            raise ArtworkError(
                f"{path.name} is {_size_text(size)} large; the limit is"
                f" {_size_text(LARGEST_RASTER)}.",
                remedy="Save the artwork smaller: simpler paths, or fewer pixels.",
            )
        with path.open("rb") as file:
            head = file.read(1_024)
    except OSError as error:
        raise ArtworkError(
            f"{path} cannot be read: {error.strerror or error}.",
            remedy="Check that the file may be read and that its disk is there.",
        ) from error
    if size == 0 or not head.strip(b"\x00 \t\r\n"):
        raise ArtworkError(
            f"{path.name} is empty: it has {size} bytes and nothing in them.",
            remedy="Save the artwork again, or fetch the file again.",
        )
    return head, size


def _ending_finding(path: Path, kind: Kind) -> tuple[Finding, ...]:
    ending = path.suffix.lower()
    if ending in kind.value:
        return ()
    said = f"ends in {ending}" if ending else "has no ending"
    return (
        Finding(
            code="artwork.file_ending",
            severity=Severity.NOTE,
            subject=path.name,
            message=f"The name {said}, but the content is {kind.name}; it is read as {kind.name}.",
            remedy=f"Rename it to end in {kind.value[0]}, so that other programs agree.",
            place=Place(file=path.name),
        ),
    )


def _drawing(reading: Reading, name: str) -> Drawing | None:
    from giornata.core.artwork import Drawing
    from giornata.files.artwork.things import nonflat_things, shape_of

    picture = reading.picture
    if picture is None:
        return None
    return Drawing(
        name=name,
        width=picture.width,
        height=picture.height,
        shapes=tuple(map(shape_of, picture.shapes)),
        groups=picture.groups,
        hidden=picture.hidden,
        things=nonflat_things(picture.things, reading.findings),
    )


def read_artwork(
    path: Path,
    *,
    locked: Sequence[str] = (),
    allowance: Allowance | None = None,
    nearest: Sequence[str] = (),
) -> tuple[Drawing | None, tuple[Finding, ...]]:
    """Flat shapes of an artwork file, and findings.

    The kind is told by the content; a name that disagrees is a finding. Vector files are read in
    a process of their own, with limits on time and memory. Nothing that a file points at is ever
    opened.

    Parameters
    ----------
    path : Path
        The file.
    locked : sequence of str
        Colours, ``#rrggbb``, that are paints of their own in any case. Of use in pictures of pixels
        only: shapes have the colours that they have.
    allowance : Allowance, optional
        Time and memory for a vector file.
    nearest : sequence of str
        ``#rrggbb`` of paints: each pixel of a raster file goes to the one that looks nearest, as
        is decided for pictures that are not flat. A vector file is read as ever.

    Returns
    -------
    drawing : Drawing or None
        None where the file holds nothing that can be read; the findings say why.
    findings : tuple of Finding
        All that is not as drawn. A STOP among them means that the shapes alone are not the
        artwork.

    Raises
    ------
    ArtworkError
        If the file cannot be opened, is empty, too large, of no known kind, damaged in its
        packing, or took too much time or memory.
    """
    path = Path(path)
    head, size = _head(path)
    kind = kind_of(head)
    if kind is None:
        raise ArtworkError(
            f"{path.name} is not {_READABLE}: its content is of no kind that is read.",
            remedy=f"Save the artwork as {_READABLE}.",
        )
    ending = _ending_finding(path, kind)
    if kind.raster:
        from giornata.files.artwork.raster import read_raster
        from giornata.files.artwork.raster_nearest import read_nearest

        if nearest:
            drawing, findings = read_nearest(path, nearest)
            return drawing, ending + findings
        drawing, findings = read_raster(path, locked=locked)
        return drawing, ending + findings
    if size > LARGEST_VECTOR:
        raise ArtworkError(
            f"{path.name} is {_size_text(size)} large; the limit for vector artwork is"
            f" {_size_text(LARGEST_VECTOR)}.",
            remedy="Simplify paths, take out embedded pictures, and save again.",
        )
    try:
        data = path.read_bytes()
    except OSError as error:
        raise ArtworkError(
            f"{path} cannot be read: {error.strerror or error}.",
            remedy="Check that the file may be read and that its disk is there.",
        ) from error
    if kind is Kind.SVGZ:
        try:
            data = unpacked(data, LARGEST_VECTOR)
        except CannotUnpack as error:
            raise ArtworkError(
                f"{path.name} cannot be unpacked. {error}",
                remedy="Save the artwork as plain, uncompressed SVG.",
            ) from error
        kind = Kind.SVG
    reading = read_confined(data, path.name, kind, allowance or Allowance())
    return _drawing(reading, path.name), ending + reading.findings
