"""Layers of PSD that hang on others, and settings that thin them.

The files are written as in `test_raster_layers`, by the published specification of the format
(Adobe Photoshop File Formats Specification, November 2019: layer records, "Fill opacity", layer
mask data). From memory, not looked up: a clipped layer shows where its base does, fades with it,
and is hidden with it.
"""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from typing import Any

import pytest

from giornata.core import artwork
from giornata.core.artwork import Drawing
from giornata.core.foundation import Finding, Severity
from giornata.files.artwork import read_artwork


@pytest.fixture(scope="module")
def made() -> Any:
    """What writes the files."""
    path = Path(__file__).with_name("test_raster_layers.py")
    spec = importlib.util.spec_from_file_location("psd_writing", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["psd_writing"] = module
    spec.loader.exec_module(module)
    return module


def read(made: Any, folder: Path, parts: list[Any]) -> tuple[Drawing, tuple[Finding, ...]]:
    drawing, findings = read_artwork(made.written(folder, made.psd(parts)))
    assert drawing is not None, findings
    return drawing, findings


def test_fill_opacity_thins_a_layer_as_its_opacity_does(made: Any, tmp_path: Path) -> None:
    # 51 / 255 = 0.2 of 204 / 255 = 0.8
    thin = made.Part("thin", (0, 0, 9, 9), opacity=204, extra={b"iOpa": bytes([51, 0, 0, 0])})
    drawing, _ = read(made, tmp_path, [thin])
    assert [shape.opacity for shape in drawing.shapes] == [pytest.approx(0.16)]


def test_what_is_clipped_is_hidden_and_shown_with_its_base(made: Any, tmp_path: Path) -> None:
    base = made.Part("base", (10, 0, 20, 10), made.INK, shown=False)
    over = made.Part("over", (0, 0, 60, 5), made.RED, clipped=True)
    drawing, findings = read(made, tmp_path, [made.GROUND, base, over])
    assert findings == ()
    assert artwork.flattened(drawing).areas() == {made.PALE: 2400}
    # The base is 10 x 10; of it 10 x 5 are under what is clipped.
    shown = artwork.flattened(drawing, show=("base",)).areas()
    assert shown == {made.PALE: 2300, made.INK: 50, made.RED: 50}


def test_what_is_clipped_fades_with_its_base(made: Any, tmp_path: Path) -> None:
    base = made.Part("base", (10, 0, 20, 10), made.INK, opacity=51)
    over = made.Part("over", (0, 0, 60, 5), made.RED, clipped=True)
    drawing, _ = read(made, tmp_path, [base, over])
    assert [shape.opacity for shape in drawing.shapes] == [1.0, 1.0]
    veils = {shape.veils for shape in drawing.shapes}
    assert [veil.opacity for (veil,) in veils] == [pytest.approx(0.2)]


def test_clips_and_masks_that_are_not_read_are_said(made: Any, tmp_path: Path) -> None:
    over = made.Part("over", (0, 0, 60, 5), made.RED, clipped=True)
    thin = made.Part("thin", (0, 0, 9, 9), made.RED, mask=(0, 0, 5, 5))
    thin.mask_tail = bytes([0, 0x10, 1, 128])  # flag: parameters follow; of them the density, 128
    for parts, layer in (([*made.BOAT, over], "over"), ([made.GROUND, thin], "thin")):
        _, findings = read(made, tmp_path, parts)
        said = [(f.code, f.subject) for f in findings if f.severity is Severity.STOP]
        assert said == [("artwork.mask", f"layer {layer}")]
