"""Each term of the trade is defined once, with where its meaning is fixed."""

from __future__ import annotations

from pathlib import Path

import pytest


def rows(text: str) -> list[list[str]]:
    """Cells of each row of the glossary's table, its head left out."""
    lines = [line for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def faults(text: str) -> list[str]:
    """What is wrong with the table."""
    table = rows(text)
    terms = [row[0].casefold() for row in table]
    wrong = [f"{term}: twice" for term in sorted(set(terms)) if terms.count(term) > 1]
    wrong += [f"{row[0]}: an empty cell" for row in table if len(row) != 4 or not all(row)]
    in_order = sorted(terms, key=lambda term: term.replace("-", " "))
    wrong += [
        f"{term}: out of order" for term, due in zip(terms, in_order, strict=True) if term != due
    ][:1]
    return wrong


def test_the_glossary_is_in_order(root: Path) -> None:
    text = (root / "docs/glossary.md").read_text(encoding="utf-8")
    assert len(rows(text)) > 100
    assert faults(text) == []


@pytest.mark.parametrize(
    ("table", "wrong"),
    [
        ("|a|a|x|here|\n|b|b|y|ISO 2409|", []),
        ("|a|a|x|here|\n|a|a|y|here|", ["a: twice"]),
        ("|a|a|x||", ["a: an empty cell"]),
        ("|b|b|x|here|\n|a|a|y|here|", ["b: out of order"]),
    ],
)
def test_a_fault_in_the_glossary_is_seen(table: str, wrong: list[str]) -> None:
    assert faults("|term|American|meaning|source|\n|---|---|---|---|\n" + table) == wrong
