"""Foreign drawings read and compared with independent renderers' pictures of the same files.

    python tools/corpus_report.py [FOLDER] [--clipart 300] [--browser 60] [--side 1200]

Prints every file that is not right with the reason, and a summary: of the SVG files of a folder
(all of them), and of so many flat drawings of Debian's openclipart-svg, evenly spaced; of the
folder's files evenly spaced so many are also compared with Chromium. How a file is judged stands
at the top of ``foreign_art/comparing.py``.

Flat is a drawing whose source has no image, filter (element or property), gradient, pattern or
text, used or not, and in whose picture at most 24 colours cover 99.8 % of the canvas.
"""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable
from contextlib import nullcontext
from importlib.metadata import version
from pathlib import Path

import numpy as np

from foreign_art.browser import Chromium, chromium_path
from foreign_art.comparing import Verdict, judged, judged_by_browser
from foreign_art.sources import flat_by_source, kinds_in, unknown_to_resvg

CLIPART = Path("/usr/share/openclipart/svg")
_PACKAGES = ("giornata", "typst", "pikepdf", "skia-python", "shapely", "resvg-py", "playwright")


__all__ = [
    "Chromium",
    "chromium_path",
    "flat_by_source",
    "judged",
    "judged_by_browser",
    "unknown_to_resvg",
]


def spaced(files: Iterable[Path], count: int) -> list[Path]:
    """So many evenly spaced files of a sorted list: the same ones each time."""
    listed = sorted(files)
    return listed[:: max(1, len(listed) // count)][:count] if count else []


def summary(name: str, verdicts: list[Verdict]) -> str:
    """One line on a group of files."""
    counts = Counter(verdict.outcome for verdict in verdicts)
    line = f"{name}: {len(verdicts)} files, " + ", ".join(f"{v} {k}" for k, v in counts.items())
    compared = len(verdicts) - counts["refused"]
    if compared:
        line += f"; right {counts['right'] / compared:.2%} of {compared}"
    right = [verdict.area_error for verdict in verdicts if verdict.outcome == "right"]
    if right:
        line += f"; area error median {np.median(right):.1e}, worst {max(right):.1e}"
    if verdicts:
        times = sorted(verdict.seconds for verdict in verdicts)
        line += f"; {np.median(times) * 1000:.0f} ms median, {times[-1]:.2f} s worst"
    return line


def told(name: str, verdicts: list[Verdict], *, every: bool) -> None:
    """Print a group, file by file where not right or where all are asked for."""
    print(summary(name, verdicts))
    for v in verdicts:
        if every or v.outcome != "right":
            print(
                f"  {v.outcome:8} {v.name}  area {v.area_error:.4%}  place {v.place_error:.4%}"
                f"  {v.by}  {' '.join(v.codes)}  {v.why[:100]}".rstrip()
            )


def versions(browser: Chromium | None) -> str:
    """What was compared with what."""
    said = [f"{name} {version(name)}" for name in _PACKAGES]
    if browser is not None:
        said.append(f"Chromium {browser.version}")
    query = shutil.which("dpkg-query")
    if query and CLIPART.is_dir():
        asked = [query, "-W", "-f=${Version}", "openclipart-svg"]
        said.append("openclipart-svg " + subprocess.check_output(asked, text=True))
    return ", ".join(said)


def right_findings(folder: Path, verdicts: list[Verdict]) -> str:
    """Whether what is said of files that are not flat is what their sources hold."""
    flagged = right = 0
    for verdict in verdicts:
        codes = set(kinds_in((folder / verdict.name).read_text("utf-8", "replace")).values())
        if verdict.outcome == "flagged" and codes:
            flagged += 1
            right += bool(codes & set(verdict.codes))
    return f"of {flagged} flagged, {right} by the finding of a kind that the source holds"


def main() -> int:
    """Judge the files and print the outcome; 1 if any is silently wrong."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path, nargs="?", help="folder of SVG files")
    parser.add_argument("--clipart", type=int, default=0, help="so many of openclipart-svg")
    parser.add_argument("--browser", type=int, default=0, help="so many also by Chromium")
    parser.add_argument("--side", type=int, default=1200, help="pixels along the larger side")
    parser.add_argument("--all", action="store_true", help="name the right files too")
    options = parser.parse_args()
    path = chromium_path()
    wrong = 0
    with Chromium(path) if path else nullcontext() as browser:
        print(versions(browser))
        if options.folder is not None:
            files = sorted(options.folder.glob("*.svg"))
            verdicts = [judged(file, options.side, browser) for file in files]
            for name, flat in (("flat", True), ("not flat", False)):
                group = [v for v in verdicts if v.flat is flat]
                told(f"{options.folder.name}, {name}", group, every=options.all)
                if not flat:
                    print("  " + right_findings(options.folder, group))
            wrong += sum(v.outcome == "wrong" for v in verdicts)
            if browser is not None and options.browser:
                named = {v.name for v in verdicts if v.flat}
                some = spaced((file for file in files if file.name in named), options.browser)
                again = [judged_by_browser(file, browser, options.side) for file in some]
                told(f"{options.folder.name}, by Chromium", again, every=options.all)
        if options.clipart and CLIPART.is_dir():
            art = [
                file
                for file in sorted(CLIPART.rglob("*.svg"))
                if flat_by_source(file.read_text("utf-8", "replace"))
            ]
            verdicts = [
                judged(file, options.side, browser) for file in spaced(art, options.clipart)
            ]
            told("openclipart-svg, flat by source", verdicts, every=options.all)
            wrong += sum(v.outcome == "wrong" for v in verdicts)
    print(f"silently wrong: {wrong}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
