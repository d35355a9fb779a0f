"""The job file: what it says, faults with their lines, saving and undoing."""

from __future__ import annotations

import errno
import math
import re
import shutil
from decimal import Decimal
from pathlib import Path

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from giornata.core.foundation import (
    Dimension,
    JobFileError,
    JobFolderError,
    StaleJobError,
    parse,
)
from giornata.core.setting_out import Edge, Filling, FitTerms, Into, PointPair, Tie
from giornata.files import history, job_file, toml_lines

DEMO = Path(__file__).parents[2] / "examples" / "port-merrow" / "job.toml"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return Path(shutil.copy(DEMO, tmp_path / "job.toml"))


def faults(path: Path) -> JobFileError:
    with pytest.raises(JobFileError, match="fault") as caught:
        job_file.read(path)
    return caught.value


def spoiled(job: Path, *changes: tuple[str, str]) -> JobFileError:
    text = job.read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    job.write_text(text)
    return faults(job)


def line_with(job: Path, words: str) -> int:
    return next(n for n, row in enumerate(job.read_text().splitlines(), 1) if words in row)


def test_the_demo_job_is_read_into_si(job):
    tables = job_file.read(job).tables
    assert tables.wall.overall == 78.6
    assert tables.wall.bends[0].angle == pytest.approx(math.radians(14))
    assert tables.labour.fill == pytest.approx(15 / 3600)
    assert tables.paint.spreading_rate == pytest.approx(6000.0)
    assert tables.price.rate.currency == "EUR"
    assert tables.price.contingency == Decimal("0.05")
    assert tables.palette()[0].number == 1


def test_all_faults_are_reported_at_once_with_their_lines(job):
    error = spoiled(
        job,
        ('overall = "78.60 m"', 'overall = "78.60"'),
        ('currency = "EUR"', 'currency = "EURO"'),
        ('name = "1", length = "6.55 m"', 'name = "1", length = "-6.55 m"'),
        ('datum = "Left end', 'datums = "Left end'),
        ("columns = 1920", 'columns = "many"'),
    )
    found = {(f.code, f.place.line) for f in error.findings if f.place}
    assert ("units.missing", line_with(job, 'overall = "78.60"')) in found
    assert ("job.unknown_currency", line_with(job, "EURO")) in found
    assert ("job.impossible", line_with(job, "-6.55 m")) in found
    assert ("job.unknown_key", line_with(job, "datums")) in found
    assert ("job.missing", line_with(job, "[wall]")) in found
    assert ("job.wrong_kind", line_with(job, "many")) in found
    assert all(f.remedy for f in error.findings)


def test_broken_lines_are_all_reported(job):
    error = spoiled(
        job, ('units = "metric"', 'units = "metric'), ("columns = 1920", "columns == 1920")
    )
    broken = [f.place.line for f in error.findings if f.code == "job.broken_line" and f.place]
    assert line_with(job, 'units = "metric') in broken
    assert line_with(job, "columns ==") in broken


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("schema = 1", "", "job.no_schema"),
        ("schema = 1", "schema = 2", "job.newer_file"),
        ("schema = 1", 'schema = "one"', "job.unknown_schema"),
        ('surface = "rough render"', 'surface = "marble"', "job.not_a_choice"),
        ('rate = "150 EUR"', "rate = 150", "job.not_text"),
        ('rate = "150 EUR"', 'rate = "150"', "job.not_money"),
        ('rate = "150 EUR"', 'rate = "1,50.5 EUR"', "job.not_money"),
        ('rate = "150 EUR"', 'rate = "-150 EUR"', "job.below_zero"),
        ('price = "26 EUR/L"', 'price = "26 USD/L"', "job.two_currencies"),
        ('price = "26 EUR/L"', 'price = "26 EUR"', "job.not_money"),
        ('contingency = "5 %"', 'contingency = "5"', "job.not_a_share"),
        ('throw = "1.4 - 2.2"', 'throw = "2.2 - 1.4"', "job.not_a_throw_ratio"),
        ("contrast = 5", "contrast = true", "job.not_a_number"),
        ('haze = "#cfdad6"', 'haze = "grey"', "job.not_a_colour"),
        ('haze = "#cfdad6"', 'hazy = "#cfdad6"', "job.colour_missing"),
        ('haze = "#cfdad6"', 'haze = "#cfdad6"\nnight = "#000000"', "job.unknown_paint"),
        ('role = "ground"', 'role = "figure"', "job.one_ground"),
        ('name = "2", length', 'name = "1", length', "job.name_twice"),
        ('option = "A"', 'option = "Z"', "job.unknown_choice"),
        ('to = "25.00 m"', 'to = "20.00 m"', "job.impossible"),
        ("columns = 1920", "columns = 0", "job.wrong_kind"),
        ("mirrored = false", 'fit = { bands = ["tied"] }', "job.unknown_paint"),
        ("mirrored = false", 'fit = { least_gap = "0 mm" }', "job.impossible"),
        ("mirrored = false", 'fit = { least_gaps = "9 mm" }', "job.unknown_key"),
        ("mirrored = false", 'ties = [{ artwork = 9, to = "pier P9" }]', "job.unknown_place"),
        ("mirrored = false", 'ties = [{ artwork = 9, to = "step 2" }]', "job.unknown_place"),
        (
            "mirrored = false",
            'ties = [{ artwork = 9, to = "end", edge = "top" }]',
            "job.not_a_choice",
        ),
        ("mirrored = false", 'into = { from = "0 m", to = "9 m" }', "job.impossible"),
        (
            "mirrored = false",
            'points = [{ artwork = [1, 2], at = "1", level = "0 m" }]',
            "units.missing",
        ),
        ("mirrored = false", "turn = true", "job.impossible"),
        ("[nights]", '[marks]\naccuracy = "0 mm"\n[nights]', "job.impossible"),
        ("[nights]", '[marks]\naccuracy = "10"\n[nights]', "units.missing"),
        ("[nights]", '[marks]\nseam = "0 mm"\n[nights]', "job.impossible"),
        (
            "[nights]",
            '[[marks.chalked]]\nname = "N"\nchainage = "3"\nlevel = "1 m"\n[nights]',
            "units.missing",
        ),
        (
            "[nights]",
            '[[marks.chalked]]\nname = " "\nchainage = "3 m"\nlevel = "1 m"\n[nights]',
            "job.impossible",
        ),
    ],
)
def test_each_fault_has_its_finding(job, old, new, code):
    error = spoiled(job, (old, new))
    assert code in {f.code for f in error.findings}
    assert all(f.place and f.place.file == "job.toml" for f in error.findings)


def test_a_colour_in_two_paints(job):
    text = job.read_text()
    first = job_file.read(job).tables.paints[0].artwork[0]
    second = job_file.read(job).tables.paints[1].artwork[0]
    job.write_text(text.replace(f'artwork = ["{second}"', f'artwork = ["{first}"', 1))
    assert "job.colour_twice" in {f.code for f in faults(job).findings}


def test_an_empty_list_that_needs_an_entry(tmp_path):
    text = DEMO.read_text()
    head, _, tail = text.partition("[[options]]")
    rest = tail[tail.index("[[colourways]]") :]
    path = tmp_path / "job.toml"
    path.write_text(head.replace("schema = 1", "schema = 1\noptions = []", 1) + rest)
    assert "job.none" in {f.code for f in faults(path).findings}


@pytest.mark.parametrize(
    "content", [b"", b"   \n", b"\xff\xfe\x00binary", b"schema = 1\x00", bytes(range(256))]
)
def test_what_is_no_text_is_refused_with_a_remedy(job, content):
    job.write_bytes(content)
    with pytest.raises(JobFileError, match=r"job\.toml") as caught:
        job_file.read(job)
    assert caught.value.findings[0].code == "job.not_text_file"


def test_a_huge_file_is_refused_before_it_is_read(job):
    with job.open("r+b") as file:
        file.truncate(1_000_000_000)
    with pytest.raises(JobFolderError, match="1,000 MB is no job file"):
        job_file.read(job)


def test_a_missing_file_names_the_way_to_begin(tmp_path):
    with pytest.raises(JobFolderError, match="no job file here"):
        job_file.read(tmp_path / "job.toml")


@settings(max_examples=30)
@given(st.integers(0, 4000))
def test_a_file_cut_off_anywhere_gives_findings_and_no_crash(tmp_path_factory, length):
    path = tmp_path_factory.mktemp("cut") / "job.toml"
    path.write_bytes(DEMO.read_bytes()[:length])
    with pytest.raises(JobFileError, match=r"job\.toml") as caught:
        job_file.read(path)
    assert caught.value.findings


def test_comments_live_through_a_change_and_undo_restores_the_bytes(job):
    before = job.read_bytes()
    digest = job_file.read(job).digest
    after = job_file.change(job, "price.rate", "160 EUR", expected=digest)
    assert job_file.read(job).digest == after != digest
    changed = job.read_text()
    assert 'rate = "160 EUR"' in changed
    assert changed.count("#") == before.decode().count("#")
    history.undo(job)
    assert job.read_bytes() == before
    assert (job.parent / "history" / "undone-0001.toml").read_text() == changed


def test_an_element_of_a_list_is_changed_by_its_place(job):
    digest = job_file.read(job).digest
    job_file.change(job, "wall.bays.3.length", "6.60 m", expected=digest)
    assert job_file.read(job).tables.wall.bays[2].length == 6.6


def test_nothing_to_undo(job):
    with pytest.raises(JobFolderError, match="no earlier job file"):
        history.undo(job)


def test_a_change_to_a_job_that_moved_on_is_refused(job):
    digest = job_file.read(job).digest
    job.write_text(job.read_text() + "\n# a note\n")
    with pytest.raises(StaleJobError, match="has changed since"):
        job_file.change(job, "price.rate", "160 EUR", expected=digest)


def test_a_change_that_would_break_the_job_is_refused_and_nothing_saved(job):
    before = job.read_bytes()
    with pytest.raises(JobFileError, match="would leave 1 fault"):
        job_file.change(job, "price.rate", "cheap", expected=job_file.read(job).digest)
    assert job.read_bytes() == before
    assert not (job.parent / "history").exists()


def test_a_key_that_leads_nowhere(job):
    with pytest.raises(JobFileError, match="leads nowhere") as caught:
        job_file.change(job, "prices.rate.x", "1", expected=job_file.read(job).digest)
    assert caught.value.findings[0].code == "job.no_such_key"


@pytest.mark.parametrize(
    ("number", "said"),
    [(errno.ENOSPC, "disk is full"), (errno.EROFS, "read-only"), (errno.EIO, "input/output")],
)
def test_a_disk_that_fails_leaves_the_old_file(job, monkeypatch, number, said):
    before = job.read_bytes()
    digest = job_file.read(job).digest

    def fail(_: int) -> None:
        raise OSError(number, "Input/output error")

    monkeypatch.setattr("os.fsync", fail)
    with pytest.raises(JobFolderError, match=said):
        job_file.change(job, "price.rate", "160 EUR", expected=digest)
    assert job.read_bytes() == before
    assert not list(job.parent.rglob("*.giornata-tmp"))


def test_lines_of_the_demo_job_are_where_the_keys_stand():
    text = DEMO.read_text()
    rows = text.splitlines()
    found = toml_lines.lines(text)
    for path, line in found.items():
        named = [p for p in path if isinstance(p, str)]
        if isinstance(path[-1], str):
            assert named[-1] in rows[line - 1], path
    assert len(found) > 150


def test_lines_agree_with_every_key_that_tomlkit_reads():
    # tomlkit is the independent reader: each leaf it finds has a line of its own here.
    text = '''
"odd key" = 1
a.b.c = """x
# no comment
""" # one
[t]
list = [1, # first
  { x = "]", y = [ { z = 1 } ] },
]
[[r]]
k = 'it''s' if 0 else 1
'''.replace("'it''s' if 0 else 1", "'#'")
    found = toml_lines.lines(text)
    document = tomlkit.parse(text).unwrap()

    def leaves(value, path=()):
        if isinstance(value, dict):
            for key, part in value.items():
                yield from leaves(part, (*path, key))
        elif isinstance(value, list):
            for index, part in enumerate(value):
                yield from leaves(part, (*path, index))
        else:
            yield path

    assert {p: found[p] for p in leaves(document)} == {
        ("odd key",): 2,
        ("a", "b", "c"): 3,
        ("t", "list", 0): 7,
        ("t", "list", 1, "x"): 8,
        ("t", "list", 1, "y", 0, "z"): 8,
        ("r", 0, "k"): 11,
    }


def test_places_ties_and_fit_of_the_artwork_are_read(job):
    changed = job.read_text()
    changed = changed.replace('width = "78.60 m"', "").replace(
        "mirrored = false",
        """mirrored = false
ties = [{ artwork = 131, to = "pier P1", edge = "left" }, { artwork = 5240, to = "step 1" }]
fit = { to = "78.00 m", least_gap = "30 mm", bands = ["tide"], band_length = "2 m" }""",
    )
    job.write_text(changed)
    placement = job_file.read(job).tables.artwork.record()
    assert placement.ties == (
        Tie(artwork=131.0, to="pier P1", edge=Edge.LEFT),
        Tie(artwork=5240.0, to="step 1"),
    )
    assert placement.fit == FitTerms(end=78.0, least_gap=0.03, bands=("tide",), band_length=2.0)


def test_two_points_and_a_stretch_of_wall_are_read(job):
    text = job.read_text().replace('width = "78.60 m"', "")
    points = """turn = true
points = [{ artwork = [1, 2], at = "1 m", level = "20 cm" },
          { artwork = [7, 8], at = "3 m", level = "2 m" }]"""
    job.write_text(text.replace("mirrored = false", points))
    placement = job_file.read(job).tables.artwork.record()
    assert placement.points == (
        PointPair(artwork=(1.0, 2.0), chainage=1.0, level=0.2),
        PointPair(artwork=(7.0, 8.0), chainage=3.0, level=2.0),
    )
    assert placement.turn is None
    into = 'into = { from = "0 m", to = "52.40 m", filling = "fill", outline = "figure" }'
    job.write_text(text.replace("mirrored = false", into))
    assert job_file.read(job).tables.artwork.record().into == Into(
        start=0.0, end=52.4, filling=Filling.FILL, figure=True
    )


def test_faults_of_a_job_in_us_units_show_what_to_write_in_feet(job: Path):
    fault = spoiled(
        job,
        ('units = "metric"', 'units = "us"'),
        ('overall = "78.60 m"', "overall = 78.6"),
        ('tracing = "90 m/h"', 'tracing = "90 m"'),
    )
    first, second = sorted(fault.findings, key=lambda one: one.place.line)
    # Samples are for feet as well as for metres; what stands in the file is quoted as it stands.
    assert first.remedy == 'Write it as text with its unit: "9 ft 6 1/8 in".'  # 2.9 m, 114.17 in
    assert second.remedy == "Write 90 m/h or 90 ft/h."
    # What the samples say can be read.
    for sample in re.findall('"([^"]*)"', first.remedy):
        assert parse(sample, Dimension.LENGTH, subject="sample") == pytest.approx(
            2.9, abs=0.0016
        )  # 1/16 in
