"""Names of the steps that a job is worked out in, as they are said on the page."""

from __future__ import annotations

__all__ = ["step_words"]

_WORDS = {
    "wall": "the wall",
    "wording": "words of the artwork",
    "decided": "what of the artwork is not flat",
    "flat": "the artwork's colours",
    "painted": "paints of the artwork",
    "placed": "the artwork on the wall",
    "take_off": "areas and edges",
    "set_ups": "set-ups",
    "marks": "control marks",
    "coarse_marks": "what control marks are good for",
    "decisions": "rates",
    "traced": "edges to trace",
    "nights": "nights",
    "power": "power of the nights",
    "transfers": "grid and pounce",
    "transfer_hours": "grid and pounce",
    "works": "paint and hours",
    "extra_coats": "one more coat",
    "scheme": "prices",
    "compared": "options side by side",
    "contrasts": "contrast of the paints",
}


def step_words(step: str) -> str:
    """A step in words, with the option and colourway it is for.

    Examples
    --------
    >>> step_words("take_off.A")
    'areas and edges, A'
    """
    name, _, rest = step.partition(".")
    return ", ".join(part for part in (_WORDS.get(name, name), rest.replace(".", " ")) if part)
