"""A room has one door, and its sign names exactly what is behind it."""

from __future__ import annotations

import ast
import importlib
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import ModuleType

import pytest


def sign(path: Path) -> list[str] | None:
    """The names in a module's ``__all__``, or None where it has none."""
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return [str(name) for name in ast.literal_eval(node.value)]
    return None


def defined_publicly(path: Path) -> tuple[set[str], set[str]]:
    """Public functions and classes of a module's own body, and its other public names."""
    functions: set[str] = set()
    others: set[str] = set()
    for node in ast.parse(path.read_text(encoding="utf-8")).body:
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)):
            functions.add(node.name)
        elif isinstance(node, ast.Assign):
            others |= {t.id for t in node.targets if isinstance(t, ast.Name)}
        elif isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
            others.add(node.target.id)
    return (
        {name for name in functions if not name.startswith("_")},
        {name for name in others if not name.startswith("_")},
    )


def public_names(module: ModuleType) -> set[str]:
    """Public names that can be taken from an imported package, its submodules left out."""
    return {
        name
        for name, value in vars(module).items()
        if not name.startswith("_")
        and not (isinstance(value, ModuleType) and value.__name__.startswith(module.__name__))
        and name != "annotations"
    }


def past_the_door(path: Path, package: Path, rooms: Sequence[str]) -> Iterator[str]:
    """Each import that reaches into a module of another room of the core."""
    inside = path.relative_to(package).parts
    own = inside[1] if inside[0] == "core" and len(inside) > 2 else None
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [node.module]
        for name in names:
            parts = name.split(".")
            if parts[:2] != ["giornata", "core"] or len(parts) < 4 or parts[2] == own:
                continue
            if parts[2] in rooms:
                yield f"{path}:{node.lineno}: {name}"


def test_each_room_of_the_core_is_there(root: Path, core_rooms: tuple[str, ...]) -> None:
    doors = {path.parent.name for path in (root / "src/giornata/core").glob("*/__init__.py")}
    assert doors == set(core_rooms)


def test_a_room_gives_exactly_what_its_sign_says(core_rooms: tuple[str, ...]) -> None:
    wrong: list[str] = []
    for room in core_rooms:
        door = importlib.import_module(f"giornata.core.{room}")
        listed: list[str] = getattr(door, "__all__", [])
        if not listed or len(set(listed)) < len(listed):
            wrong.append(f"{room}: __all__ is empty or names something twice")
        odd = public_names(door) ^ set(listed)
        wrong += [f"{room}.{name}" for name in sorted(odd)]
    assert wrong == [], "\n".join(wrong)


def test_each_module_of_the_core_lists_its_public_names(core_modules: Sequence[Path]) -> None:
    wrong: list[str] = []
    for path in core_modules:
        if path.name == "__init__.py":
            continue
        listed = sign(path)
        if listed is None:
            wrong.append(f"{path}: no __all__")
        else:
            functions, others = defined_publicly(path)
            # A constant or the name of a type may be listed; a function or a class must be.
            odd = (functions - set(listed)) | (set(listed) - functions - others)
            wrong += [f"{path}: {name}" for name in sorted(odd)]
    assert wrong == [], "\n".join(wrong)


def test_rooms_are_entered_by_the_door(
    root: Path, modules: Sequence[Path], core_rooms: tuple[str, ...]
) -> None:
    package = root / "src/giornata"
    found = [one for path in modules for one in past_the_door(path, package, core_rooms)]
    assert found == [], "\n".join(found)


@pytest.mark.parametrize(
    ("line", "passes"),
    [
        ("from giornata.core.survey.wall import Bay", False),
        ("import giornata.core.survey.wall", False),
        ("from giornata.core.survey import Bay", True),
        ("from giornata.core import survey", True),
        ("from giornata.core.takeoff.bill import Bill", True),
    ],
)
def test_only_another_rooms_module_is_past_the_door(
    tmp_path: Path, line: str, passes: bool
) -> None:
    module = tmp_path / "core/takeoff/areas.py"
    module.parent.mkdir(parents=True)
    module.write_text(line)
    assert (list(past_the_door(module, tmp_path, ["survey", "takeoff"])) == []) is passes


def test_a_wrong_sign_is_seen(tmp_path: Path) -> None:
    module = tmp_path / "wall.py"
    module.write_text('__all__ = ["Bay"]\nclass Pier: ...\n_HIDDEN = 1\nLENGTH: float = 2.0\n')
    assert sign(module) == ["Bay"]
    assert defined_publicly(module) == ({"Pier"}, {"LENGTH"})
