"""The demo job as a stranger makes it: two processes, one pack, and papers that agree."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from decimal import Decimal
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from giornata.core.boards import Pattern, PatternKind, pattern_pixels

RUNS = {
    "one": {"PYTHONHASHSEED": "1", "TZ": "UTC"},
    "two": {"PYTHONHASHSEED": "2", "TZ": "Asia/Tokyo"},
}


@pytest.fixture(scope="module")
def packs(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Packs of two processes that differ in hash seed, time zone and place."""
    running = []
    for name, differs in RUNS.items():
        home = tmp_path_factory.mktemp(name)
        command = [sys.executable, "-m", "giornata", "demo", "--to", "job", "--json"]
        process = subprocess.Popen(
            command,
            cwd=home,
            env=os.environ | differs,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        running.append((home / "job" / "pack", process))
    for _, process in running:
        out, err = process.communicate(timeout=300)
        assert process.returncode == 0, err
        assert err == ""
        assert json.loads(out)["job"]["name"] == "Tideline"
    return running[0][0], running[1][0]


def rows(pack: Path, table: str) -> list[dict[str, str]]:
    with (pack / f"{table}.csv").open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def words(pack: Path, paper: str) -> str:
    document = pypdfium2.PdfDocument(pack / paper)
    return " ".join(page.get_textpage().get_text_bounded() for page in document)


def test_both_packs_are_the_same_in_every_byte(packs):
    first, second = (
        {file.relative_to(pack): file.read_bytes() for file in pack.rglob("*") if file.is_file()}
        for pack in packs
    )
    assert sorted(first) == sorted(second)
    assert [name for name, content in first.items() if second[name] != content] == []


def test_frames_are_there_at_the_projectors_own_pixels(packs):
    pack, _ = packs
    set_ups = len(rows(pack, "set-ups"))
    frames = sorted(frame.name for frame in (pack / "frames").glob("*.png"))
    kinds = ("fill", "high-contrast", "outline")
    assert frames == sorted(
        [
            "contrast-check.png",
            *(f"set-up-{k:02d}-{kind}.png" for k in range(1, set_ups + 1) for kind in kinds),
        ]
    )
    for frame in frames:
        with Image.open(pack / "frames" / frame) as picture:
            assert picture.size == (1920, 1200)  # as job.toml gives the projector
    patterns = {path.name: path for path in (pack / "frames/patterns").iterdir()}
    shown = [f"{kind}{end}" for kind in PatternKind for end in ("", "-negative")]
    assert sorted(patterns) == sorted(
        ["white.png", *(f"set-up-{k:02d}-{s}.png" for k in range(1, set_ups + 1) for s in shown)]
    )
    wanted = Pattern(columns=1920, rows=1200, set_up=2)
    with Image.open(patterns["set-up-02-squares.png"]) as picture:
        assert (np.asarray(picture.convert("L")) == pattern_pixels(wanted)).all()
    with Image.open(patterns["white.png"]) as picture:
        assert picture.convert("L").getextrema() == (255, 255)


def test_every_set_up_has_its_card_and_every_mark_its_row(packs):
    pack, _ = packs
    text = words(pack, "set-up-cards.pdf")
    for set_up in rows(pack, "set-ups"):
        assert f"Set-up {next(iter(set_up.values()))}" in text
    for mark in rows(pack, "marks"):
        assert next(iter(mark.values())) in text


def test_papers_tables_and_record_say_the_same(packs):
    pack, _ = packs
    record = json.loads((pack / "pack.json").read_text(encoding="utf-8"))
    digest = record["job"]["digest"]
    papers = (
        "proposal", "elevation", "setting-out", "reference-sheets", "set-up-cards", "closing-forms",
    )  # fmt: skip
    for paper in (f"{name}.pdf" for name in papers):
        assert digest in words(pack, paper), paper
    (total,) = (
        Decimal(row["Amount [EUR]"]) for row in rows(pack, "price") if row["Line"] == "Total"
    )
    assert f"{total:,.2f}" in words(pack, "proposal.pdf")
    stages = [Decimal(row["Amount [EUR]"]) for row in rows(pack, "price") if row["Kind"] == "stage"]
    assert sum(stages) == total


def test_areas_of_each_option_add_to_the_net_wall(packs):
    pack, _ = packs
    figures = json.loads((pack / "pack.json").read_text(encoding="utf-8"))["figures"]
    for option in ("A", "B"):
        table = [row for row in rows(pack, "take-off") if row["Option"] == option]
        (whole,) = (float(row["Area [m²]"]) for row in table if not row["No."])
        paints = [float(row["Area [m²]"]) for row in table if row["No."]]
        assert len(paints) == 7
        # Seven areas printed to 0.01 m².
        assert sum(paints) == pytest.approx(whole, abs=8 * 0.005)
        assert f"{whole:.2f} m²" in figures["wall.net_area"]["shown"]
