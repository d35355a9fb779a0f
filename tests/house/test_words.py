"""Words that have no place in the project: addresses of registries, folders of one machine."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

import pytest

# Spelled so that the patterns do not find themselves.
BARRED = {
    "a registry's host": r"py[p]i\.org|pythonhoste[d]\.org|registry\.npm[j]s|npm[j]s\.(?:org|com)"
    r"|yarnpk[g]\.com|deb\.debia[n]\.org|crates[.]io",
    "a folder of one machine": r"(?<![\w.])/wor[k]/|/hom[e]/\w|/roo[t]/|/tmp/brie[f]",
    "where the work came from": r"\bissue[ ]#?\d+\b|\btranscrip[t]|\bthe[ ]CE[O]\b|\bseed[ ]docu",
}
BINARY = {".png", ".jpg", ".jpeg", ".tif", ".tiff", ".ttf", ".woff2", ".pdf", ".sqlite", ".gz"}


def barred_words(path: Path) -> list[str]:
    """Each barred word in a file, with its line."""
    text = path.read_text(encoding="utf-8", errors="replace")
    return [
        f"{path}:{text.count(chr(10), 0, match.start()) + 1}: {match.group()} ({reason})"
        for reason, pattern in BARRED.items()
        for match in re.finditer(pattern, text, re.IGNORECASE)
    ]


def test_no_barred_word_in_any_file(own_files: Sequence[Path]) -> None:
    texts = [path for path in own_files if path.suffix.lower() not in BINARY]
    assert len(texts) > 50
    found = [one for path in texts for one in barred_words(path)]
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(
    "text",
    [
        "--index-url https://py" + "pi.org/simple",
        '"resolved": "https://registry.np' + 'mjs.org/ol"',
        'path = "/wo' + 'rk/main/src"',
        "see /ho" + "me/anna/wall.svg",
        "as asked in is" + "sue 12",
        "# from the tran" + "script",
    ],
)
def test_a_barred_word_is_found(tmp_path: Path, text: str) -> None:
    page = tmp_path / "page.md"
    page.write_text("first line\n" + text + "\n")
    (found,) = barred_words(page)
    assert found.startswith(f"{page}:2: ")


@pytest.mark.parametrize("text", ["the work/site folder", "a homework", "reissue 3 papers"])
def test_plain_words_pass(tmp_path: Path, text: str) -> None:
    page = tmp_path / "page.md"
    page.write_text(text)
    assert barred_words(page) == []
