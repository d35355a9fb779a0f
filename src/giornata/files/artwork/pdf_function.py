"""PDF functions of one or more numbers (ISO 32000-1, section 7.10).

Sampled functions of one input, exponential and stitching functions are evaluated. PostScript
calculator functions and sampled ones of several inputs are not: they give None.
"""

from __future__ import annotations

from typing import Any

import pikepdf

__all__ = ["evaluated"]

_DEEPEST = 8


def _numbers(values: Any) -> list[float]:
    return [float(value) for value in values]


def _clamped(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)


def _sampled(function: Any, t: float) -> tuple[float, ...] | None:
    size = [int(value) for value in function.Size]
    bits = int(function.BitsPerSample)
    if len(size) != 1 or size[0] < 1 or bits not in (8, 16):
        return None
    outputs = _numbers(function.Range)
    count = len(outputs) // 2
    data = function.read_bytes()
    domain = _numbers(function.Domain)
    encode = _numbers(function.get("/Encode", [0, size[0] - 1]))
    decode = _numbers(function.get("/Decode", outputs))
    share = (t - domain[0]) / (domain[1] - domain[0]) if domain[1] > domain[0] else 0.0
    at = _clamped(encode[0] + share * (encode[1] - encode[0]), 0.0, size[0] - 1.0)
    low = int(at)
    high = min(low + 1, size[0] - 1)
    width = bits // 8
    top = float(2**bits - 1)

    def sample(index: int, channel: int) -> float:
        start = (index * count + channel) * width
        raw = int.from_bytes(data[start : start + width], "big") / top
        return decode[2 * channel] + raw * (decode[2 * channel + 1] - decode[2 * channel])

    return tuple(
        sample(low, k) + (at - low) * (sample(high, k) - sample(low, k)) for k in range(count)
    )


def _exponential(function: Any, t: float) -> tuple[float, ...]:
    start = _numbers(function.get("/C0", [0.0]))
    end = _numbers(function.get("/C1", [1.0]))
    power = float(function.N)
    share = t**power if t > 0.0 or power > 0.0 else 0.0
    return tuple(a + share * (b - a) for a, b in zip(start, end, strict=True))


def _stitched(function: Any, t: float, depth: int) -> tuple[float, ...] | None:
    parts = list(function.Functions)
    domain = _numbers(function.Domain)
    bounds = [domain[0], *_numbers(function.Bounds), domain[1]]
    encode = _numbers(function.Encode)
    k = 0
    while k < len(parts) - 1 and t >= bounds[k + 1]:
        k += 1
    low, high = bounds[k], bounds[k + 1]
    share = (t - low) / (high - low) if high > low else 0.0
    return evaluated(parts[k], encode[2 * k] + share * (encode[2 * k + 1] - encode[2 * k]), depth)


def evaluated(function: Any, t: float, depth: int = _DEEPEST) -> tuple[float, ...] | None:
    """Outputs of a PDF function, or an array of them, at one input; None where it cannot be had.

    Parameters
    ----------
    function : pikepdf.Dictionary, Stream or Array
        The function, or one function for each output.
    t : float
        The input; clamped to the function's domain. [-]
    depth : int
        Functions within functions still allowed. [-]
    """
    if depth <= 0:
        return None
    if isinstance(function, pikepdf.Array):
        each = [evaluated(part, t, depth - 1) for part in function]
        if any(part is None or len(part) != 1 for part in each):
            return None
        return tuple(part[0] for part in each if part is not None)
    domain = _numbers(function.Domain)
    if len(domain) != 2:
        return None
    t = _clamped(t, domain[0], domain[1])
    kind = int(function.FunctionType)
    if kind == 0:
        result = _sampled(function, t)
    elif kind == 2:
        result = _exponential(function, t)
    elif kind == 3:
        result = _stitched(function, t, depth - 1)
    else:
        return None
    if result is None or "/Range" not in function:
        return result
    limits = _numbers(function.Range)
    return tuple(
        _clamped(value, limits[2 * k], limits[2 * k + 1]) for k, value in enumerate(result)
    )
