"""Beginning a job: a folder of one's own from the template, or the demo job."""

from __future__ import annotations

from pathlib import Path

from giornata.core.foundation import JobFolderError
from giornata.files.examples import example_job
from giornata.files.first_job import files_of, first_job, place_files

__all__ = ["DEMO", "begin_demo", "begin_job"]

DEMO = "port-merrow"
"""Name of the example job that is copied."""


def begin_job(folder: Path, *, units: str = "metric") -> Path:
    """A new job folder with a small wall and a small artwork, ready to be changed.

    Raises
    ------
    JobFolderError
        If the folder holds something, or cannot be written.
    """
    place_files(folder, first_job(units=units, name=folder.resolve().name or "My wall"))
    return folder


def begin_demo(folder: Path) -> bool:
    """The demo job in a folder; False where it lies there already as it came.

    Raises
    ------
    JobFolderError
        If the folder holds something else, or cannot be written.
    """
    content = files_of(example_job(DEMO))
    if folder.is_dir() and any(folder.iterdir()):
        for name, data in content.items():
            path = folder / name
            if not path.is_file() or path.read_bytes() != data:
                raise JobFolderError(
                    f"{folder}: something else than the untouched demo job is here; nothing was "
                    "changed.",
                    remedy="Name another folder: giornata demo --to FOLDER. The papers of the job "
                    f"that is here: giornata pack {folder}",
                )
        return False
    place_files(folder, content)
    return True
