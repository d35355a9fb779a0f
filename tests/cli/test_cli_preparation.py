"""Readiness of the wall from the job file to the command line and the pack."""

from __future__ import annotations

import json

import pypdfium2

READY = """
[preparation]
start = 2027-03-22
cast = 2027-03-03
wait = "30 days"
old_paint = "untested"
moisture_limit = "5.5 %"
moisture = [
    { bay = "1", reading = "4.8 %" }, { bay = "2", reading = "5.1 %" },
    { bay = "3", reading = "6.3 %" },
]
sheets = [{ bay = "1", time = "20 h", dry = true }]
ph = [{ bay = "2", reading = 9.4 }]
holds = [{ bay = "2", cause = "release agent" }]
"""


def add(job, text):
    path = job / "job.toml"
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")


def test_n34_n35_from_the_job_file(say, small_job):
    # N34: cast on 3 March and 30 days is 2 April. N35: 6.3 % over 5.5 % holds bay 3.
    add(small_job, READY)
    said = json.loads(say("preparation", str(small_job), "--json").out)
    result = said["result"]
    assert result["earliest"] == "2027-04-02"
    assert result["lost"] == 11
    assert result["lost_working"] == 9
    assert [row["bay"] for row in result["bays_on_hold"]] == ["2", "3"]
    codes = {finding["code"] for finding in said["findings"]}
    assert {"works.bay_held", "works.earliest_day", "works.lead_untested"} <= codes


def test_a_job_that_says_nothing_of_it(say, small_job):
    said = say("preparation", str(small_job))
    assert said.code == 0
    assert "[preparation]" in said.out
    assert not (small_job / "pack" / "site-checks.pdf").exists()


def test_the_paper_is_in_the_pack(say, small_job):
    add(small_job, READY)
    assert say("pack", str(small_job), "--quiet").code == 0
    document = pypdfium2.PdfDocument(small_job / "pack" / "site-checks.pdf")
    text = " ".join(page.get_textpage().get_text_bounded() for page in document)
    for words in ("2 April 2027", "release agent", "6.3 %", "lead", "Weep holes"):
        assert words in text


def test_faults_have_their_lines(say, small_job, unharmed):
    add(small_job, READY.replace('"release agent"', '"bad luck"').replace("9.4", "19.4"))
    said = say("check", str(small_job), "--json")
    assert said.code == 3
    text = (small_job / "job.toml").read_text(encoding="utf-8").splitlines()
    lines = [text[one["place"]["line"] - 1] for one in json.loads(said.out)["error"]["findings"]]
    assert [line.split(" =")[0] for line in lines] == ["ph", "holds"]
