"""A link from one page of the docs to another leads somewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

LINK = re.compile(r"\]\(([^)\s]+)\)")


def dead_links(page: Path) -> Iterator[str]:
    """Each link to a file that is not there."""
    text = re.sub(r"^( {4}|\t).*$|`[^`]*`", "", page.read_text(encoding="utf-8"), flags=re.M)
    for target in LINK.findall(text):
        if re.match(r"[a-z]+:", target) or target.startswith("#"):
            continue
        if not (page.parent / target.split("#")[0]).exists():
            yield f"{page}: {target}"


def test_no_link_is_dead(own_files: Sequence[Path]) -> None:
    pages = [path for path in own_files if path.suffix == ".md"]
    assert len(pages) > 5
    found = [one for page in pages for one in dead_links(page)]
    assert found == [], "\n".join(found)


def test_a_dead_link_is_seen(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("[a](page.md#top) [b](gone.md) [c](https://example.org/) `[d](code.md)`\n")
    assert list(dead_links(page)) == [f"{page}: gone.md"]
