"""What the core gives to other rooms says what it is, in which unit.

Followed: each public class and function has a summary line; each number or array that it takes is
described, and a record's likewise; what is described is really taken, in that order; each plain
number with a fraction carries its unit in brackets; so does the summary of a function that
returns one.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

UNIT = re.compile(r"\[[^\]\s][^\]]*\]")
NUMBERS = {"float", "int", "Floats", "NDArray", "ndarray"}
Def = ast.FunctionDef | ast.AsyncFunctionDef


def annotation_names(annotation: ast.expr | None) -> set[str]:
    """Names that occur in an annotation: ``float | None`` gives float."""
    if annotation is None:
        return set()
    if isinstance(annotation, ast.Constant) and isinstance(annotation.value, str):
        annotation = ast.parse(annotation.value, mode="eval").body
    return {
        node.id if isinstance(node, ast.Name) else node.attr
        for node in ast.walk(annotation)
        if isinstance(node, (ast.Name, ast.Attribute))
    }


def documented(docstring: str) -> dict[str, str]:
    """The parameters of a numpydoc docstring, each with its description, in order."""
    match = re.search(r"^Parameters\n-{3,}\n(.*?)(?=^\w[\w ]*\n-{3,}$|\Z)", docstring, re.M | re.S)
    if match is None:
        return {}
    entries: dict[str, str] = {}
    current: list[str] = []
    for line in match.group(1).splitlines():
        if line and not line[0].isspace():
            names = line.split(":", 1)[0]
            current = [name.strip().lstrip("*") for name in names.split(",")]
            entries.update((name, line) for name in current)
        else:
            for name in current:
                entries[name] += "\n" + line
    return entries


def is_record(node: ast.ClassDef) -> bool:
    """Whether a class is a dataclass."""
    return any("dataclass" in ast.unparse(decorator) for decorator in node.decorator_list)


def parameters(node: Def | ast.ClassDef) -> dict[str, ast.expr | None]:
    """Parameters of a function, or fields of a record, with their annotations."""
    if isinstance(node, ast.ClassDef):
        return {
            field.target.id: field.annotation
            for field in node.body
            if isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and not field.target.id.startswith("_")
            and "ClassVar" not in annotation_names(field.annotation)
        }
    args = node.args
    every = [*args.posonlyargs, *args.args, *args.kwonlyargs]
    every += [arg for arg in (args.vararg, args.kwarg) if arg is not None]
    return {arg.arg: arg.annotation for arg in every if arg.arg not in {"self", "cls"}}


def faults_of(node: Def | ast.ClassDef, name: str) -> Iterator[str]:
    """What is missing from one docstring."""
    docstring = ast.get_docstring(node)
    if not docstring or not docstring.splitlines()[0].strip():
        yield f"{name}: no summary"
        return
    given = parameters(node)
    told = documented(docstring)
    if isinstance(node, ast.ClassDef) and not is_record(node):
        given = {}
    if given and list(told) != [parameter for parameter in given if parameter in told]:
        yield f"{name}: documents {', '.join(told)}; has {', '.join(given)}"
    for parameter, annotation in given.items():
        if parameter not in told and annotation_names(annotation) & NUMBERS:
            yield f"{name}: {parameter} is not described"
    for parameter, annotation in given.items():
        plain = "float" in annotation_names(annotation)
        if plain and parameter in told and not UNIT.search(told[parameter]):
            yield f"{name}: {parameter} has no unit"
    if isinstance(node, ast.ClassDef) or node.returns is None:
        return
    if ast.unparse(node.returns) == "float" and not UNIT.search(docstring.split("\n\n")[0]):
        yield f"{name}: returns a number without a unit"


def faults(path: Path) -> Iterator[str]:
    """What is missing from the docstrings of a module's public classes and functions."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            continue
        if node.name.startswith("_"):
            continue
        yield from faults_of(node, f"{path}:{node.lineno}: {node.name}")
        if not isinstance(node, ast.ClassDef):
            continue
        for inner in node.body:
            if isinstance(inner, (ast.FunctionDef, ast.AsyncFunctionDef)):
                dotted = f"{path}:{inner.lineno}: {node.name}.{inner.name}"
                if not inner.name.startswith("_") and not ast.get_docstring(inner):
                    yield f"{dotted}: no summary"


def test_the_core_is_documented(core_modules: Sequence[Path]) -> None:
    found = [one for path in core_modules for one in faults(path)]
    assert found == [], "\n".join(found)


GOOD = '''
def pixel_pitch(throw_distance: float, columns: int, note: str = "") -> float:
    """Width of one projected pixel. [m]

    Parameters
    ----------
    throw_distance : float
        Lens to wall; above 0. [m]
    columns : int
        Native columns.
    note : str
        Printed beside it.

    Raises
    ------
    ValueError
        If an argument is outside its range.
    """
'''


def test_a_whole_docstring_passes(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(GOOD)
    assert list(faults(module)) == []


@pytest.mark.parametrize(
    ("whole", "broken", "named"),
    [
        (GOOD[GOOD.index('    """W') :], "    pass\n", "no summary"),
        ("above 0. [m]", "above 0.", "throw_distance has no unit"),
        ("pixel. [m]", "pixel.", "returns a number without a unit"),
        (
            "    note : str",
            "    throw_ratio : float",
            "documents throw_distance, columns, throw_ratio",
        ),
        ("    columns : int\n        Native columns.\n", "", "columns is not described"),
        ("        Native columns.\n    note", "        Native columns.\n    remark", "remark"),
    ],
)
def test_a_gap_in_a_docstring_is_seen(tmp_path: Path, whole: str, broken: str, named: str) -> None:
    module = tmp_path / "module.py"
    assert whole in GOOD
    module.write_text(GOOD.replace(whole, broken))
    found = list(faults(module))
    assert len(found) == 1
    assert named in found[0]


def test_the_fields_of_a_record_are_parameters(tmp_path: Path) -> None:
    module = tmp_path / "module.py"
    module.write_text(
        "@dataclass(frozen=True)\nclass Bay:\n"
        '    """One bay.\n\n    Parameters\n    ----------\n    name : str\n        Its name.\n'
        '    """\n\n    name: str\n    length: float\n'
    )
    assert [one.split(": ", 2)[-1] for one in faults(module)] == ["length is not described"]
