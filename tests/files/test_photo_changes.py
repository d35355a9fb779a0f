"""What is put into the job file stands with its like, before the comments of what comes next."""

from __future__ import annotations

import tomlkit

from giornata.files.photo_changes import put_opening

FILE = """[wall]
length = "12 m"

[[wall.openings]]
name = "Door"
from = "2 m"  # left jamb
to = "3 m"
# its head was read twice

# ------------------ what stands before the wall
[[wall.obstacles]]
name = "Hedge"
"""


def test_a_new_opening_comes_before_the_comments_of_the_next_part() -> None:
    document = tomlkit.parse(FILE)
    assert put_opening(document, "Hatch", [(5.0, 1.0), (6.0, 1.0), (6.0, 2.0)]) is False
    text = tomlkit.dumps(document)
    order = ["# left jamb", "# its head was read twice", 'name = "Hatch"', "# -------", '"Hedge"']
    places = [text.index(one) for one in order]
    assert places == sorted(places)
    assert text.replace(" ", "").count("#") == FILE.replace(" ", "").count("#")
    assert [one["name"] for one in tomlkit.parse(text)["wall"]["openings"]] == ["Door", "Hatch"]
    assert tomlkit.parse(text)["wall"]["obstacles"][0]["name"] == "Hedge"
