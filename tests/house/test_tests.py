"""Tests that can fail: what ruff's rules on tests leave open."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

Function = ast.FunctionDef | ast.AsyncFunctionDef
CHECKS = re.compile(r"^(?:assert|check|expect)(?:_|$)|^(?:fail|raises|warns)$")


def checks_something(test: Function, helpers: set[str]) -> bool:
    """Whether a test asserts, expects an exception, or calls what does."""
    for node in ast.walk(test):
        if isinstance(node, ast.Assert):
            return True
        if isinstance(node, ast.Call):
            name = ast.unparse(node.func).split(".")[-1]
            if CHECKS.match(name) or name in helpers:
                return True
    return False


def faults(path: Path) -> Iterator[str]:
    """What is wrong with the tests of a file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    functions = [
        n for n in ast.walk(tree) if isinstance(n, (ast.FunctionDef, ast.AsyncFunctionDef))
    ]
    helpers = {
        one.name
        for one in functions
        if not one.name.startswith("test_")
        and any(isinstance(n, ast.Assert) for n in ast.walk(one))
    }
    for one in functions:
        if one.name.startswith("test_") and not checks_something(one, helpers):
            yield f"{path}:{one.lineno}: {one.name} asserts nothing"
    for node in ast.walk(tree):
        if isinstance(node, ast.Assert) and isinstance(node.test, (ast.Constant, ast.Tuple)):
            yield f"{path}:{node.lineno}: assert {ast.unparse(node.test)} cannot fail"
        if isinstance(node, ast.ExceptHandler) and all(isinstance(s, ast.Pass) for s in node.body):
            yield f"{path}:{node.lineno}: an exception is swallowed"
        if not isinstance(node, ast.Call):
            continue
        keywords = {keyword.arg for keyword in node.keywords}
        match ast.unparse(node.func):
            case "pytest.raises" | "pytest.warns" if not keywords & {"match", "check"}:
                yield f"{path}:{node.lineno}: {ast.unparse(node.func)} without match="
            case "pytest.skip" | "pytest.mark.skip" | "pytest.mark.xfail" if not (
                node.args or "reason" in keywords
            ):
                yield f"{path}:{node.lineno}: skipped without a reason"


def test_each_test_can_fail(files_of_tests: Sequence[Path]) -> None:
    found = [one for path in files_of_tests for one in faults(path)]
    assert found == [], "\n".join(found)


def test_each_test_file_has_a_name_of_its_own(files_of_tests: Sequence[Path]) -> None:
    names = Counter(path.name for path in files_of_tests if path.name.startswith("test_"))
    assert [name for name, count in names.items() if count > 1] == []


@pytest.mark.parametrize(
    ("source", "named"),
    [
        ("def test_it():\n    f()\n", "test_it asserts nothing"),
        ("def test_it():\n    assert (1, 2)\n", "cannot fail"),
        ("def test_it():\n    assert True\n", "cannot fail"),
        (
            "def test_it():\n    try:\n        assert f()\n    except E:\n        pass\n",
            "swallowed",
        ),
        ("def test_it():\n    with pytest.raises(ValueError):\n        f()\n", "without match="),
        ("def test_it():\n    pytest.skip()\n    assert f()\n", "without a reason"),
    ],
)
def test_an_empty_test_is_seen(tmp_path: Path, source: str, named: str) -> None:
    path = tmp_path / "test_module.py"
    path.write_text(source)
    (found,) = faults(path)
    assert named in found


def test_a_real_test_passes(tmp_path: Path) -> None:
    path = tmp_path / "test_module.py"
    path.write_text(
        "def check(x):\n    assert x > 1\n\ndef same(x):\n    assert x == 2\n\n"
        "def test_one():\n    same(2)\n\ndef test_two():\n    assert_allclose(1, 1)\n\n"
        "def test_three():\n    with pytest.raises(ValueError, match='x'):\n        f()\n"
    )
    assert list(faults(path)) == []
