"""New job folders: begun from the first-job template, or copied from an example."""

from __future__ import annotations

import json
import shutil
from collections.abc import Mapping
from pathlib import Path

from giornata.core.foundation import JobFolderError
from giornata.files.saving import outside_faults

__all__ = ["files_of", "first_job", "place_files"]

_TEMPLATE = Path(__file__).resolve().parent / "first_job_template"


def first_job(*, units: str, name: str) -> dict[str, bytes]:
    """Files of a first job, by their path in the folder.

    Parameters
    ----------
    units : str
        "metric" or "us": how the job prints its figures.
    name : str
        Name of the job.
    """
    content = files_of(_TEMPLATE)
    text = content["job.toml"].decode()
    quoted = json.dumps(name.encode("utf-8", "replace").decode(), ensure_ascii=False)
    for old, new in (
        ('units = "metric"', f'units = "{units}"'),
        ('name = "My wall"', f"name = {quoted}"),
    ):
        if old not in text:
            raise ValueError(f"the template has no {old}")
        text = text.replace(old, new, 1)
    content["job.toml"] = text.encode()
    return content


def files_of(folder: Path) -> dict[str, bytes]:
    """All files under a folder, by their path in it; the job's history and papers left out.

    Raises
    ------
    JobFolderError
        If one cannot be read.
    """
    with outside_faults(folder, "Reading"):
        return {
            path.relative_to(folder).as_posix(): path.read_bytes()
            for path in sorted(folder.rglob("*"))
            if path.is_file() and path.relative_to(folder).parts[0] not in {"history", "pack"}
        }


def place_files(folder: Path, content: Mapping[str, bytes]) -> None:
    """Write files into a folder that is empty or not there; nothing is left of a failed attempt.

    ``job.toml`` comes last, so that a folder with a job file is whole.

    Raises
    ------
    JobFolderError
        If the folder holds something, or cannot be written.
    """
    fresh = not folder.exists()
    if not fresh and (not folder.is_dir() or any(folder.iterdir())):
        raise JobFolderError(
            f"{folder}: there is something here already; nothing was changed.",
            remedy="Name a folder that is empty or not there yet.",
        )
    top = next((p for p in (folder, *folder.parents) if p.parent.exists()), folder)
    try:
        with outside_faults(folder, "Making"):
            for name in sorted(content, key=lambda name: (name == "job.toml", name)):
                path = folder / name
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(content[name])
    except BaseException:
        _take_back(top if fresh else folder, keep=not fresh)
        raise


def _take_back(folder: Path, *, keep: bool) -> None:
    """Remove what was begun; the folder itself stays where it was there before."""
    if not keep:
        shutil.rmtree(folder, ignore_errors=True)
        return
    for path in folder.iterdir():
        if path.is_dir():
            shutil.rmtree(path, ignore_errors=True)
        else:
            path.unlink(missing_ok=True)
