"""The core takes arrays and records and gives arrays and records.

import-linter bars whole modules (test_layers.py); here are the doors to the outside that stand
inside modules the core may use.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

# Built in: files, screens, keyboards, and code made from text.
BUILT_IN = {"open", "print", "input", "exec", "eval", "compile", "breakpoint", "__import__"}
# Attributes by which permitted modules reach a file, a clock or chance.
REACHING_OUT = {
    "cv2": {"imread", "imwrite", "imreadmulti", "VideoCapture", "VideoWriter", "imshow", "waitKey"},
    "numpy": {
        "load", "save", "savez", "savez_compressed", "loadtxt", "savetxt", "genfromtxt",
        "fromfile", "memmap", "random", "fromregex", "DataSource",
    },
    "datetime": {"now", "today", "utcnow", "fromtimestamp"},
    "scipy": {"io", "datasets"},
}  # fmt: skip
ALL_REACHING = {name: module for module, names in REACHING_OUT.items() for name in names}
# Array and date methods of the same kind, whatever they are called on.
METHODS = {"tofile", "now", "today", "utcnow", "fromtimestamp"}


def _module_names(tree: ast.Module) -> dict[str, str]:
    """What each local name stands for: ``{"np": "numpy", "date": "datetime"}``."""
    known: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                known[alias.asname or alias.name.split(".")[0]] = alias.name.split(".")[0]
        elif isinstance(node, ast.ImportFrom) and node.module:
            for alias in node.names:
                known[alias.asname or alias.name] = node.module.split(".")[0]
    return known


def _root(node: ast.expr) -> str | None:
    while isinstance(node, ast.Attribute):
        node = node.value
    return node.id if isinstance(node, ast.Name) else None


def impurities(path: Path) -> Iterator[str]:
    """Each place where a module reaches outside."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    known = _module_names(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id in BUILT_IN and node.func.id not in known:
                yield f"{path}:{node.lineno}: {node.func.id}()"
        elif isinstance(node, ast.Attribute):
            module = known.get(_root(node) or "", "")
            if node.attr in REACHING_OUT.get(module, set()) or (
                node.attr in METHODS and module in {"", "datetime"}
            ):
                yield f"{path}:{node.lineno}: {ast.unparse(node)}"
        elif isinstance(node, ast.ImportFrom) and node.module:
            barred = REACHING_OUT.get(node.module.split(".")[0], set())
            inner = set(node.module.split(".")[1:])
            for name in sorted(barred & ({alias.name for alias in node.names} | inner)):
                yield f"{path}:{node.lineno}: from {node.module} import {name}"
        elif isinstance(node, (ast.Global, ast.Nonlocal)) and isinstance(node, ast.Global):
            yield f"{path}:{node.lineno}: global {', '.join(node.names)}"


def test_the_core_reaches_nothing_outside(core_modules: Sequence[Path]) -> None:
    assert len(core_modules) > 0
    found = [one for path in core_modules for one in impurities(path)]
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(
    "source",
    [
        "open('job.toml')",
        "print(1)",
        "import numpy as np\nnp.random.default_rng(1)",
        "import numpy as np\nnp.load('a.npy')",
        "import numpy as np\nnp.zeros(3).tofile('a')",
        "from numpy.random import default_rng",
        "from numpy import random",
        "import cv2\ncv2.imread('a.png')",
        "from cv2 import imread",
        "from datetime import date\ndate.today()",
        "import datetime\ndatetime.datetime.now(datetime.UTC)",
        "from datetime import datetime as clock\nclock.utcnow()",
        "def f():\n    global count\n    count = 1",
    ],
)
def test_reaching_outside_is_seen(tmp_path: Path, source: str) -> None:
    module = tmp_path / "module.py"
    module.write_text(source)
    assert len(list(impurities(module))) == 1


def test_numbers_and_dates_are_pure(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(
        "import cv2\nimport numpy as np\nfrom datetime import date, timedelta\n"
        "a = np.zeros(3).sum()\nb = cv2.cvtColor(a, cv2.COLOR_BGR2Lab)\n"
        "c = date(2027, 2, 8) + timedelta(days=1)\n"
    )
    assert list(impurities(module)) == []
