"""PDF colour spaces to sRGB (ISO 32000-1, section 8.6).

Device grey and RGB are taken for sRGB. Calibrated colours go by their white point, L*a*b* by its
own, others by their ICC profile. CMYK without a profile is turned by the plain formula of
section 10.3.5 and said to be inexact. A spot colour goes through its tint function into its
alternate space.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pikepdf

from giornata.files.artwork.display import Ink
from giornata.files.artwork.pdf_calibrated import by_profile, cal_grey, cal_rgb, lab
from giornata.files.artwork.pdf_function import evaluated

__all__ = [
    "BLACK",
    "CMYK",
    "GREY",
    "RGB",
    "Space",
    "colour_space",
    "ink",
    "mean_ink",
    "shading_ink",
]

BLACK = Ink(colour="#000000")
_MID_GREY = "#808080"
_SAMPLES = 33
_DEEPEST = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Space:
    """One colour space.

    Parameters
    ----------
    kind : str
        "grey", "rgb", "cmyk", "calgrey", "calrgb", "lab", "icc", "spot", "indexed", "pattern" or
        "unknown".
    channels : int
        Numbers in a colour. [-]
    base : Space or None
        The space behind a spot colour, a table or an uncoloured pattern.
    table : object
        Tint function of a spot colour, the bytes of a table or of a profile, or the numbers of a
        calibrated space.
    name : str
        Name of the spot colour.
    """

    kind: str
    channels: int = 0
    base: Space | None = None
    table: Any = None
    name: str = ""

    @property
    def initial(self) -> tuple[float, ...]:
        """The colour that is in force when the space is chosen."""
        if self.kind == "cmyk":
            return (0.0, 0.0, 0.0, 1.0)
        return (1.0 if self.kind == "spot" else 0.0,) * self.channels

    @property
    def inks(self) -> bool:
        """Whether its colours are inks of a press, which may overprint (section 8.6.7)."""
        return self.kind in ("cmyk", "spot", "unknown") or (
            self.kind == "icc" and self.channels == 4
        )

    @property
    def paints(self) -> bool:
        """Whether it paints at all; the spot colour None does not (section 8.6.6.4)."""
        return not (self.kind == "spot" and self.name == "None")


GREY = Space(kind="grey", channels=1)
RGB = Space(kind="rgb", channels=3)
CMYK = Space(kind="cmyk", channels=4)
_PATTERN = Space(kind="pattern")
_UNKNOWN = Space(kind="unknown")
_BY_NAME = {
    "/DeviceGray": GREY,
    "/G": GREY,
    "/DeviceRGB": RGB,
    "/RGB": RGB,
    "/DeviceCMYK": CMYK,
    "/CMYK": CMYK,
    "/Pattern": _PATTERN,
}
_BY_CHANNELS = {1: GREY, 3: RGB, 4: CMYK}


def colour_space(value: Any, resources: Any, depth: int = _DEEPEST) -> Space:
    """The colour space a name or array stands for.

    Parameters
    ----------
    value : pikepdf.Name or Array
        As written.
    resources : pikepdf.Dictionary or None
        Where names are looked up.
    depth : int
        Spaces within spaces still allowed. [-]
    """
    if depth <= 0:
        return _UNKNOWN
    if isinstance(value, pikepdf.Name):
        found = _BY_NAME.get(str(value))
        if found is not None:
            return found
        spaces = resources.get("/ColorSpace") if resources is not None else None
        inner = spaces.get(str(value)) if spaces is not None else None
        return _UNKNOWN if inner is None else colour_space(inner, resources, depth - 1)
    if not isinstance(value, pikepdf.Array) or len(value) == 0:
        return _UNKNOWN
    kind = str(value[0])
    if len(value) == 1:
        return _BY_NAME.get(kind, _UNKNOWN)
    if kind in ("/CalGray", "/CalRGB", "/Lab"):
        return _calibrated(kind, value[1])
    if kind == "/ICCBased":
        return _profiled(value[1], resources, depth)
    if kind == "/Pattern":
        return Space(kind="pattern", base=colour_space(value[1], resources, depth - 1))
    if kind in ("/Separation", "/DeviceN") and len(value) >= 4:
        names = [value[1]] if kind == "/Separation" else list(value[1])
        return Space(
            kind="spot" if len(names) == 1 else "unknown",
            channels=len(names),
            base=colour_space(value[2], resources, depth - 1),
            table=value[3],
            name=" ".join(str(name)[1:] for name in names),
        )
    if kind == "/Indexed" and len(value) >= 4:
        table = value[3]
        data = table.read_bytes() if isinstance(table, pikepdf.Stream) else bytes(table)
        base = colour_space(value[1], resources, depth - 1)
        return Space(kind="indexed", channels=1, base=base, table=data)
    return _UNKNOWN


def _calibrated(kind: str, given: Any) -> Space:
    white = tuple(float(number) for number in given.WhitePoint)
    if kind == "/Lab":
        limits = tuple(float(number) for number in given.get("/Range", (-100, 100, -100, 100)))
        return (
            _UNKNOWN if len(limits) != 4 else Space(kind="lab", channels=3, table=(white, limits))
        )
    if kind == "/CalGray":
        return Space(kind="calgrey", channels=1, table=(float(given.get("/Gamma", 1)),))
    gamma = tuple(float(number) for number in given.get("/Gamma", (1, 1, 1)))
    matrix = tuple(float(n) for n in given.get("/Matrix", (1, 0, 0, 0, 1, 0, 0, 0, 1)))
    if len(white) != 3 or len(gamma) != 3 or len(matrix) != 9:
        return _UNKNOWN
    return Space(kind="calrgb", channels=3, table=(white, gamma, matrix))


def _profiled(stream: Any, resources: Any, depth: int) -> Space:
    """The space of an ICC profile, or where that is unfit the space that stands in for it."""
    channels = int(stream.N)
    if channels not in _BY_CHANNELS:
        return _UNKNOWN
    profile = stream.read_bytes()
    if by_profile((0.5,) * channels, profile) is not None:
        return Space(kind="icc", channels=channels, table=profile)
    if "/Alternate" in stream:
        return colour_space(stream.Alternate, resources, depth - 1)
    return _BY_CHANNELS[channels]


def _hex(channels: tuple[float, ...]) -> str:
    return "#" + "".join(f"{round(255 * min(max(c, 0.0), 1.0)):02x}" for c in channels)


def ink(space: Space | None, values: tuple[float, ...]) -> Ink:
    """The colour as sRGB.

    Parameters
    ----------
    space : Space or None
        The space the values are in.
    values : tuple of float
        One number for each channel.
    """
    if space is None or len(values) < space.channels or space.channels == 0:
        return Ink(colour=_MID_GREY, exact=False)
    if space.kind == "rgb":
        return Ink(colour=_hex(values[:3]))
    if space.kind == "grey":
        return Ink(colour=_hex(values[:1] * 3))
    if space.kind == "cmyk":
        cyan, magenta, yellow, key = values[:4]
        return Ink(
            colour=_hex(tuple(1.0 - min(1.0, part + key) for part in (cyan, magenta, yellow)))
        )
    if space.kind == "icc":
        found = by_profile(values[: space.channels], space.table)
        return Ink(colour=_MID_GREY, exact=False) if found is None else Ink(colour=_hex(found))
    if space.kind == "lab":
        white, limits = space.table
        tints = (min(max(v, limits[2 * k]), limits[2 * k + 1]) for k, v in enumerate(values[1:3]))
        return Ink(colour=_hex(lab((values[0], *tints), white)))
    if space.kind == "calrgb":
        return Ink(colour=_hex(cal_rgb(values, *space.table)))
    if space.kind == "calgrey":
        return Ink(colour=_hex(cal_grey(values[0], *space.table)))
    if space.kind == "spot":
        mixed = evaluated(space.table, values[0])
        return ink(space.base, mixed) if mixed else Ink(colour=_MID_GREY, exact=False)
    if space.kind == "indexed" and space.base is not None and space.base.channels:
        count = space.base.channels
        last = len(space.table) // count - 1
        at = min(max(int(values[0]), 0), last)  # section 8.6.6.3: the nearest there is
        row = tuple(byte / 255.0 for byte in space.table[at * count : (at + 1) * count])
        if space.base.kind == "lab" and len(row) == 3:  # each byte over its channel's range
            _, (least_a, most_a, least_b, most_b) = space.base.table
            row = (
                100.0 * row[0],
                least_a + row[1] * (most_a - least_a),
                least_b + row[2] * (most_b - least_b),
            )
        return ink(space.base, row)
    return Ink(colour=_MID_GREY, exact=False)


def mean_ink(inks: list[Ink]) -> Ink:
    """The mean of colours, channel by channel, as a stand-in."""
    if not inks:
        return Ink(colour=_MID_GREY, exact=False)
    rows = [bytes.fromhex(each.colour[1:]) for each in inks]
    mean = tuple(sum(row[k] for row in rows) / len(rows) / 255.0 for k in range(3))
    return Ink(colour=_hex(mean), exact=False)


def shading_ink(shading: Any, resources: Any) -> Ink:
    """Mean colour of a gradient over its whole run, as a stand-in."""
    space = colour_space(shading.get("/ColorSpace"), resources)
    function = shading.get("/Function")
    domain = [float(value) for value in shading.get("/Domain", [0, 1])]
    if function is None or int(shading.get("/ShadingType", 0)) not in (2, 3):
        return Ink(colour=_MID_GREY, exact=False)
    inks: list[Ink] = []
    for k in range(_SAMPLES):
        t = domain[0] + (domain[1] - domain[0]) * k / (_SAMPLES - 1)
        values = evaluated(function, t)
        if values is None:
            return Ink(colour=_MID_GREY, exact=False)
        inks.append(ink(space, values))
    return mean_ink(inks)
