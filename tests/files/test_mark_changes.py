"""Marks written into the job file: what stands there stays, its comments too."""

from __future__ import annotations

import pytest
import tomlkit

from giornata.core.setting_out import ChalkedMark
from giornata.files.mark_changes import put_marks

NEW = (
    ChalkedMark(name="N02", chainage=2.0, level=0.4),
    ChalkedMark(name="N03", chainage=3.25, level=0.4),
)
INLINE = """[marks]
accuracy = "10 mm"          # tight
lost = [                    # washed off
  "M03 lower",              # by rain
]
chalked = [
  { name = "N01", chainage = "1 m", level = "0.4 m" },   # blue chalk
]

# about the price
[price]
rate = 1
"""
TABLES = """[marks]
# asked by the client
accuracy = "10 mm"
lost = ["M03 lower"]

[[marks.chalked]]
name = "N01"                # blue chalk
chainage = "1 m"
level = "0.4 m"

# about the price
[price]
rate = 1
"""
NONE = """[price]             # about the price
rate = 1
"""


@pytest.mark.parametrize("text", [INLINE, TABLES, NONE], ids=["inline", "tables", "none"])
def test_marks_are_added_and_all_comments_stay(text: str) -> None:
    document = tomlkit.parse(text)
    put_marks(document, ["M03 lower", "M04 upper"], NEW)
    said = document.as_string()
    read = tomlkit.parse(said).unwrap()
    before = tomlkit.parse(text).unwrap().get("marks", {})
    added = [
        {"name": "N02", "chainage": "2.000 m", "level": "0.400 m"},
        {"name": "N03", "chainage": "3.250 m", "level": "0.400 m"},
    ]
    assert read["marks"]["chalked"] == [*before.get("chalked", []), *added]
    assert read["marks"]["lost"] == ["M03 lower", "M04 upper"]
    assert read["price"] == {"rate": 1}
    comments = [row.partition("#")[2] for row in text.splitlines() if "#" in row]
    assert all(said.count(f"#{comment}") == 1 for comment in comments)
    if "# about the price\n[price]" in text:
        assert "# about the price\n[price]" in said


def test_nothing_to_write_writes_nothing() -> None:
    document = tomlkit.parse(INLINE)
    put_marks(document, ["M03 lower"], ())
    assert document.as_string() == INLINE
