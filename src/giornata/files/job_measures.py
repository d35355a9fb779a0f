"""Field kinds of the job file: text with its unit becomes an SI number, or a finding."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from contextlib import suppress
from datetime import date, datetime, tzinfo
from decimal import Decimal
from difflib import get_close_matches
from typing import Annotated, Any, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, model_validator
from pydantic_core import PydanticCustomError

from giornata.core.foundation import MINOR_DIGITS, Dimension, Finding, Money, parse, parse_number

__all__ = [
    "Amperes",
    "Angle",
    "Area",
    "AreaRate",
    "Day",
    "Energy",
    "Entry",
    "Fraction",
    "Hex",
    "Hours",
    "Illuminance",
    "Length",
    "Lumens",
    "MoneyText",
    "Name",
    "Number",
    "PerLitre",
    "PlainNumber",
    "Share",
    "Speed",
    "Spreading",
    "ThrowRange",
    "Volts",
    "Volume",
    "Watts",
    "Zone",
    "faulty",
]  # fmt: skip


def faulty(code: str, message: str, remedy: str) -> PydanticCustomError:
    """A validation error that carries what a finding needs."""
    context = {"said": message, "remedy": remedy}
    return PydanticCustomError(code, "{said}", context)


def _from_finding(finding: Finding) -> PydanticCustomError:
    return faulty(finding.code, finding.message, finding.remedy)


def _text(value: Any, sample: str) -> str:
    if not isinstance(value, str):
        raise faulty(
            "job.not_text",
            f"{value!r} stands without quotes or unit.",
            f'Write it as text with its unit: "{sample}".',
        )
    return value


_MOST = 1e12  # of any number, in SI, and of any sum
_LONGEST = 1e9  # s, some thirty years: no wall waits longer, and no price stands longer


def _believable(value: float, written: str, most: float = _MOST) -> float:
    if not abs(value) <= most:
        raise faulty(
            "job.too_large",
            f"{written} is more than any wall can need.",
            "Look at the number and its unit.",
        )
    return value


def _measure(dimension: Dimension, sample: str) -> Callable[[Any], float]:
    most = _LONGEST if dimension is Dimension.DURATION else _MOST

    def read(value: Any) -> float:
        text = _text(value, sample)
        found = parse(text, dimension, subject="value")
        if isinstance(found, Finding):
            raise _from_finding(found)
        return _believable(found, f'"{text}"', most)

    return read


def _number(value: Any) -> float:
    if isinstance(value, bool):
        raise faulty("job.not_a_number", f"{value!r} is not a number.", "Write 12.5.")
    if isinstance(value, float) and not math.isfinite(value):
        raise faulty("job.not_a_number", f"{value!r} is not a number.", "Write 12.5.")
    if isinstance(value, int | float):
        return float(_believable(value, f"{value:.6g}" if isinstance(value, float) else "It"))
    found = parse_number(_text(value, "12.5"), subject="value")
    if isinstance(found, Finding):
        raise _from_finding(found)
    return _believable(found, f'"{value}"')


_MONEY = re.compile(r"\s*(-?[0-9][0-9,]*(?:\.[0-9]+)?|\.[0-9]+)\s*([A-Za-z]{3})\s*")


def _money(value: Any) -> Money:
    text = _text(value, "150 EUR")
    match = _MONEY.fullmatch(text)
    if match is None:
        raise faulty(
            "job.not_money",
            f'"{text}" is not a sum with its currency.',
            'Write the sum with a point for cents and the three letters: "1,250.50 EUR".',
        )
    currency = match[2].upper()
    if currency not in MINOR_DIGITS:
        raise faulty(
            "job.unknown_currency",
            f'"{match[2]}" is no currency known here.',
            "Write one of " + ", ".join(sorted(MINOR_DIGITS)) + ".",
        )
    if re.fullmatch(r"[0-9]{1,3},[0-9]{3}", match[1].lstrip("-")) is None and "," in match[1]:
        whole = match[1].split(".")[0].lstrip("-")
        if re.fullmatch(r"[0-9]{1,3}(,[0-9]{3})+", whole) is None:
            raise faulty(
                "job.not_money",
                f'"{text}" has a comma where none belongs.',
                'Write a point before the cents: "1250.50 EUR".',
            )
    amount = Decimal(match[1].replace(",", ""))
    if amount < 0:
        raise faulty("job.below_zero", f'"{text}" is below 0.', "Write a sum of 0 or more.")
    _believable(float(amount), f'"{text}"')
    return Money(amount=amount, currency=currency)


def _per_litre(value: Any) -> Money:
    text = _text(value, "26 EUR/L")
    sum_text, slash, unit = text.partition("/")
    if not slash or unit.strip().lower() not in {"l", "litre", "liter"}:
        raise faulty("job.not_money", f'"{text}" is not a price for a litre.', 'Write "26 EUR/L".')
    return _money(sum_text)


def _fraction(value: Any) -> Decimal:
    text = _text(value, "5 %")
    match = re.fullmatch(r"\s*([0-9]+(?:[.,][0-9]+)?)\s*%\s*", text)
    if match is None:
        raise faulty("job.not_a_share", f'"{text}" is not a share.', 'Write it as "5 %".')
    share = Decimal(match[1].replace(",", ".")) / 100
    _believable(float(share), f'"{text}"')
    return share


def _hex(value: Any) -> str:
    text = _text(value, "#5f9aa3").strip().lower()
    short = re.fullmatch(r"#([0-9a-f])([0-9a-f])([0-9a-f])", text)
    if short:
        return "#" + "".join(2 * digit for digit in short.groups())
    if re.fullmatch(r"#[0-9a-f]{6}", text) is None:
        raise faulty(
            "job.not_a_colour", f'"{text}" is not a colour.', 'Write six digits: "#5f9aa3".'
        )
    return text


def _throw_range(value: Any) -> tuple[float, float]:
    text = _text(value, "1.4 - 2.2")
    parts = re.split(r"\s*(?:-|–|to|:\s*1(?![0-9.,]))\s*", text.strip())
    numbers = [parse_number(p, subject="throw ratio") for p in parts if p]
    for number in numbers:
        if isinstance(number, Finding):
            raise _from_finding(number)
    ratios = [float(n) for n in numbers if not isinstance(n, Finding)]
    if len(ratios) == 2 and 0 < ratios[1] < ratios[0]:
        raise faulty(
            "job.not_a_throw_ratio",
            f'"{text}" begins with the larger throw ratio.',
            f'Write "{ratios[1]:g} - {ratios[0]:g}" (distance over image width, the widest image '
            "first).",
        )
    if len(ratios) not in (1, 2) or not 0 < ratios[0] <= ratios[-1]:
        raise faulty(
            "job.not_a_throw_ratio",
            f'"{text}" is not a throw ratio or a range of it.',
            'Write "1.4" or "1.4 - 2.2" (distance over image width).',
        )
    return ratios[0], ratios[-1]


_YEARS = (1900, 2199)  # in which the sun and the moon are reckoned


def _day(value: Any) -> date:
    if isinstance(value, str):
        with suppress(ValueError):
            value = date.fromisoformat(value.strip())
    if not isinstance(value, date):
        said = f'"{value}"' if isinstance(value, str) else repr(value)
        raise faulty(
            "job.not_a_date",
            f"{said} is not a day.",
            "Write year, month and day without quotes: 2027-05-17.",
        )
    day = value.date() if isinstance(value, datetime) else value
    if not _YEARS[0] <= day.year <= _YEARS[1]:
        raise faulty(
            "job.not_a_date",
            f"{day.isoformat()} lies outside the years {_YEARS[0]} to {_YEARS[1]}.",
            "Correct the year.",
        )
    return day


def _named(value: str) -> str:
    if not value.strip():
        raise faulty("job.no_name", "Nothing is written here.", "Write a name, or a number.")
    return value


def _zone(value: Any) -> tzinfo:
    name = _text(value, "Europe/Madrid")
    try:
        return ZoneInfo(name.strip())
    except (ZoneInfoNotFoundError, ValueError, OSError):
        known = get_close_matches(name.strip(), sorted(available_timezones()), n=3, cutoff=0.6)
        raise faulty(
            "job.unknown_zone",
            f'"{name}" is no time zone known here.',
            f"Write {' or '.join(known)}."
            if known
            else 'Write the IANA name of the place\'s zone, such as "Europe/Madrid"; where this '
            "machine has no list of zones, install the package tzdata.",
        ) from None


Length = Annotated[float, BeforeValidator(_measure(Dimension.LENGTH, "2.9 m"))]
Area = Annotated[float, BeforeValidator(_measure(Dimension.AREA, "62 m²"))]
Volume = Annotated[float, BeforeValidator(_measure(Dimension.VOLUME, "5 L"))]
Hours = Annotated[float, BeforeValidator(_measure(Dimension.DURATION, "6.5 h"))]
Angle = Annotated[float, BeforeValidator(_measure(Dimension.ANGLE, "14 deg"))]
Illuminance = Annotated[float, BeforeValidator(_measure(Dimension.ILLUMINANCE, "4 lx"))]
Lumens = Annotated[float, BeforeValidator(_measure(Dimension.LUMINOUS_FLUX, "4000 lm"))]
Watts = Annotated[float, BeforeValidator(_measure(Dimension.POWER, "320 W"))]
Energy = Annotated[float, BeforeValidator(_measure(Dimension.ENERGY, "1.0 kWh"))]
Amperes = Annotated[float, BeforeValidator(_measure(Dimension.CURRENT, "16 A"))]
Volts = Annotated[float, BeforeValidator(_measure(Dimension.VOLTAGE, "230 V"))]
Spreading = Annotated[float, BeforeValidator(_measure(Dimension.SPREADING_RATE, "6 m²/L"))]
AreaRate = Annotated[float, BeforeValidator(_measure(Dimension.AREA_RATE, "15 m²/h"))]
Speed = Annotated[float, BeforeValidator(_measure(Dimension.SPEED, "15 m/h"))]
Share = Annotated[float, BeforeValidator(_measure(Dimension.SHARE, "5 %"))]
Number = Annotated[float, BeforeValidator(_number)]
PlainNumber = Annotated[Decimal, BeforeValidator(lambda v: Decimal(str(_number(v))))]
Fraction = Annotated[Decimal, BeforeValidator(_fraction)]
MoneyText = Annotated[Money, BeforeValidator(_money)]
PerLitre = Annotated[Money, BeforeValidator(_per_litre)]
Name = Annotated[str, AfterValidator(_named)]
Day = Annotated[date, BeforeValidator(_day)]
Zone = Annotated[tzinfo, BeforeValidator(_zone)]
Hex = Annotated[str, BeforeValidator(_hex)]
ThrowRange = Annotated[tuple[float, float], BeforeValidator(_throw_range)]

_Self = TypeVar("_Self", bound="Entry")


class Entry(BaseModel):
    """A table of the job file; what its record refuses is reported at this table."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    def record(self) -> Any:
        """The core's record of this table."""
        return None

    @model_validator(mode="after")
    def _record_stands(self: _Self) -> _Self:
        try:
            self.record()
        except ValueError as fault:
            said = str(fault)
            raise faulty(
                "job.impossible", said[:1].upper() + said[1:] + ".", "Correct the value here."
            ) from fault
        return self
