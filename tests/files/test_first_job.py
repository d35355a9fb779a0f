"""The first job: every key of the job file is named in it, and what it comments out can be used."""

from __future__ import annotations

import re
import typing
from pathlib import Path

import pytest

import giornata
from giornata.files import job_file
from giornata.files.job_measures import Entry
from giornata.files.job_tables import JobTables

TEMPLATE = Path(giornata.__file__).parent / "files" / "first_job_template" / "job.toml"
#: Values that stand behind a "#" and may be written as they are, one at a time.
EXAMPLE = re.compile(
    r"# (?P<row>(?P<key>[a-z_]+) = (?:\[ .* \]|\{ .* \}|\"[^\"]*\"|[0-9.-]+|true))(?:\s|;|$)"
)


#: Two ways of saying one thing exclude one another, and say so.
EXCLUDES = re.compile(
    r"exactly one|no bays|one of the two|name beside them and no more|placed in one way"
    r"|give the size themselves"
)


def keys(table: type[Entry], seen: set[type[Entry]]) -> set[str]:
    """Every key that may be written in a table or in one inside it."""
    if table in seen:
        return set()
    seen.add(table)
    found = {field.alias or name for name, field in table.model_fields.items()}

    def inside(kind: object) -> set[str]:
        if isinstance(kind, type) and issubclass(kind, Entry):
            return keys(kind, seen)
        return {key for one in typing.get_args(kind) for key in inside(one)}

    return found | {k for f in table.model_fields.values() for k in inside(f.annotation)}


def test_every_key_of_the_job_file_is_named_in_the_first_job() -> None:
    text = TEMPLATE.read_text()
    every = keys(JobTables, set()) | {"schema"}
    assert len(every) > 150
    missing = {
        key for key in every if not re.search(rf"(?<![\w.]){key} = |\[(?:\w+\.)?{key}\]", text)
    }
    assert missing == set()


def test_what_is_commented_out_can_be_written_as_it_stands(tmp_path: Path) -> None:
    rows = TEMPLATE.read_text().split("\n")
    tried = set()
    for number, row in enumerate(rows):
        found = EXAMPLE.match(row)
        table = next((one for one in reversed(rows[:number]) if re.match(r"#? ?\[", one)), "")
        if found is None or not table.startswith("["):
            continue  # of a table that is commented out itself
        key = found["key"]
        text = "\n".join([*rows[:number], found["row"], *rows[number + 1 :]])
        path = tmp_path / "job.toml"
        path.write_text(text)
        try:
            job_file.read(path)
        except job_file.JobFileError as fault:
            said = " ".join(one.message for one in fault.findings)
            assert EXCLUDES.search(said), (key, said)
        tried.add(key)
    assert {"zone", "first", "usable_from", "nearest", "pan", "contrast", "stated"} <= tried


@pytest.mark.parametrize("name", ["preparation", "access", "power", "transfer", "marks"])
def test_a_table_that_is_commented_out_can_be_written_as_it_stands(
    tmp_path: Path, name: str
) -> None:
    rows = TEMPLATE.read_text().split("\n")
    begin = next(k for k, row in enumerate(rows) if row.startswith(f"# [{name}]"))
    end = next(k for k in range(begin, len(rows)) if not rows[k].strip())
    found = [EXAMPLE.match(row) for row in rows[begin + 1 : end]]
    block = [f"[{name}]", *(one["row"] for one in found if one)]
    assert len(block) > 3
    path = tmp_path / "job.toml"
    path.write_text("\n".join([*rows[:begin], *block, *rows[end:]]))
    assert getattr(job_file.read(path).tables, name) is not None
