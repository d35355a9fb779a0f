"""Layers of PSD that hang on others, settings that thin them, and what else is not in their pixels.

The files are written as in `test_raster_layers`, by the published specification of the format
(Adobe Photoshop File Formats Specification, November 2019: layer records, "Fill opacity", layer
mask data, layer blending ranges data, "Artboard Data", image resources 1007 and 1077). That a
channel's kind 2 is a spot ink, the specification does not say; psd_sdk does (`PsdAlphaChannel.h`,
"stores spot color data"). From memory, not looked up: a clipped layer shows where its base does,
fades with it, and is hidden with it.
"""

from __future__ import annotations

import importlib.util
import struct
import sys
from pathlib import Path
from typing import Any

import pytest

from giornata.core import artwork
from giornata.core.artwork import Drawing
from giornata.core.foundation import Finding, Severity
from giornata.files.artwork import read_artwork
from giornata.files.artwork.raster_nearest import read_nearest


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


WHOLE = bytes([0, 0, 255, 255])


@pytest.mark.parametrize(
    ("ranges", "said"),
    [
        (WHOLE * 10, False),  # grey, red, green, blue and opacity; each the layer's and below
        (bytes([0, 0, 200, 255]) + WHOLE * 9, True),
        (WHOLE + bytes([10, 20, 255, 255]) + WHOLE * 8, True),
        (WHOLE * 6 + bytes([0, 0, 254, 254]) + WHOLE * 3, True),  # blue
        (WHOLE * 8 + bytes(8), False),  # opacity has no such range
    ],
)
def test_layers_that_show_by_brightness_are_said(
    ranges: bytes, said: bool, made: Any, tmp_path: Path
) -> None:
    over = made.Part("over", (0, 0, 9, 9), made.RED, ranges=ranges)
    _, findings = read(made, tmp_path, [made.GROUND, over])
    expected = [("artwork.blend", "layer over", Severity.STOP)] if said else []
    assert [(f.code, f.subject, f.severity) for f in findings] == expected


def board() -> bytes:
    """Data of an artboard of 30 by 30: a descriptor with its box and the kind of its background."""

    def text(said: bytes) -> bytes:
        return struct.pack(">I", len(said)) + said

    sides = {b"Top ": 0, b"Left": 0, b"Btom": 30, b"Rght": 30}
    box = struct.pack(">I", 0) + text(b"classFloatRect") + struct.pack(">I", len(sides))
    box += b"".join(bytes(4) + key + b"doub" + struct.pack(">d", at) for key, at in sides.items())
    ground = text(b"artboardBackgroundType") + b"long" + struct.pack(">I", 1)
    head = struct.pack(">II", 16, 0) + text(b"artboard") + struct.pack(">I", 2)
    return head + text(b"artboardRect") + b"Objc" + box + ground


def test_artboards_are_said(made: Any, tmp_path: Path) -> None:
    parts = [
        made.Part("</Layer group>", divider=3),
        made.Part("hull", (10, 10, 30, 30), made.INK),
        made.Part("sheet", divider=1, extra={b"artb": board()}),
    ]
    drawing, findings = read(made, tmp_path, parts)
    assert [(f.code, f.subject, f.severity) for f in findings] == [
        ("artwork.layer", "layer sheet", Severity.STOP)
    ]
    assert artwork.flattened(drawing).areas() == {"": 2000, made.INK: 400}


def channel_list(number: int, kinds: list[int]) -> bytes:
    """Image resource that says what channels beyond those of the colour mode are."""
    channels = [struct.pack(">6HB", 0, 0xFFFF, 0, 0, 0, 100, kind) for kind in kinds]
    data = {1077: struct.pack(">I", 1) + b"".join(channels)}.get(
        number, b"".join(one + b"\0" for one in channels)
    )
    held = b"8BIM" + struct.pack(">HHI", number, 0, len(data)) + data
    return held + bytes(len(data) % 2)


@pytest.mark.parametrize("mode", [3, 4])
@pytest.mark.parametrize("number", [1007, 1077])
@pytest.mark.parametrize(("kinds", "said"), [([0, 2], True), ([0, 1], False)])
def test_spot_channels_are_said(
    kinds: list[int], said: bool, number: int, mode: int, made: Any, tmp_path: Path
) -> None:
    resources = channel_list(number, kinds)
    content = made.psd([made.GROUND], mode=mode, more=(255, 0), resources=resources)
    path = made.written(tmp_path, content)
    _, findings = read_artwork(path)
    stops = [(f.code, f.severity) for f in findings if f.severity is Severity.STOP]
    assert stops == ([("artwork.spot_channel", Severity.STOP)] if said else [])
    nearest, doubts = read_nearest(path, (made.PALE,))
    assert nearest is not None
    assert ("artwork.spot_channel" in {f.code for f in doubts}) is said
