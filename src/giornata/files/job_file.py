"""The job file: read whole, every fault reported at its line; saved with comments kept."""

from __future__ import annotations

import hashlib
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import tomlkit
from pydantic import ValidationError
from tomlkit.exceptions import ParseError, TOMLKitError

from giornata.core.foundation import (
    Finding,
    JobFileError,
    JobFolderError,
    StaleJobError,
    System,
    fault_in_units,
)
from giornata.files import history
from giornata.files.job_faults import cross_checked, fault_at, translated
from giornata.files.job_tables import JobTables
from giornata.files.saving import outside_faults
from giornata.files.toml_lines import KeyPath, line_of, lines

__all__ = ["SCHEMA", "JobFile", "change", "checked", "document", "file_digest", "read", "write"]

SCHEMA = 1
_LARGEST = 4_000_000  # bytes; the demo's job file is under 10 kB


@dataclass(frozen=True, slots=True, kw_only=True)
class JobFile:
    """A job file that was read.

    Parameters
    ----------
    path : Path
        Where it lies.
    digest : str
        Digest of its bytes, by which a later change is noticed.
    tables : JobTables
        What it says.
    """

    path: Path
    digest: str
    tables: JobTables


def file_digest(content: bytes) -> str:
    """Digest of a job file's bytes, 16 hexadecimal digits."""
    return hashlib.blake2b(content, digest_size=8).hexdigest()


def read(path: Path) -> JobFile:
    """The job file, checked whole.

    Raises
    ------
    JobFolderError
        If there is no such file or it cannot be read.
    JobFileError
        If it has faults; ``findings`` holds them all, each with its line.
    """
    content = _bytes(path)
    return JobFile(path=path, digest=file_digest(content), tables=checked(path, content))


def checked(path: Path, content: bytes) -> JobTables:
    """The tables in the bytes of a job file.

    Raises
    ------
    JobFileError
        If there are faults; ``findings`` holds them all, each with its line.
    """
    document, broken = _parsed(path.name, _text(path, content))
    findings = list(broken)
    if document is None:
        raise _refused(path, findings)
    raw = document.unwrap()
    where = lines(document.as_string())
    if not broken:
        findings += _schema(path.name, raw, where)
    tables = None
    if not any(f.code == "job.newer_file" for f in findings):
        raw.pop("schema", None)
        try:
            tables = JobTables.model_validate(raw)
        except ValidationError as fault:
            # What is missing may stand on a line that cannot be read.
            said = [e for e in fault.errors() if not (broken and e["type"] == "missing")]
            findings += [translated(path.name, e, where) for e in said]
        if not broken:  # a name may stand on the line that cannot be read
            findings += cross_checked(path.name, raw, tables, where)
    if findings or tables is None:
        findings.sort(key=lambda f: f.place.line if f.place else 0)
        findings = [fault_in_units(one, _units(raw)) for one in findings]
        raise _refused(path, findings)
    return tables


def _refused(path: Path, findings: list[Finding]) -> JobFileError:
    return JobFileError(
        f"{path}: {len(findings)} fault{'s' * (len(findings) > 1)} in the job file.",
        remedy="Correct the lines named below; nothing else was changed.",
        findings=tuple(findings),
    )


def _units(raw: dict[str, Any]) -> System:
    """The units of a job that may have faults; metric where it does not say."""
    title = raw.get("job")
    units = title.get("units") if isinstance(title, dict) else None
    return System.US if units == str(System.US) else System.METRIC


def _bytes(path: Path) -> bytes:
    if not path.is_file():
        raise JobFolderError(
            f"{path}: there is no job file here.",
            remedy="Name the folder that holds job.toml, or begin one with: giornata new FOLDER",
        )
    with outside_faults(path, "Reading"):
        size = path.stat().st_size
        if size > _LARGEST:
            raise JobFolderError(
                f"{path}: {size / 1e6:,.0f} MB is no job file (at most {_LARGEST / 1e6:.0f} MB).",
                remedy="Check that the right file is called job.toml.",
            )
        return path.read_bytes()


def _text(path: Path, content: bytes) -> str:
    def refuse(message: str, line: int, remedy: str) -> JobFileError:
        finding = fault_at(path.name, "job.not_text_file", path.name, message, remedy, line)
        return JobFileError(f"{path}: {message}", remedy=remedy, findings=(finding,))

    if not content.strip():
        raise refuse(
            "The job file is empty.", 0, "Undo with: giornata undo FOLDER, or copy the example."
        )
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content.count(b"\n", 0, fault.start) + 1
        raise refuse(
            "The job file is not text in UTF-8.", line, "Save it as UTF-8 in a text editor."
        ) from fault
    control = re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", text)
    if control:
        line = text.count("\n", 0, control.start()) + 1
        raise refuse(
            "The job file holds bytes that are no text.", line, "Take the file from history/."
        )
    return text.replace("\r\n", "\n")


def _parsed(name: str, text: str) -> tuple[tomlkit.TOMLDocument | None, list[Finding]]:
    """The document, with lines that are no TOML blanked out and reported, all at once.

    None where what is left makes no document: then nothing can be said of its tables.
    """
    rows = text.split("\n")
    findings: list[Finding] = []
    seen: set[int] = set()
    while True:
        try:
            return tomlkit.parse("\n".join(rows)), findings
        except ParseError as fault:
            line, said = fault.line, str(fault).partition(" at line ")[0]
        except (TOMLKitError, ValueError) as fault:
            line, said = 0, str(fault)
        if "already exists" in said:  # which of the two is meant cannot be told
            return None, [*findings, _twice(name, said, "\n".join(rows))]
        if not 1 <= line <= len(rows) or line in seen or len(seen) >= 200:
            return None, [*findings, _broken(name, said, line)]
        seen.add(line)
        findings.append(_broken(name, said, line))
        rows[line - 1] = ""


def _twice(name: str, said: str, text: str) -> Finding:
    """A table or key that stands twice, at the line of the second one."""
    line = 0
    try:
        tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        at = re.search(r"at line (\d+)", str(fault))
        line = int(at[1]) if at else 0
    what = re.search(r'"[^"]*"', said)
    return fault_at(
        name, "job.broken_line", f"line {line}" if line else name,
        f"{what[0] if what else 'A key'} stands in the file a second time.",
        "Put both into one, or take one out.", line,
    )  # fmt: skip


def _broken(name: str, said: str, line: int) -> Finding:
    return fault_at(
        name, "job.broken_line", f"line {line}" if line else name,
        f"This line cannot be read: {said[:1].lower()}{said[1:].rstrip('.')}.",
        'Look for a missing quote, bracket or "=", here or on the line before.', line,
    )  # fmt: skip


def _schema(name: str, raw: dict[str, Any], where: dict[KeyPath, int]) -> list[Finding]:
    number = raw.get("schema")
    if number is None:
        return [
            fault_at(name, "job.no_schema", "schema", "The job file does not say its schema.",
                   f"Write schema = {SCHEMA} at the top.", 1)
        ]  # fmt: skip
    line = line_of(("schema",), where)
    if isinstance(number, int) and not isinstance(number, bool) and number > SCHEMA:
        return [
            fault_at(name, "job.newer_file", "schema",
                   f"The file was made by a newer giornata (schema {number}; this one reads "
                   f"{SCHEMA}).", "Install the newer giornata.", line)
        ]  # fmt: skip
    if number != SCHEMA or isinstance(number, bool):
        return [
            fault_at(name, "job.unknown_schema", "schema", f"{number!r} is no schema number.",
                   f"Write schema = {SCHEMA}.", line)
        ]  # fmt: skip
    return []


def document(path: Path) -> tomlkit.TOMLDocument:
    """The job file with its comments and layout, to be changed and written.

    Raises
    ------
    JobFolderError, JobFileError
        If it is missing or no text; a file that can be changed is one that `read` takes.
    """
    return tomlkit.parse(_text(path, _bytes(path)))


def write(path: Path, document: tomlkit.TOMLDocument, *, expected: str) -> str:
    """Save a job document, comments and all, and keep the former file in ``history/``.

    Parameters
    ----------
    expected : str
        Digest of the file that the change was made from.

    Returns
    -------
    str
        Digest of the new file.

    Raises
    ------
    StaleJobError
        If the file has changed since.
    JobFileError
        If the new document has faults; nothing is saved.
    """
    _unchanged(path, expected)
    content = document.as_string().encode()
    try:
        checked(path, content)
    except JobFileError as fault:
        count = len(fault.findings)
        raise JobFileError(
            f"{path}: the change would leave {count} fault{'s' * (count > 1)} in the job file.",
            remedy="Nothing was saved. Correct the value and try again.",
            findings=fault.findings,
        ) from fault
    with history.alone(path):
        _unchanged(path, expected)
        history.save(path, content)
    return file_digest(content)


def _unchanged(path: Path, expected: str) -> None:
    if file_digest(_bytes(path)) != expected:
        raise StaleJobError(
            f"{path} has changed since you looked at it.",
            remedy="Look at the job again, then make the change once more.",
        )


def change(path: Path, key: str, value: Any, *, expected: str) -> str:
    """Set one value of the job file by its dotted key; digest of the new file.

    Elements of arrays are counted from 1, as findings print them ("wall.bays.3.length").

    Raises
    ------
    JobFileError
        If the key leads nowhere or the value is refused.
    StaleJobError
        If the file has changed since.
    """
    changed = document(path)
    node: Any = changed
    parts = key.split(".")
    try:
        for part in parts[:-1]:
            node = node[_counted(part)] if isinstance(node, list) else node[part]
        last = parts[-1]
        if isinstance(node, list):
            node[_counted(last)] = value
        else:
            node[last] = value
    except (KeyError, IndexError, ValueError, TypeError, TOMLKitError) as fault:
        finding = fault_at(
            path.name, "job.no_such_key", key, f'"{key}" leads nowhere in the job file.',
            "Name the key as the file spells it, for example price.rate; a table that the file has "
            "not is written by hand.", 0,
        )  # fmt: skip
        raise JobFileError(finding.message, remedy=finding.remedy, findings=(finding,)) from fault
    return write(path, changed, expected=expected)


def _counted(part: str) -> int:
    """Place in an array of what is counted from 1."""
    if not re.fullmatch(r"[1-9][0-9]*", part):
        raise IndexError(part)
    return int(part) - 1
