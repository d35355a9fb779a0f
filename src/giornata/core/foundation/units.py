"""Units: text to SI numbers, by exact definitions; a doubtful text is a finding, never a guess.

Factors are exact: the international yard and pound agreement (1959) makes the foot 0.3048 m;
the US gallon is 231 cubic inches and the imperial gallon 4.54609 L (NIST SP 811:2008, appendix B).
"""

from __future__ import annotations

import math
import re
import unicodedata
from enum import StrEnum
from fractions import Fraction

from giornata.core.foundation.findings import Finding, Severity

__all__ = ["FOOT", "INCH", "SQUARE_FOOT", "US_GALLON", "Dimension", "parse", "parse_number"]

INCH = 0.0254
FOOT = 0.3048
SQUARE_FOOT = 0.09290304
US_GALLON = 0.003785411784
IMPERIAL_GALLON = 0.00454609


class Dimension(StrEnum):
    """What a text measures; the value is the noun used in findings."""

    LENGTH = "length"
    AREA = "area"
    VOLUME = "volume"
    DURATION = "duration"
    ANGLE = "angle"
    SHARE = "share"
    ILLUMINANCE = "light on the wall"
    LUMINOUS_FLUX = "light output"
    POWER = "power"
    ENERGY = "energy"
    CURRENT = "current"
    VOLTAGE = "voltage"
    SPREADING_RATE = "spreading rate"
    AREA_RATE = "area rate"
    SPEED = "length rate"
    TEMPERATURE = "temperature"


_LENGTH = {
    "m": 1.0, "metre": 1.0, "metres": 1.0, "meter": 1.0, "meters": 1.0, "cm": 0.01, "mm": 0.001,
    "km": 1000.0, "ft": FOOT, "foot": FOOT, "feet": FOOT, "'": FOOT, "in": INCH, "inch": INCH,
    "inches": INCH, '"': INCH, "yd": 0.9144, "yard": 0.9144, "yards": 0.9144,
}  # fmt: skip
_AREA = {
    "m²": 1.0, "sq m": 1.0, "cm²": 1e-4, "mm²": 1e-6, "sq ft": SQUARE_FOOT, "ft²": SQUARE_FOOT,
    "sq in": INCH * INCH, "sq yd": 0.83612736,
}  # fmt: skip
_VOLUME = {
    "l": 1e-3, "litre": 1e-3, "litres": 1e-3, "liter": 1e-3, "liters": 1e-3, "ml": 1e-6,
    "m³": 1.0, "us gal": US_GALLON, "imp gal": IMPERIAL_GALLON,
    "us qt": US_GALLON / 4,
}  # fmt: skip
_DURATION = {
    "s": 1.0, "sec": 1.0, "min": 60.0, "minute": 60.0, "minutes": 60.0, "h": 3600.0,
    "hour": 3600.0, "hours": 3600.0, "hr": 3600.0, "hrs": 3600.0, "day": 86400.0,
    "days": 86400.0, "week": 604800.0, "weeks": 604800.0,
}  # fmt: skip
_ANGLE = {
    "deg": math.pi / 180, "°": math.pi / 180, "degree": math.pi / 180, "degrees": math.pi / 180,
    "rad": 1.0,
}  # fmt: skip


def _quotients(over: dict[str, float], under: dict[str, float]) -> dict[str, float]:
    return {f"{a}/{b}": x / y for a, x in over.items() for b, y in under.items()}


_UNITS: dict[Dimension, dict[str, float]] = {
    Dimension.LENGTH: _LENGTH,
    Dimension.AREA: _AREA,
    Dimension.VOLUME: _VOLUME,
    Dimension.DURATION: _DURATION,
    Dimension.ANGLE: _ANGLE,
    Dimension.SHARE: {"%": 0.01},
    Dimension.ILLUMINANCE: {"lx": 1.0, "lux": 1.0, "fc": 1.0 / SQUARE_FOOT},
    Dimension.LUMINOUS_FLUX: {"lm": 1.0, "lumen": 1.0, "lumens": 1.0},
    Dimension.POWER: {"w": 1.0, "kw": 1000.0},
    Dimension.ENERGY: {"kwh": 3.6e6, "wh": 3600.0, "j": 1.0},
    Dimension.CURRENT: {"a": 1.0},
    Dimension.VOLTAGE: {"v": 1.0},
    Dimension.SPREADING_RATE: _quotients(_AREA, _VOLUME),
    Dimension.AREA_RATE: _quotients(_AREA, _DURATION),
    Dimension.SPEED: _quotients(_LENGTH, _DURATION),
}

# Words that name two units; the painter has to say which.
_TWO_MEANINGS = {
    "gal": ("US gal", "imp gal"),
    "gallon": ("US gal", "imp gal"),
    "gallons": ("US gal", "imp gal"),
    "qt": ("US qt", "L"),
}

_CHOICES = {
    Dimension.LENGTH: ("m", "mm", "ft", "in"),
    Dimension.AREA: ("m²", "sq ft"),
    Dimension.VOLUME: ("L", "US gal"),
    Dimension.DURATION: ("h", "min"),
    Dimension.ANGLE: ("deg", "rad"),
    Dimension.SHARE: ("%",),
    Dimension.ILLUMINANCE: ("lx", "fc"),
    Dimension.LUMINOUS_FLUX: ("lm",),
    Dimension.POWER: ("W",),
    Dimension.ENERGY: ("kWh", "Wh"),
    Dimension.CURRENT: ("A",),
    Dimension.VOLTAGE: ("V",),
    Dimension.SPREADING_RATE: ("m²/L", "sq ft/US gal"),
    Dimension.AREA_RATE: ("m²/h", "sq ft/h"),
    Dimension.SPEED: ("m/h", "ft/h"),
    Dimension.TEMPERATURE: ("°C", "°F"),
}

_NUMBER = r"[0-9][0-9.,]*(?:\s+[0-9]+\s*/\s*[0-9]+)?|[.,][0-9]+"
_TERM = re.compile(rf"\s*(?P<number>[0-9]+\s*/\s*[0-9]+|{_NUMBER})\s*(?P<unit>[^0-9+\-.,]*)")
_QUOTES = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "“": '"', "−": "-", "–": "-"})


def parse(text: str, dimension: Dimension, *, subject: str) -> float | Finding:
    r"""SI value of a measure written with its unit, or the finding that says what is doubtful.

    Parameters
    ----------
    text : str
        As the painter wrote it: "200 ft 9 in", "61.2 m", "2'-3 1/2\"", "15 m²/h", "10 %".
    dimension : Dimension
        What is measured.
    subject : str
        The thing measured, for the finding ("bay 3, length").

    Returns
    -------
    float or Finding
        Metres, square metres, cubic metres, seconds, radians, lux, lumens, watts, joules,
        amperes, volts, m²/m³, m²/s, m/s, a fraction, or degrees Celsius.

    Examples
    --------
    >>> round(parse("200 ft 9 in", Dimension.LENGTH, subject="wall"), 4)
    61.1886
    >>> parse("2'-3 1/2\"", Dimension.LENGTH, subject="sill")
    0.6985
    >>> parse("12.5", Dimension.LENGTH, subject="bay 3").message
    '"12.5" has no unit.'
    """
    clean = _spelled(text)
    if not clean:
        return _doubt("units.empty", subject, "Nothing is written here.", _choices(dimension, "1"))
    negative = clean.startswith("-")
    body = clean[1:].strip() if negative else clean
    if dimension is Dimension.TEMPERATURE:
        return _temperature(text, body, negative, subject)
    found = _summed(text, body, dimension, subject)
    return -found if negative and isinstance(found, float) else found


def parse_number(text: str, *, subject: str) -> float | Finding:
    """Plain number written as "1 1/2", "0.75" or "1,803.2"; a doubtful comma is a finding."""
    clean = _spelled(text)
    negative = clean.startswith("-")
    body = clean[1:].strip() if negative else clean
    match = re.fullmatch(rf"[0-9]+\s*/\s*[0-9]+|{_NUMBER}", body)
    if match is None:
        return _doubt(
            "units.not_a_number", subject, f'"{text.strip()}" is not a number.', "Write 12.5."
        )
    value = _number(body, subject, text)
    return -value if negative and isinstance(value, float) else value


def _spelled(text: str) -> str:
    """One spelling: plain quotes and minus, ½ as " 1/2", m2 as m², single spaces."""
    out = []
    for character in text.translate(_QUOTES):
        if unicodedata.category(character) == "No" and "VULGAR" in unicodedata.name(character, ""):
            fraction = Fraction(unicodedata.numeric(character)).limit_denominator(64)
            out.append(f" {fraction.numerator}/{fraction.denominator}")
        else:
            out.append(character)
    squared = re.sub(r"(?<=[a-z])([23])(?![0-9])", lambda m: "²³"[int(m[1]) - 2], "".join(out))
    return re.sub(r"\s+", " ", squared).strip()


def _summed(text: str, body: str, dimension: Dimension, subject: str) -> float | Finding:
    units = _UNITS[dimension]
    total, last, position = 0.0, math.inf, 0
    while position < len(body):
        if position and body[position] == "-":  # 2'-3": a dash between feet and inches
            position += 1
        match = _TERM.match(body, position)
        if match is None:
            return _unreadable(text, dimension, subject)
        number = _number(match["number"], subject, text)
        if isinstance(number, Finding):
            return number
        factor = _factor(match["unit"], units, number, text, dimension, subject)
        if isinstance(factor, Finding):
            return factor
        if factor >= last:
            return _unreadable(text, dimension, subject)
        total += number * factor
        last = factor
        position = match.end()
    return total


def _factor(
    written: str, units: dict[str, float], number: float, text: str, dimension: Dimension,
    subject: str,
) -> float | Finding:  # fmt: skip
    unit = re.sub(r"\s*(?:/|\bper\b)\s*", "/", written.strip().lower())
    if unit in units:
        return units[unit]
    if not unit and number == 0 and dimension is not Dimension.SHARE:
        return 1.0
    if not unit:
        return _doubt(
            "units.missing", subject, f'"{text.strip()}" has no unit.',
            _choices(dimension, f"{number:g}"),
        )  # fmt: skip
    for part in unit.split("/"):
        if part in _TWO_MEANINGS:
            choices = " or ".join(_TWO_MEANINGS[part])
            return _doubt(
                "units.two_meanings", subject, f'"{part}" in "{text.strip()}" names two units.',
                f"Write {choices}.",
            )  # fmt: skip
    return _doubt(
        "units.unknown", subject, f'"{written.strip()}" is no unit of {dimension.value}.',
        _choices(dimension, f"{number:g}"),
    )  # fmt: skip


def _number(written: str, subject: str, text: str) -> float | Finding:
    """Digits with a decimal point or comma, thousands separators, and fractions."""
    whole, _, fraction = written.strip().rpartition(" ")
    if "/" in written:
        over, _, under = (fraction or written).replace(" ", "").partition("/")
        if re.fullmatch(r"[0-9]+\s*/\s*[0-9]+", written.strip()):
            whole, (over, under) = "", [p.strip() for p in written.split("/")]
        if float(under) == 0:
            return _doubt(
                "units.not_a_number", subject, f'"{text.strip()}" divides by 0.', "Write 12.5."
            )
        return (float(whole) if whole else 0.0) + float(over) / float(under)
    digits = written.strip()
    if re.fullmatch(r"[0-9]{1,3},[0-9]{3}", digits):
        point, bare = digits.replace(",", "."), digits.replace(",", "")
        return _doubt(
            "units.doubtful_comma", subject,
            f'"{text.strip()}" may be {point} or {bare}.', f"Write {point} or {bare}.",
        )  # fmt: skip
    if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+\.[0-9]*|[0-9]{1,3}(,[0-9]{3}){2,}", digits):
        digits = digits.replace(",", "")
    elif digits.count(",") == 1 and "." not in digits:
        digits = digits.replace(",", ".")
    if not re.fullmatch(r"[0-9]+\.?[0-9]*|\.[0-9]+", digits):
        return _doubt(
            "units.not_a_number", subject, f'"{text.strip()}" is not a number.', "Write 12.5."
        )
    return float(digits)


def _temperature(text: str, body: str, negative: bool, subject: str) -> float | Finding:
    match = re.fullmatch(rf"({_NUMBER})\s*°?\s*([CcFf])", body)
    if match is None:
        return _unreadable(text, Dimension.TEMPERATURE, subject)
    number = _number(match[1], subject, text)
    if isinstance(number, Finding):
        return number
    signed = -number if negative else number
    return signed if match[2] in "Cc" else (signed - 32.0) / 1.8


def _choices(dimension: Dimension, number: str) -> str:
    return "Write " + " or ".join(f"{number} {unit}" for unit in _CHOICES[dimension]) + "."


def _unreadable(text: str, dimension: Dimension, subject: str) -> Finding:
    return _doubt(
        "units.unreadable", subject, f'"{text.strip()}" is no {dimension.value}.',
        _choices(dimension, "2.5"),
    )  # fmt: skip


def _doubt(code: str, subject: str, message: str, remedy: str) -> Finding:
    return Finding(
        code=code, severity=Severity.STOP, subject=subject, message=message, remedy=remedy
    )
