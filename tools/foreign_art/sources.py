"""What a drawing holds by its source, and whether it is flat art."""

from __future__ import annotations

import re

import numpy as np

from foreign_art.painting import Pixels

__all__ = ["few_colours", "flat_by_source", "kinds_in", "unknown_to_resvg"]

_MOST_COLOURS = 24
_COVERED = 0.998  # of the canvas, by that many colours

# Kinds of content that are not flat shapes, by element and by property, and the finding that
# says so.
KINDS = {
    "image": (r"<(?:\w+:)?image\b|feImage", "artwork.image"),
    "filter": (r"<(?:\w+:)?filter\b|\bfilter\s*[=:]\s*[\"']?\s*(?!none)\S", "artwork.filter"),
    "gradient": (r"<(?:\w+:)?\w*Gradient\b", "artwork.gradient"),
    "pattern": (r"<(?:\w+:)?pattern\b", "artwork.pattern"),
    "text": (r"<(?:\w+:)?(?:text|flowRoot)\b", "artwork.text"),
}
# Of CSS, resvg 0.48 knows neither these units nor shape functions as clips.
_UNKNOWN = {
    "unit": r"[=:\s\"'][-+.\d]+(?:r?ch|r?ic|r?lh|r?cap|rex|rem|q|[sld]?v(?:w|h|i|b|min|max))\b",
    "clip by a shape function": r"clip-path\s*[=:]\s*[\"']?\s*(?:circle|ellipse|inset|polygon)\(",
}
_COMMENT = re.compile(r"<!--.*?-->|<title\b.*?</title>|<desc\b.*?</desc>", re.DOTALL)


def kinds_in(source: str) -> dict[str, str]:
    """Kinds of content in a source that are not flat shapes, and the finding for each."""
    bare = _COMMENT.sub("", source)
    return {kind: code for kind, (form, code) in KINDS.items() if re.search(form, bare)}


def flat_by_source(source: str) -> bool:
    """Whether a source has no image, filter, gradient, pattern or text, used or not."""
    return not kinds_in(source)


def few_colours(picture: Pixels) -> bool:
    """Whether at most 24 colours cover 99.8 % of a picture painted without antialiasing."""
    packed = picture.reshape(-1, 4).astype(np.uint32) @ np.array(
        [1, 256, 65536, 16777216], dtype=np.uint32
    )
    counts = np.sort(np.unique(packed, return_counts=True)[1])[::-1]
    return bool(counts[:_MOST_COLOURS].sum() >= _COVERED * packed.size)


def unknown_to_resvg(source: str) -> str:
    """What in a source the first renderer is known not to know, or ""."""
    bare = _COMMENT.sub("", source)
    return ", ".join(
        what for what, form in _UNKNOWN.items() if re.search(form, bare, re.IGNORECASE)
    )
