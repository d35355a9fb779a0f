"""What of a PSD or PSB file its pixels do not tell: ranges of blending, artboards, spot inks."""

from __future__ import annotations

import struct
from collections.abc import Iterable
from typing import Any

from psd_tools import PSDImage
from psd_tools.constants import AlphaChannelMode, Resource

from giornata.core.foundation import Finding, Place, Severity, number_of

__all__ = ["blends_by_range", "spot_findings"]

# One source and one destination range, each two levels of black and two of white that are read
# here in pairs, black first (specification of November 2019, "Layer blending ranges data").
_WHOLE = ((0x0000, 0xFFFF), (0x0000, 0xFFFF))
# "DisplayInfo": a version, then 13 bytes a channel; before 2007 14 bytes a channel and no version.
_OLD_CHANNEL = struct.Struct(">6HBx")


def blends_by_range(layer: Any, colour_channels: int) -> bool:
    """Whether a layer shows by the brightness of its pixels, or of those below it.

    Parameters
    ----------
    layer : Layer
        A layer or group of psd-tools.
    colour_channels : int
        Channels of the file's colour mode; the ranges of others do not matter. [-]
    """
    ranges = layer._record.blending_ranges
    if ranges is None or ranges.composite_ranges is None:
        return False
    given: Iterable[Any] = (
        ranges.composite_ranges,
        *(ranges.channel_ranges or ())[:colour_channels],
    )
    return any(tuple(map(tuple, pair)) != _WHOLE for pair in given)


def _spots(document: PSDImage) -> int:
    """Channels that stand for an ink of their own."""
    told = document.image_resources.get_data(Resource.DISPLAY_INFO)
    if told is not None:
        return sum(one.mode == AlphaChannelMode.SPOT for one in told.alpha_channels)
    old = document.image_resources.get_data(Resource.DISPLAY_INFO_OBSOLETE)
    if not isinstance(old, bytes):
        return 0
    whole = old[: len(old) // _OLD_CHANNEL.size * _OLD_CHANNEL.size]
    return sum(one[-1] == AlphaChannelMode.SPOT for one in _OLD_CHANNEL.iter_unpack(whole))


def spot_findings(document: PSDImage, name: str) -> tuple[Finding, ...]:
    """What is to be said of inks that lie in channels of their own.

    Parameters
    ----------
    document : PSDImage
        The file.
    name : str
        Its name.
    """
    count = _spots(document)
    if not count:
        return ()
    return (
        Finding(
            code="artwork.spot_channel",
            severity=Severity.STOP,
            subject=name,
            message=f"The file holds {number_of(count, 'spot channel')}, which print in inks of "
            "their own over the picture. They are not read: what they show is missing.",
            remedy="Merge the spot channels into the picture, or put what they show on a layer; "
            "or flatten a copy and save it as PNG.",
            place=Place(file=name),
        ),
    )
