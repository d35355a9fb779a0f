"""Writes the advance widths of the shipped sans as a module of the core, which reads no files.

Run from the checkout: ``python tools/letter_widths.py``.
"""

from __future__ import annotations

import subprocess
from pathlib import Path

import skia

ROOT = Path(__file__).resolve().parent.parent
FONTS = ROOT / "src/giornata/files/fonts"
TARGET = ROOT / "src/giornata/core/documents/letter_widths.py"
RANGES = ((0x21, 0x7F), (0xA1, 0x180), (0x370, 0x460), (0x2010, 0x2300))
STEP = 10  # thousandths of the type size

HEAD = '''"""Advance widths of the shipped sans, in thousandths of the type size; written by a tool.

Source: the ``hmtx`` tables of IBM Plex Sans Regular and Bold, read by ``tools/letter_widths.py``.
Each line holds a width, rounded to 10 thousandths, and the letters that have it.
"""

from __future__ import annotations

__all__ = ["BOLD", "REGULAR"]


def _read(table: str) -> dict[str, int]:
    widths = {" ": 236, "\\u00a0": 236}
    for line in table.strip("\\n").split("\\n"):
        width, letters = line.split(":", 1)
        widths.update(dict.fromkeys(letters, int(width)))
    return widths

'''


def table(face: str) -> str:
    typeface = skia.Typeface.MakeFromFile(str(FONTS / f"IBMPlexSans-{face}.ttf"))
    font = skia.Font(typeface, 1000)
    points = [c for low, high in RANGES for c in range(low, high) if typeface.unicharToGlyph(c)]
    widths = font.getWidths([typeface.unicharToGlyph(c) for c in points])
    groups: dict[int, str] = {}
    for point, width in zip(points, widths, strict=True):
        if chr(point).isprintable() and width:
            key = STEP * round(width / STEP)
            groups[key] = groups.get(key, "") + chr(point)
    lines = []
    for width, letters in sorted(groups.items()):
        for at in range(0, len(letters), 80):
            part = letters[at : at + 80].replace("\\", "\\\\").replace('"', '\\"')
            lines.append(f"{width}:{part}")
    return "\n".join(lines)


text = HEAD
for face in ("Regular", "Bold"):
    text += f'\n{face.upper()} = _read(\n    """\n{table(face)}\n"""\n)\n'
TARGET.write_text(text, encoding="utf-8")
subprocess.run(["ruff", "format", str(TARGET)], check=True)
