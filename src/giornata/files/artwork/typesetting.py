"""Plain SVG to a one-page PDF, by way of the typesetter that also makes the papers."""

from __future__ import annotations

import io
from typing import Any

import pikepdf

from giornata.core.foundation import RenderError

__all__ = ["PX_PER_PT", "page_of"]

PX_PER_PT = 96.0 / 72.0  # CSS Values and Units Level 3, section 6.2
_PAGE = b'#set page(width: auto, height: auto, margin: 0pt)\n#image("drawing.svg")\n'


def page_of(svg: bytes) -> pikepdf.Pdf:
    """The drawing as a PDF of one page, 3/4 point to the pixel.

    Parameters
    ----------
    svg : bytes
        As written by ``plain_svg``: it points at nothing outside itself.

    Raises
    ------
    RenderError
        If the converter refuses the drawing.
    """
    import typst

    # A dict of files is taken as the whole world (the stubs do not know of it): no disk.
    files: Any = {"main.typ": _PAGE, "drawing.svg": svg}
    try:
        data: bytes = typst.compile(files, ignore_system_fonts=True, pdf_tags=False)
    except RuntimeError as error:
        raise RenderError(
            f"The drawing cannot be converted: {str(error).splitlines()[0][:300]}",
            remedy="Save the drawing again as plain SVG.",
        ) from error
    return pikepdf.open(io.BytesIO(data))
