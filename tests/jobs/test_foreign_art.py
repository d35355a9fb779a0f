"""A whole job from artwork that nobody here drew: six public-domain silhouettes of Debian's
package openclipart-svg, side by side on a made wall of 30 m.

The independent check of the areas is resvg, which renders the same file to pixels.
"""

from __future__ import annotations

import os
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
import resvg_py

from giornata.core.foundation import Severity
from giornata.core.job import named_figures
from giornata.desk import open_job

SHELF = Path("/usr/share/openclipart/svg")
SVG = "http://www.w3.org/2000/svg"
SILHOUETTES = {
    "woodpecker": "animals/birds/uccello_bianco_e_nero_ar_01",
    "flock": "animals/birds/stormo_di_uccelli_archit_01",
    "fawn": "animals/mammals/fawn_mo_01",
    "lizard": "animals/lucertolona_architetto_f_01",
    "bull": "animals/mammals/bull_utrescu_",
    "echidna": "animals/mammals/echidna_01",
}
WIDTH, HEIGHT = 3000, 240  # artwork units; 1 unit is 10 mm on the wall

JOB = """
schema = 1
[job]
name = "Six silhouettes"
currency = "EUR"
date = 2027-03-01
[wall]
datum = "left end"
surface = "masonry"
tape = "II"
overall = "30 m"
bays = [{ name = "1", length = "30 m" }]
heights = [{ at = "0 m", height = "2.4 m" }, { at = "30 m", height = "2.4 m" }]
[artwork]
file = "artwork/six.svg"
width = "30 m"
[[paints]]
key = "white"
name = "White"
role = "ground"
artwork = ["#ffffff"]
[[paints]]
key = "amber"
name = "Amber"
artwork = ["#ffbf00"]
[[paints]]
key = "black"
name = "Black"
artwork = ["#000000"]
[[options]]
key = "all"
name = "All six"
[[options]]
key = "few"
name = "Without the flock"
hide = ["flock"]
[[colourways]]
key = "plain"
name = "Plain"
colours = { white = "#ffffff", amber = "#ffbf00", black = "#000000" }
[choice]
option = "all"
colourway = "plain"
[paint]
spreading_rate = "6 m²/L"
price = "26 EUR/L"
primer = { coats = 1, spreading_rate = "7 m²/L" }
base = { coats = 2, spreading_rate = "6 m²/L" }
[labour]
primer = "20 m²/h"
base = "15 m²/h"
fill = "15 m²/h"
edge = "15 m/h"
[projector]
name = "made"
columns = 1920
rows = 1080
throw = "1.4"
lumens = "4000 lm"
mode = "full"
modes = { full = "100 %" }
shift_up = "50 %"
[stand]
distance = "6.5 m"
height = "1.2 m"
ambient = "3 lx"
[price]
basis = "figure"
unit = "m²"
rate = "240 EUR"
"""


def pixels_of(length: str) -> float:
    """Pixels of a CSS length: 96 to the inch, 72 points to the inch (CSS Values 3, 6.2)."""
    for unit, factor in (("px", 1.0), ("pt", 96 / 72), ("mm", 96 / 25.4), ("", 1.0)):
        if length.endswith(unit):
            return float(length.removesuffix(unit)) * factor
    raise AssertionError(length)


def sheet() -> bytes:
    """The six drawings in one file, each in a named group, scaled into a field of its own."""
    root = ET.Element(f"{{{SVG}}}svg", {"viewBox": f"0 0 {WIDTH} {HEIGHT}"})
    root.set("width", str(WIDTH))
    root.set("height", str(HEIGHT))
    field = WIDTH / len(SILHOUETTES)
    for place, (name, path) in enumerate(SILHOUETTES.items()):
        drawing = ET.parse(SHELF / f"{path}.svg").getroot()
        for part in list(drawing):
            if not part.tag.startswith(f"{{{SVG}}}") or part.tag.endswith("metadata"):
                drawing.remove(part)
        width, height = (pixels_of(drawing.get(side, "100")) for side in ("width", "height"))
        drawing.set("viewBox", drawing.get("viewBox") or f"0 0 {width} {height}")
        drawing.set("x", str(place * field + 10))
        drawing.set("y", "10")
        drawing.set("width", str(field - 20))
        drawing.set("height", str(HEIGHT - 20))
        group = ET.SubElement(root, f"{{{SVG}}}g", {"id": name})
        group.append(drawing)
    return ET.tostring(root)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    if not SHELF.is_dir():
        if os.environ.get("CI"):
            pytest.fail("openclipart-svg is not installed; tools/need-clipart installs it")
        pytest.skip("Debian's openclipart-svg is not installed here")
    made = tmp_path_factory.mktemp("six")
    (made / "artwork").mkdir()
    (made / "artwork" / "six.svg").write_bytes(sheet())
    (made / "job.toml").write_text(JOB)
    return made


@pytest.fixture(scope="module")
def job(folder):
    return open_job(folder)


@pytest.fixture(scope="module")
def results(job):
    return job.results()


def rendered_areas(folder: Path, scale: int = 4) -> dict[str, float]:
    """Area of each colour in square artwork units, by resvg's pixels."""
    from io import BytesIO

    from PIL import Image

    png = resvg_py.svg_to_bytes(
        svg_path=str(folder / "artwork" / "six.svg"), width=WIDTH * scale, dpi=96,
        background="white", shape_rendering="crisp_edges",
    )  # fmt: skip
    pixels = np.asarray(Image.open(BytesIO(bytes(png))).convert("RGB")).reshape(-1, 3)
    codes = pixels.astype(np.uint32) @ np.array([65536, 256, 1], dtype=np.uint32)
    found, counts = np.unique(codes, return_counts=True)
    return {f"#{c:06x}": n / scale**2 for c, n in zip(found, counts, strict=True)}


def test_the_foreign_artwork_is_flat_and_its_groups_are_known(job):
    assert [f for f in job.artwork_findings if f.severity is Severity.STOP] == []
    assert set(SILHOUETTES) <= set(job.inputs.drawing.groups)


def test_areas_agree_with_an_independent_renderer(folder, results):
    # 0.1 % of the image: 0.001 x 3000 x 240 = 720 square units = 0.072 m² at 10 mm to a unit.
    figures = named_figures(results)
    rendered = rendered_areas(folder)
    limit = 0.001 * WIDTH * HEIGHT
    for key, colour in (("amber", "#ffbf00"), ("black", "#000000"), ("white", "#ffffff")):
        ours = float(figures[f"all.{key}.area"]) * 1e4  # m² to square units
        assert ours == pytest.approx(rendered[colour], abs=limit), key
    assert float(figures["all.black.area"]) > 5.0


def test_areas_sum_to_the_net_wall(results):
    figures = named_figures(results)
    whole = sum(float(figures[f"all.{key}.area"]) for key in ("white", "amber", "black"))
    assert whole == pytest.approx(30 * 2.4, rel=1e-9)


def test_the_option_without_the_flock_has_less_black_and_less_edge(results):
    figures = named_figures(results)
    assert float(figures["few.black.area"]) < float(figures["all.black.area"])
    assert float(figures["few.edge"]) < float(figures["all.edge"])
    assert float(figures["few.amber.area"]) == pytest.approx(
        float(figures["all.amber.area"]), rel=1e-6
    )


def test_the_figure_is_billed_and_the_base_coat_work_is_named(results):
    # N25: where only the silhouettes are billed, the base coat is still all of the wall.
    codes = {f.code for f in results.findings}
    assert "pricing.base_unbilled" in codes
