"""Make docs/pictures/pack.png from a pack: four of its pages, side by side.

Run ``giornata demo --to demo-job``, then
``python tools/pack_picture.py demo-job/pack docs/pictures/pack.png``.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pypdfium2
from PIL import Image

PAGES = (  # file, page, column, row: A4 and A3 at 60 dots an inch
    ("elevation.pdf", 0, 0, 0),
    ("proposal.pdf", 0, 1, 0),
    ("reference-sheets.pdf", 1, 0, 1),
    ("set-up-cards.pdf", 4, 1, 1),
)
WIDE, NARROW, HIGH, GAP = 992, 496, 702, 14
SURROUND = (154, 154, 154)


def main(pack: Path, target: Path) -> None:
    """Draw the pages at twice the size and bring them down, so that thin lines stay."""
    picture = Image.new("RGB", (WIDE + NARROW + 3 * GAP, 2 * HIGH + 3 * GAP), SURROUND)
    for name, page, column, row in PAGES:
        sheet = pypdfium2.PdfDocument(pack / name)[page]
        width = (WIDE, NARROW)[column]
        drawn = sheet.render(scale=2 * HIGH / sheet.get_height()).to_pil()
        drawn.thumbnail((width, HIGH), Image.Resampling.LANCZOS)
        at = (GAP + column * (WIDE + GAP), GAP + row * (HIGH + GAP))
        picture.paste(drawn, at)
    picture.save(target, optimize=True)  # in full colour: a palette would falsify the paints


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
