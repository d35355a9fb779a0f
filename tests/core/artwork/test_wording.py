"""The brief's wording against the artwork's, on differences made by hand."""

from __future__ import annotations

import pytest

from giornata.core import artwork
from giornata.core.artwork import Drawing, Kind, Nonflat, Wording
from giornata.core.foundation import Finding, Severity

SAID = Finding(code="artwork.text", severity=Severity.STOP, subject="text", message="m", remedy="r")


def drawing(*lines):
    things = tuple(
        Nonflat(
            number=k, name=f"lettering {k}", source=f"lettering {k}", kind=Kind.LETTERING,
            finding=SAID, box=(100.0 * k, 40.0, 900.0, 60.0), words=words,
        )
        for k, words in enumerate(lines, start=1)
    )  # fmt: skip
    return Drawing(name="t.svg", width=1000, height=100, shapes=(), things=things)


def findings(brief, *lines, drawn=()):
    return artwork.wording_findings(drawing(*lines), Wording(brief=(*brief,), drawn=(*drawn,)))


def test_n21_each_difference_of_letter_and_number_is_reported_with_its_places():
    letter, number = findings(["HARBOUR STEPS 1898"], "HARBOR STEPS 1889")
    assert {letter.code, number.code} == {"artwork.wording"}
    assert {letter.severity, number.severity} == {Severity.STOP}
    assert letter.subject == '"HARBOUR"'
    assert 'Drawn as "HARBOR"' in letter.message
    assert 'letter 6 "U" is missing' in letter.message
    assert "brief, line 1, word 1" in letter.message
    assert 'artwork, "lettering 1" at x 100, y 60, word 1' in letter.message
    assert number.subject == '"1898"'
    assert 'Drawn as "1889"' in number.message
    assert "brief, line 1, word 3" in number.message


def test_n21_in_the_other_direction():
    # what the brief has not is too much: 1889 for 1898 and a letter U
    letter, number = findings(["HARBOR STEPS 1889"], "HARBOUR STEPS 1898")
    assert '"U" is too much after letter 5' in letter.message
    assert 'Drawn as "1898"' in number.message


def test_n21_words_typed_off_outlines():
    found = findings(["HARBOUR STEPS 1898"], drawn=["HARBOR", "STEPS 1889"])
    assert [one.subject for one in found] == ['"HARBOUR"', '"1898"']
    assert "drawn_words 1, word 1" in found[0].message
    assert "drawn_words 2, word 2" in found[1].message


def test_equal_words_say_nothing():
    assert findings(["HARBOUR STEPS", "1898"], "HARBOUR", "STEPS 1898") == ()
    # one letter with its accent, and the letter and the accent apart
    assert findings(["Caf\u00e9"], "Cafe\u0301") == ()


def test_words_missing_and_too_much():
    missing, spare = findings(["HARBOUR STEPS"], "HARBOUR 1898")
    assert (missing.subject, "not in the artwork" in missing.message) == ('"STEPS"', True)
    assert (spare.subject, "not asked for" in spare.message) == ('"1898"', True)


def test_a_word_twice():
    (spare,) = findings(["THE STEPS"], "THE THE STEPS")
    assert (spare.code, spare.subject) == ("artwork.wording", '"THE"')


def test_capitals_alone_are_a_note():
    found = findings(["Harbour Steps"], "HARBOUR STEPS")
    assert [(one.code, one.severity) for one in found] == [
        ("artwork.wording_capitals", Severity.NOTE)
    ] * 2


def test_words_in_another_order():
    (found,) = findings(["HARBOUR STEPS"], "STEPS HARBOUR")
    assert (found.code, found.severity) == ("artwork.wording_order", Severity.WARN)


def test_lettering_that_cannot_be_read():
    (found,) = findings(["HARBOUR STEPS"])
    assert (found.code, found.severity) == ("artwork.wording_unread", Severity.WARN)
    assert "2 words" in found.message


def test_without_a_brief_nothing_is_compared():
    assert findings([], "HARBOR") == ()


@pytest.mark.parametrize(
    ("asked", "drawn", "said"),
    [
        ("1898", "1889", 'digit 3 to 4 "98" drawn as "89"'),
        ("STEPS", "STAPS", 'letter 3 "E" drawn as "A"'),
        ("Merrow", "Merow", '"r" is missing'),
    ],
)
def test_letters_are_counted_from_one(asked, drawn, said):
    (found,) = findings([asked], drawn)
    assert said in found.message
