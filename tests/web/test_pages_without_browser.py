"""The pages behind their guards: who may ask, what they say, and a job that changes under them."""

from __future__ import annotations

import pytest

KEY = "a-key-of-the-tests"


def test_nothing_is_shown_without_the_key(stranger):
    for path in ("/", "/api/job", "/api/wall", "/api/artwork", "/figure?name=wall.net_area"):
        answer = stranger.get(path)
        assert answer.status_code == 403, path
        assert "12.00" not in answer.text


def test_the_start_address_hands_over_a_cookie_and_hides_the_key(stranger):
    answer = stranger.get("/", params={"key": KEY}, follow_redirects=False)
    assert answer.status_code == 303
    assert KEY not in answer.headers["location"]
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie
    assert KEY not in cookie


def test_a_wrong_key_opens_nothing(stranger):
    assert stranger.get("/", params={"key": "guess"}).status_code == 403


def test_another_host_name_is_refused(client):
    # DNS rebinding: the browser sends the name it was lured by.
    assert client.get("/", headers={"Host": "evil.example"}).status_code == 400


@pytest.mark.parametrize(
    "headers", [{"Origin": "http://evil.example"}, {"Sec-Fetch-Site": "cross-site"}]
)
def test_a_write_from_another_site_is_refused(client, headers):
    assert client.post("/halt", headers=headers).status_code == 403


def test_a_page_may_load_from_here_alone(client):
    headers = client.get("/").headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe-inline" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert "frame-ancestors 'none'" in policy


def test_the_page_and_its_record_say_the_same(client, until):
    until(client, "ready")
    page, record = client.get("/").text, client.get("/api/job").json()
    assert record["title"]["name"] in page
    for _, cell in record["summary"]:
        assert cell["text"] in page
    assert "/tmp" not in page


def test_us_units_are_shown_where_asked(client, until):
    until(client, "ready")
    assert "m²" in client.get("/").text
    assert "sq ft" in client.get("/?units=us").text


def ring_area(steps: list[int]) -> float:
    """Signed area of a ring of millimetre steps, by the shoelace formula. [m²]"""
    points, x, y = [], 0, 0
    for dx, dy in zip(steps[::2], steps[1::2], strict=True):
        x, y = x + dx, y + dy
        points.append((x, y))
    after = points[1:] + points[:1]
    doubled = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, after, strict=True))
    return doubled / 2e6


def test_the_wall_and_the_artwork_are_drawn_to_the_millimetre(client, until):
    until(client, "ready")
    wall, artwork = client.get("/api/wall").json(), client.get("/api/artwork").json()
    # The first job's template: 12.00 m long, top at 2.50 m, a door from 7.20 to 8.10 m.
    assert wall["length"] == 12.0
    assert (wall["openings"][0]["start"], wall["openings"][0]["end"]) == (7.2, 8.1)
    # Outer rings less holes make the net wall: trapezoids 12 x 2.5 - (6 x 0.01 + 6 x 0.025),
    # less the door from the ground (0.022 and 0.024 at its sides) to 2.05: 0.9 x 2.027.
    drawn = sum(
        abs(ring_area(rings[0])) - sum(abs(ring_area(hole)) for hole in rings[1:])
        for rings in artwork["regions"]
    )
    assert drawn == pytest.approx(30 - 0.06 - 0.15 - 0.9 * 2.027, abs=0.02)


def test_a_figure_explains_itself(client, until):
    until(client, "ready")
    answer = client.get("/figure", params={"name": "wall.net_area"})
    assert answer.status_code == 200
    assert "gross area" in answer.text
    assert client.get("/figure", params={"name": "no.such"}).status_code == 404


def test_unknown_choices_fall_back_to_the_jobs_own_and_do_not_break(client, until):
    until(client, "ready")
    assert client.get("/?option=none&colourway=none").status_code == 200


def test_looking_writes_nothing(client, until, folder):
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()}
    until(client, "ready")
    for path in ("/", "/api/job", "/api/wall", "/api/artwork", "/figure?name=wall.net_area"):
        client.get(path)
    assert {p: p.read_bytes() for p in folder.rglob("*") if p.is_file()} == before


def test_a_job_that_changes_on_disk_is_read_again(client, until, folder):
    first = until(client, "ready")["version"]
    job = folder / "job.toml"
    job.write_text(job.read_text().replace('name = "wall"', 'name = "Other wall"'))
    for _ in range(100):
        if until(client, "ready")["version"] != first:
            break
    assert "Other wall" in client.get("/").text


def test_a_faulty_job_file_is_a_page_with_its_lines(client, until, folder):
    until(client, "ready")
    job = folder / "job.toml"
    spoiled = job.read_text().replace('overall = "12.00 m"', 'overall = "12.00"')
    job.write_text(spoiled)
    line = next(n for n, row in enumerate(spoiled.splitlines(), 1) if 'overall = "12.00"' in row)
    until(client, "faulty")
    page = client.get("/").text
    assert "has no unit" in page
    assert f"job.toml:{line}" in page
    assert client.get("/api/job").status_code == 409
