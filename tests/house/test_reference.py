"""Every table that tests compare with says where it was read."""

from __future__ import annotations

import csv
import io
import json
import tomllib
from pathlib import Path

import pytest

WORDS = ("source", "common practice", "from memory", "worked by hand", "known by construction")


def without_source(path: Path) -> str | None:
    """What is missing from a data file, or None."""
    text = path.read_text(encoding="utf-8")
    lines = text.splitlines()
    hashes = () if path.suffix == ".md" else ("# ", "#!")
    comments = [line for line in lines if hashes and line.startswith(hashes)]
    if path.suffix == ".csv" and not comments:
        rows = list(csv.DictReader(io.StringIO(text)))
        if not rows:
            return "no rows"
        if "source" not in rows[0]:
            return "neither a header comment nor a source column"
        blank = [i for i, row in enumerate(rows, 2) if not (row["source"] or "").strip()]
        return f"no source in line {blank[0]}" if blank else None
    if path.suffix == ".json":
        return None if str(json.loads(text).get("source", "")).strip() else "no source"
    if path.suffix == ".toml":
        tomllib.loads(text)
    header = " ".join(comments or lines[:10]).lower()
    return None if any(word in header for word in WORDS) else "no header names its source"


def test_each_reference_table_names_its_source(root: Path) -> None:
    files = sorted(path for path in (root / "tests/reference").rglob("*") if path.is_file())
    assert len(files) > 0
    wrong = [f"{path}: {lack}" for path in files if (lack := without_source(path)) is not None]
    assert wrong == [], "\n".join(wrong)


@pytest.mark.parametrize(
    ("name", "text", "lack"),
    [
        ("a.csv", "class,source\nI,Directive 2014/32/EU\n", None),
        ("a.csv", "class,source\nI,Directive 2014/32/EU\nII,\n", "no source in line 3"),
        ("a.csv", "class,error\nI,0.1\n", "neither a header comment nor a source column"),
        ("a.csv", "class,source\n", "no rows"),
        ("a.csv", "# Source: Directive 2014/32/EU\nclass,error\nI,0.1\n", None),
        ("a.csv", "# Tapes\nclass,error\nI,0.1\n", "no header names its source"),
        ("a.json", '{"source": "ISO 2409", "rows": []}', None),
        ("a.json", '{"rows": []}', "no source"),
        ("a.md", "# Tapes\n\nFrom memory: class II.\n", None),
        ("a.txt", "1 2 3\n", "no header names its source"),
    ],
)
def test_a_missing_source_is_seen(tmp_path: Path, name: str, text: str, lack: str | None) -> None:
    (tmp_path / name).write_text(text)
    assert without_source(tmp_path / name) == lack
