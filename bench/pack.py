"""The demo job from cold to its full pack, the renderers' share of it, and a change of one rate.

Cold is a new process that copies the demo job, reads it, derives everything and writes the pack,
held to two processors. The renderers' share is counted in processor seconds of another run, in
which documents are made one after another: typst, Skia, Pillow's PNG writer and XlsxWriter, each
timed around its own calls, against all that the run took. So the share is what general-purpose
libraries need for the same papers, and the rest is giornata's own. A change of one rate is set in
the job file, read again and derived with what the first run has kept.

    python bench/pack.py
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import Future
from datetime import UTC, datetime
from functools import wraps
from pathlib import Path
from typing import Any
from unittest.mock import patch

PROCESSORS = 2
RUNS = 3
CHANGES = (
    ("labour.edge", "16 m/h", "15 m/h"),
    ("labour.fill", "14 m²/h", "15 m²/h"),
    ("price.rate", "155 EUR", "150 EUR"),
    ("price.contingency", "6 %", "5 %"),
)


def cold(folder: Path) -> float:
    """Seconds from the command to the pack, in a new process on two processors."""
    shutil.rmtree(folder, ignore_errors=True)
    command = [sys.executable, "-m", "giornata", "demo", "--to", str(folder), "--quiet"]
    start = time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    seconds = time.perf_counter() - start
    if done.returncode not in (0, 1):
        sys.exit(done.stderr)
    return seconds


class Renderers:
    """Processor seconds spent inside calls of general-purpose libraries."""

    def __init__(self) -> None:
        self.seconds: dict[str, float] = {}
        self._depth = 0

    def watch(self, name: str, owner: Any, *attributes: str) -> None:
        for attribute in attributes:
            setattr(owner, attribute, self._timed(name, getattr(owner, attribute)))

    def _timed(self, name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(call)
        def timed(*args: Any, **options: Any) -> Any:
            start = time.process_time()
            self._depth += 1
            try:
                return call(*args, **options)
            finally:
                self._depth -= 1
                if self._depth == 0:  # a call inside another one is counted once
                    spent = self.seconds.get(name, 0.0) + time.process_time() - start
                    self.seconds[name] = spent

        return timed


class OneByOne:
    """Stands for the pool, and makes each document at once, so that times do not mix."""

    def __init__(self, at_once: int) -> None:
        del at_once

    def __enter__(self) -> OneByOne:
        return self

    def __exit__(self, *fault: object) -> None:
        return None

    def submit(self, make: Callable[[], bytes]) -> Future[bytes]:
        future: Future[bytes] = Future()
        future.set_result(make())
        return future

    def shutdown(self, **how: bool) -> None:
        del how


def watched() -> tuple[float, float, dict[str, float]]:
    """Processor seconds of deriving, of the pack, and of the renderers in it, in this process."""
    import skia
    import typst
    import xlsxwriter
    from PIL import Image

    from giornata.desk import open_job, packing
    from giornata.files.examples import example_job

    renderers = Renderers()
    renderers.watch("typst", typst, "compile_with_warnings", "Fonts")
    renderers.watch("Pillow's PNG", Image.Image, "save")
    renderers.watch("XlsxWriter", xlsxwriter.Workbook, "close")
    renderers.watch("Skia", skia.Canvas, "drawPath", "drawRect", "drawString", "clipPath", "clear")
    one_by_one = patch.object(packing, "ThreadPoolExecutor", OneByOne)
    with tempfile.TemporaryDirectory() as place, one_by_one:
        folder = Path(place) / "job"
        shutil.copytree(example_job("port-merrow"), folder)
        start = time.process_time()
        job = open_job(folder)
        job.results()
        derived = time.process_time() - start
        packing.pack(job, at=datetime.now(UTC))
        return derived, time.process_time() - start - derived, renderers.seconds


def changed(folder: Path) -> dict[str, tuple[float, float]]:
    """Seconds after a change of each rate: to derive, and with reading the job folder again."""
    from giornata.desk import open_job, set_value

    memo: dict[str, Any] = {}
    open_job(folder, memo=memo).results()
    spent = {}
    for key, text, back in CHANGES:
        derived, whole = [], []
        for value in (text, back) * 3:
            set_value(folder, key, value)
            start = time.perf_counter()
            job = open_job(folder, memo=memo)
            read = time.perf_counter()
            before = len(memo)
            job.results()
            derived.append(time.perf_counter() - read)
            whole.append(time.perf_counter() - start)
            if len(memo) == before and not derived[1:]:
                sys.exit(f"{key} changed nothing")
        spent[key] = (statistics.median(derived), statistics.median(whole))
    return spent


def main() -> None:
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:PROCESSORS])
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "job"
        times = [cold(folder) for _ in range(RUNS)]
        once = statistics.median(times)
        files = sum(1 for file in (folder / "pack").rglob("*") if file.is_file())
        print(f"demo job from cold to its pack of {files} files: {once:.1f} s (median of {RUNS})")
        print(f"\n{'a change of one rate':24}{'derive s':>10}{'of cold':>9}", end="")
        print(f"{'+ read s':>10}{'of cold':>9}")
        for key, (derived, whole) in changed(folder).items():
            print(
                f"{key:24}{derived:10.3f}{100 * derived / once:8.2f}%"
                f"{whole:10.3f}{100 * whole / once:8.2f}%"
            )
    derived, packed, renderers = watched()
    total = derived + packed
    print(f"\n{'processor seconds, one by one':36}{'s':>8}{'share':>9}")
    inside = sum(renderers.values())
    rows = {
        "reading and deriving": derived,
        **{f"pack: {name}": seconds for name, seconds in renderers.items()},
        "pack: giornata's own": packed - inside,
        "all": total,
    }
    for name, seconds in rows.items():
        print(f"{name:36}{seconds:8.2f}{100 * seconds / total:8.1f}%")
    print(
        f"\nthird-party renderers {100 * inside / total:.0f} % of the run; "
        f"the run is {total / inside:.2f} times the renderers alone"
    )


if __name__ == "__main__":
    main()
