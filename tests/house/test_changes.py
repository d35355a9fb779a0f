"""A change leaves a fragment in changes/, in the form that its README describes."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

KINDS = ("added", "fixed", "figures", "removed")
NAME = re.compile(rf"[a-z0-9]+(?:-[a-z0-9]+)*\.(?:{'|'.join(KINDS)})\.md")


def faults(path: Path) -> list[str]:
    """What is wrong with a fragment."""
    if not NAME.fullmatch(path.name):
        return [f"{path.name}: called neither subject.{'.md nor subject.'.join(KINDS)}.md"]
    text = path.read_text(encoding="utf-8").strip()
    wrong = []
    if not text.endswith((".", ")")) or not text[0].isupper():
        wrong.append(f"{path.name}: not a sentence")
    if text.startswith("#"):
        wrong.append(f"{path.name}: a fragment has no heading")
    if path.name.endswith(".figures.md") and not re.search(r"\d", text):
        wrong.append(f"{path.name}: does not say by how much the demo job moved")
    return wrong


def test_fragments_are_well_formed(root: Path) -> None:
    fragments = [path for path in sorted((root / "changes").iterdir()) if path.name != "README.md"]
    assert len(fragments) > 0
    wrong = [one for path in fragments for one in faults(path)]
    assert wrong == [], "\n".join(wrong)


def test_the_readme_names_every_kind(root: Path) -> None:
    text = (root / "changes/README.md").read_text(encoding="utf-8")
    assert [kind for kind in KINDS if f"`{kind}`" not in text] == []


@pytest.mark.parametrize(
    ("name", "text", "count"),
    [
        ("bay-chain.added.md", "The bay chain is closed against the overall.\n", 0),
        ("spreading.figures.md", "Rough render: the demo job's paint rises by 4 %.\n", 0),
        ("spreading.figures.md", "Rough render takes more paint.\n", 1),
        ("Bay chain.added.md", "The bay chain.\n", 1),
        ("bay-chain.md", "The bay chain.\n", 1),
        ("bay-chain.changed.md", "The bay chain.\n", 1),
        ("bay-chain.fixed.md", "the bay chain\n", 1),
        ("bay-chain.fixed.md", "# The bay chain.\n", 2),
    ],
)
def test_a_malformed_fragment_is_seen(tmp_path: Path, name: str, text: str, count: int) -> None:
    (tmp_path / name).write_text(text)
    assert len(faults(tmp_path / name)) == count
