"""Watching: the job as its folder has it now, derived behind the pages' back."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from giornata.core.foundation import Finding, GiornataError
from giornata.core.job import JobResults, Stopped
from giornata.desk import Job, open_job
from giornata.files import job_file

__all__ = ["Deriving", "Faulty", "Halted", "JobWatch", "Ready", "Stamps", "State", "stamps"]

_JOB_FILE = "job.toml"
Stamps = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Deriving:
    """The job is being worked out.

    Parameters
    ----------
    step : str
        What is worked out just now; "" before the first.
    done, of : int
        Steps done, and how many there are; 0 of 0 while the files are read. [-]
    """

    step: str = ""
    done: int = 0
    of: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Halted:
    """It was stopped halfway because somebody asked for it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Faulty:
    """Files or readings from which no job can be worked out.

    Parameters
    ----------
    message, remedy : str
        What is so and what to do.
    findings : tuple of Finding
        All that is known, with lines where they come from a file.
    """

    message: str
    remedy: str
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ready:
    """The job, worked out.

    Parameters
    ----------
    version : str
        Digest of everything the results follow from.
    job : Job
        As opened.
    results : JobResults
        All of them.
    """

    version: str
    job: Job
    results: JobResults


State = Deriving | Halted | Faulty | Ready


class _Kept(dict[str, tuple[Any, str]]):
    """A memo that knows what the last run took from it, so that the rest can be let go."""

    def __init__(self) -> None:
        super().__init__()
        self.used: set[str] = set()

    def __getitem__(self, key: str) -> tuple[Any, str]:
        self.used.add(key)
        return super().__getitem__(key)

    def let_go(self) -> None:
        """Drop what the last run did not need."""
        for key in self.keys() - self.used:
            del self[key]
        self.used = set()


class _Run:
    """One working out of the job, on a thread of its own."""

    def __init__(self, watch: JobWatch, signature: Stamps, pool: ThreadPoolExecutor) -> None:
        self.signature = signature
        self.at = Deriving()
        self.stopping = threading.Event()
        self.result: Future[State] = pool.submit(watch.work_out, self)

    def tell(self, step: str, done: int, of: int) -> None:
        """Take note of how far it is."""
        self.at = Deriving(step=step, done=done, of=of)


class JobWatch:
    """A job folder that is looked at again at every request.

    Parameters
    ----------
    folder : Path
        The job folder.

    Notes
    -----
    What the pages show is worked out on a second thread, one run at a time; a change of the files
    stops a run that is under way and begins anew. Results are kept between runs, so that a change
    of one rate is worked out in a moment.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._artwork: Path | None = None
        self._memo = _Kept()
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="derive")
        self._lock = threading.Lock()
        self._run: _Run | None = None

    def look(self) -> State:
        """The job as it is now; begins to work it out where its files have changed."""
        with self._lock:
            if self._run is None or self._signature() != self._run.signature:
                self._begin()
            run = self._run
        if run is None or not run.result.done():
            return Deriving() if run is None else run.at
        return run.result.result()

    def halt(self) -> None:
        """Stop a run that is under way, between two steps."""
        with self._lock:
            if self._run is not None:
                self._run.stopping.set()

    def resume(self) -> None:
        """Begin again after a halt."""
        with self._lock:
            if self._run is None or self._run.stopping.is_set():
                self._begin()

    def close(self) -> None:
        """Stop for good."""
        self.halt()
        self._pool.shutdown(wait=False, cancel_futures=True)

    def _begin(self) -> None:
        if self._run is not None:
            self._run.stopping.set()
        self._run = _Run(self, self._signature(), self._pool)

    def _signature(self) -> Stamps:
        return stamps(path for path in (self.folder / _JOB_FILE, self._artwork) if path)

    def work_out(self, run: _Run) -> State:
        """Read the files and derive, on the run's thread."""
        try:
            read = job_file.read(self.folder / _JOB_FILE)
            artwork = self.folder / read.tables.artwork.file
            with self._lock:
                if artwork != self._artwork:
                    self._artwork = artwork
                    # The job file's stamp stays that of before it was read: a later one is seen.
                    run.signature = (*run.signature[:1], *stamps([artwork]))
            job = open_job(self.folder, memo=self._memo)
            results = job.results(progress=run.tell, stop=run.stopping.is_set)
        except Stopped:
            return Halted()
        except GiornataError as fault:
            return Faulty(
                message=self._private(fault.message),
                remedy=self._private(fault.remedy),
                findings=fault.findings,
            )
        self._memo.let_go()
        return Ready(version=job.content_digest, job=job, results=results)

    def _private(self, text: str) -> str:
        """A text without the folder's place on this machine."""
        return text.replace(f"{self.folder}/", "").replace(str(self.folder), "the job folder")


def stamps(paths: Iterable[Path]) -> Stamps:
    """By which a change of files is noticed."""
    return tuple(map(_stamp, paths))


def _stamp(path: Path) -> tuple[str, int, int]:
    try:
        stat = path.stat()
    except OSError:
        return (path.name, 0, 0)
    return (path.name, stat.st_mtime_ns, stat.st_size)
