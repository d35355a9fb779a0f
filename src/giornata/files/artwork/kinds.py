"""What kind of artwork a file is, by its content."""

from __future__ import annotations

from enum import Enum

__all__ = ["Kind", "kind_of"]

_HEAD = 1_024  # bytes looked at; a PDF's header may stand this far in (ISO 32000-1, annex H)
# ISO/IEC 23008-12, annex B: pictures coded by HEVC, and containers of any pictures.
_HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"msf1")
_MARKS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


class Kind(Enum):
    """A format that is read, with the endings its files go by."""

    SVG = (".svg",)
    SVGZ = (".svgz",)
    PDF = (".pdf", ".ai")
    PNG = (".png",)
    JPEG = (".jpg", ".jpeg", ".jpe", ".jfif")
    TIFF = (".tif", ".tiff")
    WEBP = (".webp",)
    HEIC = (".heic", ".heif", ".hif")
    PSD = (".psd", ".psb")

    @property
    def raster(self) -> bool:
        """Whether it holds pixels."""
        return self not in (Kind.SVG, Kind.SVGZ, Kind.PDF)


def kind_of(head: bytes) -> Kind | None:
    """Kind of a file, or None where it is none that is read.

    Parameters
    ----------
    head : bytes
        Its first bytes, 1,024 or more where it has them.

    Examples
    --------
    >>> kind_of(b"<svg/>"), kind_of(b"GIF89a")
    (<Kind.SVG: ('.svg',)>, None)
    """
    head = head[:_HEAD]
    if head.startswith(b"\x89PNG\r\n\x1a\n"):
        return Kind.PNG
    if head.startswith(b"\xff\xd8\xff"):
        return Kind.JPEG
    if head[:4] in (b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+"):
        return Kind.TIFF
    if head.startswith(b"RIFF") and head[8:12] == b"WEBP":
        return Kind.WEBP
    if head[4:8] == b"ftyp" and head[8:12] in _HEIC_BRANDS:
        return Kind.HEIC
    if head[:6] in (b"8BPS\x00\x01", b"8BPS\x00\x02"):
        return Kind.PSD
    if b"%PDF-" in head:
        return Kind.PDF
    if head.startswith(b"\x1f\x8b"):
        return Kind.SVGZ
    text = head
    for mark in _MARKS:
        text = text.removeprefix(mark)
    if text.replace(b"\x00", b"").lstrip().startswith(b"<"):
        return Kind.SVG
    return None
