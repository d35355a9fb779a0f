"""Drawings made by others, read and compared with independent renderers' pictures of them.

The renderers are resvg, painting without antialiasing, and Chromium for what resvg does not know;
the comparison is the one of ``tools/foreign_art/comparing.py``: areas by colour within 0.1 % of the
canvas in sum (total variation), and no more than 0.15 % of the pixels different away from edges.
Where the areas alone differ the picture is painted finer, up to eight times: a pixel counts as a
whole or not at all, so along an edge the count strays from the area by some pixels, which become
less of the canvas the finer it is; a true difference stays. Nothing else is allowed for the
renderer.
"""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import nullcontext
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from giornata.core.foundation import Severity
from giornata.files.artwork import read_artwork

CLIPART = Path("/usr/share/openclipart/svg")
SIDE = 600  # px
SHARE = 0.985  # of all flat drawings
CORPUS = "GIORNATA_CORPUS"  # a folder of SVG files, beside the drawings of Debian


@pytest.fixture(scope="module")
def browser(report: ModuleType) -> Iterator[Any]:
    """Chromium, or None where there is none."""
    path = report.chromium_path()
    with report.Chromium(path) if path else nullcontext() as running:
        yield running


def sample(files: Iterable[Path], count: int) -> list[Path]:
    """Evenly spaced files of a sorted list: the same ones each time."""
    listed = sorted(files)
    return listed[:: max(1, len(listed) // count)][:count]


def compared(
    report: ModuleType, files: list[Path], browser: Any = None
) -> tuple[Counter[str], str]:
    """Outcomes of flat drawings counted, and all that is not right by name; none is wrong."""
    verdicts = [report.judged(path, SIDE, browser) for path in files]
    flat = [v for v in verdicts if v.flat]
    said = "\n".join(
        f"{v.outcome} {v.name}: area {v.area_error:.3%}, place {v.place_error:.3%} {v.why}"
        for v in verdicts
        if v.outcome != "right"
    )
    assert [v.name for v in verdicts if v.outcome == "wrong"] == [], said
    return Counter(v.outcome for v in flat), said


@pytest.fixture(scope="module")
def clipart(report: ModuleType) -> list[Path]:
    if not CLIPART.is_dir():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    every = sample(CLIPART.rglob("*.svg"), 400)
    small = [path for path in every if path.stat().st_size < 30_000]
    flat = [path for path in small if report.flat_by_source(path.read_text("utf-8", "replace"))]
    return sample(flat, 36)  # ``make corpus`` takes 300


def test_public_domain_drawings(report: ModuleType, clipart: list[Path]) -> None:
    assert len(clipart) >= 30
    counts, said = compared(report, clipart)
    assert counts.total() >= 30, said
    assert counts["right"] >= SHARE * counts.total(), said


def test_conformance_drawings(report: ModuleType, browser: Any) -> None:
    folder = os.environ.get(CORPUS)
    if not folder:
        pytest.skip(f"{CORPUS} names no folder of drawings")
    flat = [
        path
        for path in sorted(Path(folder).glob("*.svg"))
        if report.flat_by_source(text := path.read_text("utf-8", "replace"))
        and (browser is not None or not report.unknown_to_resvg(text))
    ]
    counts, said = compared(report, flat, browser)
    assert counts.total() >= 80, said
    assert counts["right"] >= SHARE * counts.total(), said


@pytest.mark.browser
def test_public_domain_drawings_as_a_browser_shows_them(
    report: ModuleType, browser: Any, clipart: list[Path]
) -> None:
    if browser is None:
        if os.environ.get("CI"):
            pytest.fail("no Chromium on this machine; tools/need-chromium installs one")
        pytest.skip("no Chromium on this machine; tools/need-chromium installs one")
    # Of a canvas that is not of whole pixels the browser makes one that is; it is no judge there.
    verdicts = [report.judged_by_browser(path, browser, SIDE) for path in clipart[::3]]
    assert [v for v in verdicts if v.outcome not in ("right", "refused")] == []
    assert sum(v.outcome == "right" for v in verdicts) >= 2


def test_drawings_that_are_not_flat_are_flagged(report: ModuleType) -> None:
    if not CLIPART.is_dir():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    small = [p for p in sample(CLIPART.rglob("*.svg"), 200) if p.stat().st_size < 40_000]
    files = [p for p in small if not report.flat_by_source(p.read_text("utf-8", "replace"))][:20]
    verdicts = [report.judged(path, SIDE) for path in files]
    assert {v.outcome for v in verdicts} <= {"flagged", "right"}
    assert any(v.outcome == "flagged" for v in verdicts)


def test_faces_that_overlap_by_a_rounding_are_joined() -> None:
    # This outline crosses itself so closely that the faces of its arrangement overlap.
    path = CLIPART / "people/nonno_sport_architetto_f_01.svg"
    if not path.is_file():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    drawing, findings = read_artwork(path)
    assert drawing is not None
    assert [f for f in findings if f.severity is Severity.STOP] == []
    assert all(shape.area.is_valid for shape in drawing.shapes)


def test_a_drawing_through_the_door(clipart: list[Path]) -> None:
    read = [read_artwork(path) for path in clipart[:3]]
    for drawing, findings in read:
        assert drawing is not None
        assert drawing.shapes
        assert [f for f in findings if f.severity is Severity.STOP] == []
