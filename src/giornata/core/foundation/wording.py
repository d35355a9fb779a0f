"""Findings in the reader's units: metric quantities in a sentence turned into US customary ones."""

from __future__ import annotations

import re
from dataclasses import replace

from giornata.core.foundation.display import System, printed, shown, shown_place
from giornata.core.foundation.findings import Finding
from giornata.core.foundation.units import INCH

__all__ = ["fault_in_units", "finding_in_units", "in_units"]

_NUMBER = r"[+−-]?\d+(?:,\d{3})*(?:\.\d+)?"
_BETWEEN = r"(?: ?(?:-|–|to|and|or|±) ?|, ?(?:y )?)"
# One number with its unit, or several before the one unit that they share: "20.91-25.56 m". Only
# lengths are multiplied: in "2 × 15.0 L" the first number is a count.
_QUANTITY = re.compile(
    rf"(?<![\w.,/-])(?:(?P<lengths>{_NUMBER}(?:(?:{_BETWEEN}| × ){_NUMBER})*) (?P<length>mm|m)"
    rf"|(?P<others>{_NUMBER}(?:{_BETWEEN}{_NUMBER})*) (?P<other>m²/L|m²/h|mm/px|m/h|m²|L|lx))"
    r"(?![\w²/])"
)
_HYPHEN = re.compile(r"(?<=\d) ?[-–] ?(?=\d)")  # of a range; a sign has no number before it
_QUOTED = re.compile(r'("[^"\n]*")')
_GALLONS = re.compile(r"(?<!US )(?<!imp )\bgal\b")
_SMALL = 0.010  # m; shorter lengths are printed as decimals of an inch


def in_units(text: str, system: System) -> str:
    """A sentence with its quantities in the reader's units.

    Parameters
    ----------
    text : str
        With metric quantities: each number has its unit behind it, or shares the one behind the
        last of a list or a range.

    Examples
    --------
    >>> in_units("Cut from 20.91-25.56 m, 1.30 m²; limit 25 mm.", System.US)
    'Cut from 68 ft 7 1/4 in to 83 ft 10 1/4 in, 14.0 sq ft; limit 1 in.'
    >>> in_units("2 coats; buy 2 × 3.785 L for 18.0-20.5 m²", System.US)
    '2 coats; buy 2 × 1.00 gal for 193.8-220.7 sq ft'

    Notes
    -----
    A hyphen in a range of lengths becomes "to": between measures of feet and inches it is lost.
    A tin of whole centilitres is called so on its label, in any country: "2 × 15 L" stays.
    """
    if system is System.METRIC:
        return text
    return _QUANTITY.sub(_turned, text)


def finding_in_units(finding: Finding, system: System) -> Finding:
    """A finding whose words are in the reader's units."""
    if system is System.METRIC:
        return finding
    return replace(
        finding,
        subject=in_units(finding.subject, system),
        message=in_units(finding.message, system),
        remedy=in_units(finding.remedy, system),
    )


def fault_in_units(finding: Finding, system: System) -> Finding:
    """A fault of a file in the reader's units.

    What its message has in quotation marks stands so in the file and is left; what its remedy has
    in them is an example of what to write. Where a unit has two meanings the remedy offers both as
    they may have been meant, and is left too.
    """
    if system is System.METRIC:
        return finding
    message = "".join(
        part if part.startswith('"') else in_units(part, system)
        for part in _QUOTED.split(finding.message)
    )
    remedy = finding.remedy
    if not finding.code.startswith("units."):
        remedy = _GALLONS.sub("US gal", in_units(remedy, system))
    return replace(finding, message=message, remedy=remedy)


def _turned(found: re.Match[str]) -> str:
    if found["lengths"]:
        said = _HYPHEN.sub(" to ", found["lengths"])
        return re.sub(_NUMBER, lambda one: _length(one[0], found["length"]), said)
    numbers, unit = found["others"], found["other"]
    if unit == "L" and found.string.endswith("× ", 0, found.start()) and _is_label(numbers):
        return found[0]
    si, scale = {
        "m²": ("m²", 1.0), "L": ("m³", 1e-3), "lx": ("lx", 1.0), "m²/L": ("m²/m³", 1e3),
        "m²/h": ("m²/s", 1 / 3600), "m/h": ("m/s", 1 / 3600), "mm/px": ("m/px", 1e-3),
    }[unit]  # fmt: skip

    def plain(one: re.Match[str]) -> str:
        value, _, digits = printed(scale * _value(one[0]), si, System.US)
        return _signed(one[0], f"{value:,.{digits}f}")

    return f"{re.sub(_NUMBER, plain, numbers)} {printed(1.0, si, System.US)[1]}"


def _is_label(number: str) -> bool:
    return re.fullmatch(r"\d+(?:\.\d{1,2})?", number) is not None


def _value(text: str) -> float:
    return float(text.replace(",", "").replace("−", "-"))


def _length(text: str, unit: str) -> str:
    value = _value(text) * (1e-3 if unit == "mm" else 1.0)
    if value and abs(value) < _SMALL:
        return _signed(text, f"{shown(value / INCH, '-', System.US, digits=2)} in")
    digits = 3 if unit == "mm" else len(text.partition(".")[2])
    return _signed(text, shown_place(value, System.US, digits=digits))


def _signed(before: str, after: str) -> str:
    """A plus that was written stays written."""
    return f"+{after}" if before.startswith("+") else after
