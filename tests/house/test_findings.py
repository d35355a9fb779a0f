"""Every code a finding can carry is explained, and provoked by a test.

A code is written whole in the source ("survey.misclosure"), so that whoever reads it on a page can
search for it; so can this test.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import pytest

FILE_ENDINGS = set("csv css html js json log pdf png sqlite svg toml txt typ xlsx".split())
FLOORS = ("files", "desk", "web", "cli")


def literals(tree: ast.AST) -> Iterator[str]:
    """Each text constant of a module, those that name the steps of a job left out."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func).split(".")[-1] == "Step":
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        yield from literals(node)


def codes(path: Path, prefixes: Iterable[str]) -> set[str]:
    """The codes of findings that a module spells out."""
    shape = re.compile(rf"(?:{'|'.join(map(re.escape, prefixes))})\.[a-z][a-z0-9_]*")
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found = {text for text in literals(tree) if shape.fullmatch(text)}
    return {text for text in found if text.split(".")[1] not in FILE_ENDINGS}


def pieced_together(path: Path) -> list[str]:
    """Each code that is put together from pieces and so cannot be searched for."""
    return [
        f"{path}:{node.lineno}: code={ast.unparse(argument.value)}"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        for argument in node.keywords
        if argument.arg == "code" and isinstance(argument.value, (ast.JoinedStr, ast.BinOp))
    ]


def sections(page: Path) -> dict[str, str]:
    """The codes a page explains, each with what it says."""
    parts = re.split(r"^## +(.+?) *$", page.read_text(encoding="utf-8"), flags=re.M)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


@pytest.fixture(scope="module")
def explained(root: Path) -> dict[str, str]:
    """Every code explained in docs/findings, with its text."""
    found: dict[str, str] = {}
    for page in sorted((root / "docs/findings").glob("*.md")):
        here = sections(page)
        assert not found.keys() & here.keys(), f"{page} explains a code twice"
        odd = [code for code in here if code.split(".")[0] != page.stem]
        assert odd == [], f"{page} explains codes of other rooms"
        found |= here
    return found


@pytest.fixture(scope="module")
def spelled_out(
    modules: Sequence[Path], core_rooms: tuple[str, ...], explained: dict[str, str]
) -> set[str]:
    """Every code in the source."""
    prefixes = {*core_rooms, *FLOORS, *(code.split(".")[0] for code in explained)}
    found: set[str] = set().union(*(codes(path, prefixes) for path in modules))
    assert found, "no code found: the search is broken"
    return found


def test_each_code_has_its_section(spelled_out: set[str], explained: dict[str, str]) -> None:
    missing = sorted(spelled_out - explained.keys())
    assert missing == [], "\n".join(missing)


def test_each_section_belongs_to_a_code(spelled_out: set[str], explained: dict[str, str]) -> None:
    left_over = sorted(explained.keys() - spelled_out)
    assert left_over == [], "\n".join(left_over)


def test_each_section_says_what_it_means_and_what_to_do(explained: dict[str, str]) -> None:
    short = sorted(code for code, text in explained.items() if len(text.split()) < 6)
    assert short == [], "\n".join(short)


def test_each_code_is_provoked_by_a_test(
    spelled_out: set[str], files_of_tests: Sequence[Path], root: Path
) -> None:
    house = root / "tests/house"
    tested = {
        text
        for path in files_of_tests
        if house not in path.parents
        for text in literals(ast.parse(path.read_text(encoding="utf-8")))
    }
    untested = sorted(spelled_out - tested)
    assert untested == [], "\n".join(untested)


def test_each_code_is_written_whole(modules: Sequence[Path]) -> None:
    found = [one for path in modules for one in pieced_together(path)]
    assert found == [], "\n".join(found)


def test_codes_are_found_wherever_they_stand(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(
        'TABLE = {"a": ("survey.one", "Say.")}\n'
        'f(code="survey.two")\nf("survey.three and more", "takeoff.four", "job.toml")\n'
        'Step("survey.wall", needs=("survey.bays",))\nf(code=f"survey.{name}")\n'
    )
    assert codes(module, ("survey", "job")) == {"survey.one", "survey.two"}
    assert pieced_together(module) == [f"{module}:5: code=f'survey.{{name}}'"]


def test_sections_are_found_by_their_headings(tmp_path: Path) -> None:
    page = tmp_path / "survey.md"
    page.write_text("# Survey\n\nText.\n\n## survey.one\n\nMeans.\n\n## survey.two \n\nDo.\n")
    assert sections(page) == {"survey.one": "\n\nMeans.\n\n", "survey.two": "\n\nDo.\n"}
