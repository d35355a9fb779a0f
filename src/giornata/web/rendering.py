"""Rendering: templates filled with records, records as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse, Response

from giornata.web.records import record_form

__all__ = ["HERE", "page", "record_response", "refusal_page", "script_data"]

HERE = Path(__file__).parent

_templates = Environment(
    loader=FileSystemLoader(HERE / "templates"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def script_data(record: Any) -> str:
    """A record as JSON for an attribute of a page; the template escapes it."""
    return json.dumps(record_form(record), ensure_ascii=False, separators=(",", ":"))


_templates.filters["data"] = script_data


def page(template: str, *, status: int = 200, **records: Any) -> HTMLResponse:
    """A page from its template and its records."""
    text = _templates.get_template(template).render(**records)
    return HTMLResponse(text, status_code=status)


def refusal_page() -> Response:
    """Page for a browser that has not shown the key."""
    return page("refusal.html", status=403)


def record_response(record: Any, *, status: int = 200) -> Response:
    """A record as JSON."""
    text = json.dumps(
        record_form(record), ensure_ascii=False, allow_nan=False, separators=(",", ":")
    )
    return Response(text, status_code=status, media_type="application/json")
