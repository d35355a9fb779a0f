"""Errors: callers' mistakes and the outside world. Problems of the job are findings.

The tree::

    Exception
    ├── ValueError                 a caller broke a function's stated range
    └── GiornataError              the outside world said no; carries a remedy
        ├── JobFolderError         the folder is missing, unreadable, read-only or full
        ├── JobFileError           job.toml cannot be read; carries all its findings
        ├── StaleJobError          the job changed since the verb's caller looked at it
        ├── ArtworkError           the artwork file is refused or cannot be read
        ├── PhotoError             a photo of the wall is refused or cannot be read
        ├── NoWallError                the readings give no wall; carries its findings
        ├── RenderError            a third-party renderer failed
        └── ToolMissingError       something giornata needs is not installed
"""

from __future__ import annotations

from giornata.core.foundation.findings import Finding

__all__ = [
    "ArtworkError",
    "GiornataError",
    "JobFileError",
    "JobFolderError",
    "NoWallError",
    "PhotoError",
    "RenderError",
    "StaleJobError",
    "ToolMissingError",
]


class GiornataError(Exception):
    """Something outside the program failed.

    Parameters
    ----------
    message : str
        What happened, and where.
    remedy : str
        What the painter can do about it.
    findings : tuple of Finding
        All the findings known, where there is more than one thing to say.
    """

    def __init__(self, message: str, *, remedy: str, findings: tuple[Finding, ...] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy
        self.findings = findings


class JobFolderError(GiornataError):
    """The job folder is missing, unreadable, read-only or full."""


class JobFileError(GiornataError):
    """The job file cannot be read; ``findings`` holds every fault found in it."""


class StaleJobError(GiornataError):
    """The job has changed since the caller looked at it."""


class ArtworkError(GiornataError):
    """The artwork file is refused or cannot be read."""


class PhotoError(GiornataError):
    """A photo of the wall is refused or cannot be read."""


class NoWallError(GiornataError):
    """The survey's readings give no wall to work on; ``findings`` says why."""


class RenderError(GiornataError):
    """A third-party renderer failed."""


class ToolMissingError(GiornataError):
    """Something giornata needs is not installed."""
