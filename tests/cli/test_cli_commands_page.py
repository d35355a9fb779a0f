"""docs/commands.md against the program's own help."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest

from giornata.cli.front import EXIT_CODES

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "commands.md"
VERBS = (
    "new", "demo", "check", "survey", "photo", "preparation", "artwork", "set-out", "take-off",
    "options", "colourways", "price", "paint", "hours", "set-ups", "nights", "transfer",
    "targets", "square", "measure", "close", "explain", "findings", "pack", "set", "undo", "log",
    "serve", "version",
)  # fmt: skip


def section(verb: str) -> str:
    found = re.search(rf"^## giornata {verb}\n(.*?)(?=^## |\Z)", PAGE.read_text(), re.S | re.M)
    assert found is not None, f"{PAGE} has no section on {verb}"
    return found[1]


def test_the_page_is_what_the_help_says(monkeypatch):
    monkeypatch.setenv("COLUMNS", "132")  # a wide terminal changes nothing
    spec = importlib.util.spec_from_file_location(
        "write_commands", ROOT / "tools/write_commands.py"
    )
    assert spec is not None
    assert spec.loader is not None
    made = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(made)
    assert made.page() == PAGE.read_text(), "run: python tools/write_commands.py"


@pytest.mark.parametrize("verb", VERBS)
def test_each_verb_has_its_help_and_its_section(say, verb):
    said = say(verb, "--help")
    assert said.code == 0
    assert said.err == ""
    assert max(map(len, said.out.splitlines())) <= 80
    options = set(re.findall(r"(?<!\S)--[a-z-]+", said.out))
    assert ("--json" in options) == (verb != "serve")
    assert set(re.findall(r"(?<!\S)--[a-z-]+", section(verb))) == options
    # Each option says what it does.
    for line in said.out.partition("Options:")[2].splitlines():
        if line.startswith("  -"):
            assert len(line.split()) > 3, line


def test_every_verb_is_listed_in_one_line_of_words(say):
    listed = say("--help").out.partition("Commands:")[2].splitlines()
    rows = {line.split()[0]: line.split(None, 1)[1] for line in listed if line.strip()}
    assert tuple(rows) == VERBS
    assert all(text.endswith(".") and "..." not in text for text in rows.values())


def test_every_exit_code_is_on_the_page():
    text = PAGE.read_text()
    assert re.findall(r"^\| (\d+) \| (.+) \|$", text, re.M) == [
        (str(code), meaning) for code, meaning in EXIT_CODES.items()
    ]
