"""Drawings made by others, read and compared with an independent renderer's picture of them.

The renderer is resvg, painting without antialiasing; the comparison is the one of
``tools/corpus_report.py``: areas by colour within 0.1 % of the canvas in sum (total variation), and
no more than 0.15 % of the pixels different away from edges. Where the areas alone differ the
picture is painted finer, up to eight times: a pixel counts as a whole or not at all, so along an
edge the count strays from the area by some pixels, which become less of the canvas the finer it
is; a true difference stays. Nothing else is allowed for the renderer.
"""

from __future__ import annotations

import importlib.util
import os
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from types import ModuleType

import pytest

from giornata.core.foundation import Severity
from giornata.files.artwork import read_artwork

CLIPART = Path("/usr/share/openclipart/svg")
SIDE = 600  # px
SHARE = 0.98  # of the flat drawings that are not flagged

# Drawings on which the renderer and the reader differ, with the reason; none is a reading error.
KNOWN = {
    "painting__fill__icc-color.svg": (
        "An sRGB colour is followed by one of a profile. The first is the fallback of the second"
        " (SVG 1.1, 12.2) and is read; the renderer throws both away."
    ),
}


@pytest.fixture(scope="module")
def report(root: Path) -> ModuleType:
    """The comparison."""
    spec = importlib.util.spec_from_file_location("corpus_report", root / "tools/corpus_report.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["corpus_report"] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def root() -> Path:
    return Path(__file__).resolve().parents[3]


def sample(files: Iterable[Path], count: int) -> list[Path]:
    """Evenly spaced files of a sorted list: the same ones each time."""
    listed = sorted(files)
    return listed[:: max(1, len(listed) // count)][:count]


def compared(report: ModuleType, files: list[Path]) -> tuple[Counter[str], str]:
    """Outcomes counted, and all that is not right by name."""
    verdicts = [report.judged(path, SIDE) for path in files]
    counts = Counter(verdict.outcome for verdict in verdicts)
    odd = [
        f"{v.outcome} {v.name}: area {v.area_error:.3%}, place {v.place_error:.3%} {v.why}"
        for v in verdicts
        if v.outcome == "wrong"
    ]
    wrong = {v.name for v in verdicts if v.outcome == "wrong"}
    said = f"{dict(counts)} of {len(files)}\n" + "\n".join(odd)
    assert wrong <= KNOWN.keys(), said
    return counts, said


@pytest.fixture(scope="module")
def clipart(report: ModuleType) -> list[Path]:
    if not CLIPART.is_dir():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    every = sample(CLIPART.rglob("*.svg"), 400)
    small = [path for path in every if path.stat().st_size < 60_000]
    flat = [path for path in small if report.is_flat_vector(path.read_text("utf-8", "replace"))]
    return sample(flat, 60)


def test_public_domain_drawings(report: ModuleType, clipart: list[Path]) -> None:
    assert len(clipart) >= 30
    counts, said = compared(report, clipart)
    judged = counts["right"] + counts["wrong"]
    assert judged >= 30, said
    assert counts["right"] >= SHARE * judged, said


def test_conformance_drawings(report: ModuleType, root: Path) -> None:
    folder = root.parent / "shared/corpus/svg"
    if not folder.is_dir():
        pytest.skip(f"the conformance drawings are not beside this copy ({folder})")
    flat = [
        path
        for path in folder.glob("*.svg")
        if report.is_flat_vector(path.read_text("utf-8", "replace"))
    ]
    counts, said = compared(report, sorted(flat))
    judged = counts["right"] + counts["wrong"]
    assert judged >= 80, said
    assert counts["right"] >= SHARE * judged, said


def test_drawings_that_are_not_flat_are_flagged(report: ModuleType) -> None:
    if not CLIPART.is_dir():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    small = [p for p in sample(CLIPART.rglob("*.svg"), 200) if p.stat().st_size < 40_000]
    counts, said = compared(
        report,
        [p for p in small if not report.is_flat_vector(p.read_text("utf-8", "replace"))][:20],
    )
    assert counts["flagged"] > 0, said


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
