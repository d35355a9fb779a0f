"""Where the example jobs lie: inside an installed package, or beside ``src`` in a checkout."""

from __future__ import annotations

from pathlib import Path

import giornata
from giornata.core.foundation import JobFolderError

__all__ = ["example_job", "example_names"]


def _shelf() -> Path:
    package = Path(giornata.__file__).resolve().parent
    inside = package / "examples"
    return inside if inside.is_dir() else package.parent.parent / "examples"


def example_names() -> tuple[str, ...]:
    """Names of the example jobs that come with the program, in alphabetical order."""
    shelf = _shelf()
    if not shelf.is_dir():
        return ()
    return tuple(sorted(job.parent.name for job in shelf.glob("*/job.toml")))


def example_job(name: str) -> Path:
    """Folder of the example job called ``name``; to be copied, never worked in.

    Parameters
    ----------
    name : str
        Its folder's name, such as ``port-merrow``.

    Raises
    ------
    JobFolderError
        If no example of that name came with the program.
    """
    names = example_names()
    if name not in names:
        known = ", ".join(names) if names else "none came with this installation"
        raise JobFolderError(
            f"There is no example job called {name!r}.", remedy=f"Examples: {known}."
        )
    return _shelf() / name
