"""Put the typeface into the source tree from its makers' packages.

Kept so that the next version of the typeface is one command away:

    python tools/unpack_fonts.py

Fetches the two font packages with npm, copies the makers' WOFF2 files for the pages as they
are, and unpacks the makers' WOFF files for paper. A WOFF file holds the tables of a TrueType
font, each compressed with zlib (W3C Recommendation "WOFF File Format 1.0", 2012, section 3 to
5); unpacking gives those tables back byte for byte, so the result is the makers' own font and
not a modified version of it (which the licence would make us rename).
"""

from __future__ import annotations

import shutil
import struct
import subprocess
import tarfile
import tempfile
import zlib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PAPER = ROOT / "src/giornata/files/fonts"
PAGES = ROOT / "src/giornata/web/static/fonts"
PACKAGES = {
    "@ibm/plex-sans@1.1.0": ("IBMPlexSans-Regular", "IBMPlexSans-Bold"),
    "@ibm/plex-mono@2.5.0": ("IBMPlexMono-Regular",),
}


def truetype(woff: bytes) -> bytes:
    """Return the TrueType font that a WOFF 1.0 file carries."""
    signature, flavor, length, count = struct.unpack_from(">4sIIH", woff)
    if signature != b"wOFF" or length != len(woff):
        raise ValueError("not a whole WOFF 1.0 file")
    entries = [struct.unpack_from(">4s4I", woff, 44 + 20 * i) for i in range(count)]
    power = 1 << (count.bit_length() - 1)
    header = struct.pack(
        ">IHHHH", flavor, count, 16 * power, power.bit_length() - 1, 16 * (count - power)
    )
    directory, body = b"", b""
    start = 12 + 16 * count
    for tag, offset, packed, full, checksum in entries:
        table = woff[offset : offset + packed]
        if packed < full:
            table = zlib.decompress(table)
        if len(table) != full:
            raise ValueError(f"table {tag!r} has {len(table)} bytes, not {full}")
        directory += struct.pack(">4sIII", tag, checksum, start + len(body), full)
        body += table + b"\0" * (-full % 4)
    return header + directory + body


def main() -> None:
    """Fetch, copy and unpack."""
    PAPER.mkdir(parents=True, exist_ok=True)
    PAGES.mkdir(parents=True, exist_ok=True)
    for package, faces in PACKAGES.items():
        with tempfile.TemporaryDirectory() as folder:
            packed = subprocess.run(
                ["npm", "pack", "--silent", package],
                cwd=folder,
                check=True,
                capture_output=True,
                text=True,
            )
            with tarfile.open(Path(folder) / packed.stdout.split()[-1]) as archive:
                archive.extractall(folder, filter="data")
            complete = Path(folder) / "package/fonts/complete"
            for face in faces:
                shutil.copyfile(complete / f"woff2/{face}.woff2", PAGES / f"{face}.woff2")
                woff = (complete / f"woff/{face}.woff").read_bytes()
                (PAPER / f"{face}.ttf").write_bytes(truetype(woff))
            licence = Path(folder) / "package/LICENSE.txt"
            for home in (PAPER, PAGES):
                shutil.copyfile(licence, home / "LICENSE.txt")


if __name__ == "__main__":
    main()
