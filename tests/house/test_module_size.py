"""A module that grows long has two subjects."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

MODULE_LINES = 400
TEST_LINES = 600


def too_long(paths: Iterable[Path], limit: int) -> list[str]:
    """Files of ``limit`` lines or more, each with its length."""
    lengths = ((path, len(path.read_text(encoding="utf-8").splitlines())) for path in paths)
    return [f"{path}: {length} lines" for path, length in lengths if length >= limit]


def test_modules_stay_short(modules: Sequence[Path]) -> None:
    assert len(modules) > 0
    assert too_long(modules, MODULE_LINES) == []


def test_tests_stay_short(files_of_tests: Sequence[Path]) -> None:
    assert too_long(files_of_tests, TEST_LINES) == []


def test_a_long_module_is_named(tmp_path: Path) -> None:
    long, short = tmp_path / "long.py", tmp_path / "short.py"
    long.write_text("x = 1\n" * MODULE_LINES)
    short.write_text("x = 1\n" * (MODULE_LINES - 1))
    assert too_long([long, short], MODULE_LINES) == [f"{long}: 400 lines"]
