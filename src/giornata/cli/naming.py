"""Naming: which figure and which folder are meant."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from pathlib import Path

import typer

from giornata.cli.pages import explanation_page, names_page
from giornata.cli.report import Report
from giornata.core.job import JobResults, named_figures

__all__ = ["explained", "name_and_folder"]


def name_and_folder(words: Sequence[str]) -> tuple[str, Path]:
    """A figure's name and the job folder, from at most one word each, in either order.

    Raises
    ------
    typer.BadParameter
        If there are more than two words.
    """
    if len(words) > 2:
        raise typer.BadParameter("one name and one folder at most")
    if not words:
        return "", Path()
    if len(words) == 1:
        return ("", Path(words[0])) if _is_folder(words[0]) else (words[0], Path())
    name, folder = words
    if _is_folder(name) and not _is_folder(folder):
        name, folder = folder, name
    return name, Path(folder)


def _is_folder(word: str) -> bool:
    return "/" in word or "\\" in word or Path(word).exists()


def explained(results: JobResults, name: str, depth: int) -> Report:
    """A figure explained; for a beginning that several names share, their list.

    Raises
    ------
    typer.BadParameter
        If no figure's name begins so.
    """
    figures = named_figures(results)
    if name in figures:
        return explanation_page(name, figures[name], depth)
    begun = {key: figure for key, figure in figures.items() if key.startswith(name)}
    if len(begun) == 1:
        ((only, figure),) = begun.items()
        return explanation_page(only, figure, depth)
    if not begun:
        near = difflib.get_close_matches(name, figures, n=3, cutoff=0.5)
        near += [key for key in figures if name.lower() in key.lower() and key not in near][:5]
        hint = f"; near it: {', '.join(near)}" if near else "; all names: giornata explain"
        raise typer.BadParameter(f"no figure is called {name!r}{hint}")
    title = f"{results.inputs.title.name}: figures"
    return names_page(f"{title} under {name}" if name else title, begun)
