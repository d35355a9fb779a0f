"""One drawing read and held against the pictures of independent renderers.

By resvg, without antialiasing on either side, on a canvas of ``side`` pixels along its larger
side, a file is

right    if no STOP finding was made, the areas of the colours differ by at most 0.1 % of the
         canvas in sum (total variation), and at most 0.15 % of the pixels still differ after
         those within a pixel of an edge are left out. A drawing whose areas alone differ is
         painted again 4 and 8 times as fine: pixels on edges count for less and less, a true
         difference stays. So nothing more is allowed for the renderer's own pixels.
flagged  if a STOP finding or an error says that it cannot be read as drawn;
told     if it differs, and a WARN finding of the file says what was read otherwise;
refused  if the renderer itself refuses it;
wrong    otherwise.

By Chromium both pictures are antialiased. The same limits hold; pixels count as different in area
from an eighth of full scale on, and a drawing that differs is painted again 4 times as fine.
"""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np

from foreign_art.browser import Chromium
from foreign_art.painting import Pixels, painted, rendered
from foreign_art.sources import few_colours, kinds_in, unknown_to_resvg
from giornata.core.foundation import Severity
from giornata.files.artwork.child import read_vector
from giornata.files.artwork.kinds import Kind
from giornata.files.artwork.reading import Reading

__all__ = ["Verdict", "errors", "judged", "judged_by_browser"]

AREA_LIMIT = 0.001  # of the canvas, total variation over colours
PLACE_LIMIT = 0.0015  # of the pixels, edges left out
FINER = (1, 4, 8)  # times the side: edges alone may exceed the limit where pixels are coarse
ALIKE = 4  # levels by which two renderers may round one colour apart
EIGHTH = 32  # levels
WHOLE = 1.0e-4  # px; a canvas further from whole pixels is stretched to them by a browser
# Findings of severity WARN that say that something is read otherwise than some renderer shows it.
TOLD = frozenset(
    {"artwork.colour", "artwork.marker", "artwork.number", "artwork.stroke", "artwork.unit"}
)


@dataclass(frozen=True, slots=True)
class Verdict:
    """What came of one file."""

    name: str
    outcome: str
    area_error: float = 0.0
    place_error: float = 0.0
    seconds: float = 0.0
    codes: tuple[str, ...] = ()
    flat: bool = True
    by: str = "resvg"
    why: str = ""


def errors(ours: Pixels, theirs: Pixels, alike: int = ALIKE) -> tuple[float, float]:
    """Total variation of colour areas, and share of pixels that differ away from edges.

    Pixels alike within the rounding count on both sides alike, so only the others are told
    apart by colour.
    """
    gap = np.abs(ours.astype(np.int16) - theirs.astype(np.int16)).max(axis=2)
    differs = gap > alike
    size = differs.size
    both = np.concatenate((ours[differs], theirs[differs])).astype(np.uint32)
    packed = both @ np.array([1, 256, 65536, 16777216], dtype=np.uint32)
    values, inverse, counts = np.unique(packed, return_inverse=True, return_counts=True)
    colours = np.stack([(values >> shift) & 255 for shift in (0, 8, 16, 24)], axis=1).astype(int)
    label = np.full(len(values), -1)
    for index in np.argsort(-counts, kind="stable"):
        if label[index] < 0:
            near = (np.abs(colours - colours[index]).max(axis=1) <= alike) & (label < 0)
            label[near] = index
    named = label[inverse]
    half = len(named) // 2
    areas = np.bincount(named[:half], minlength=len(values)) - np.bincount(
        named[half:], minlength=len(values)
    )
    apart = cv2.erode((gap > ALIKE).astype(np.uint8), np.ones((3, 3), np.uint8))
    return float(np.abs(areas).sum() / 2 / size), float(apart.mean())


def _read(path: Path) -> tuple[bytes, Reading, Verdict]:
    """The file, its reading, and the verdict as far as it can be told without a renderer."""
    data = path.read_bytes()
    begun = time.perf_counter()
    reading = read_vector(data, path.name, Kind.SVG)
    verdict = Verdict(path.name, "", seconds=time.perf_counter() - begun)
    # A file in which nothing shows is right if the renderer shows nothing either.
    stops = sorted(
        {f.code for f in reading.findings if f.severity is Severity.STOP} - {"artwork.empty"}
    )
    if stops:
        said = next(f for f in reading.findings if f.code == stops[0])
        return (
            data,
            reading,
            replace(verdict, outcome="flagged", codes=tuple(stops), why=said.message),
        )
    if reading.picture is None:
        return data, reading, replace(verdict, outcome="wrong", why="nothing read, nothing said")
    return data, reading, verdict


def _differs(reading: Reading, verdict: Verdict) -> Verdict:
    for finding in reading.findings:
        if finding.severity is Severity.WARN and finding.code in TOLD:
            return replace(verdict, outcome="told", codes=(finding.code,), why=finding.message)
    return replace(verdict, outcome="wrong")


def judged(path: Path, side: int = 1200, browser: Chromium | None = None) -> Verdict:
    """One file by resvg; by the browser where resvg does not know what it holds."""
    data, reading, verdict = _read(path)
    source = data.decode("utf-8", "replace")
    unknown = unknown_to_resvg(source)
    first = rendered(source, side)
    flat = not kinds_in(source) and (first is None or few_colours(first[0]))
    verdict = replace(verdict, flat=flat)
    if verdict.outcome:
        return verdict
    if unknown and browser is not None:
        return replace(
            judged_by_browser(path, browser, side), flat=flat, why=f"resvg does not know {unknown}"
        )
    if first is None:
        return replace(verdict, outcome="refused")
    assert reading.picture is not None
    for finer in FINER:
        picture = first if finer == 1 else rendered(source, side * finer)
        if picture is None:
            return replace(verdict, outcome="refused")
        theirs, zoom = picture
        # resvg rounds its canvas up to whole pixels; what lies in the rest is not on the canvas
        high = int(reading.picture.height * zoom + WHOLE)
        wide = int(reading.picture.width * zoom + WHOLE)
        theirs = theirs[:high, :wide]
        ours = painted(reading.picture, theirs.shape[1], theirs.shape[0], zoom)
        area, place = errors(ours, theirs)
        verdict = replace(verdict, area_error=area, place_error=place)
        if area <= AREA_LIMIT and place <= PLACE_LIMIT:
            return replace(verdict, outcome="right")
        if place > PLACE_LIMIT:
            break
    return _differs(reading, replace(verdict, why=f"{unknown} unknown to resvg" if unknown else ""))


def judged_by_browser(path: Path, browser: Chromium, side: int = 1200) -> Verdict:
    """One file by Chromium."""
    data, reading, verdict = _read(path)
    verdict = replace(verdict, by="Chromium")
    if verdict.outcome:
        return verdict
    assert reading.picture is not None
    width, height = reading.picture.width, reading.picture.height
    if max(abs(side - round(side)) for side in (width, height)) > WHOLE:
        return replace(
            verdict, outcome="refused", why="the browser stretches a canvas to whole pixels"
        )
    for finer in (1, 4):
        picture = browser.picture(data, width, height, side * finer)
        if picture is None:
            return replace(verdict, outcome="refused")
        theirs, zoom = picture
        ours = painted(reading.picture, theirs.shape[1], theirs.shape[0], zoom, smooth=True)
        area, place = errors(ours, theirs, EIGHTH)
        verdict = replace(verdict, area_error=area, place_error=place)
        if area <= AREA_LIMIT and place <= PLACE_LIMIT:
            return replace(verdict, outcome="right")
    return _differs(reading, verdict)
