"""Standing words of the set-up cards: when it does not fit, and cautions."""

from __future__ import annotations

from giornata.core.foundation import System
from giornata.core.works import PowerSource

__all__ = ["CAUTIONS", "before_dark", "what_to_type", "when_it_misses"]

_MISSES = (
    "All marks off one way: turn the projector (pan, tilt).",
    "Too large or too small: zoom, or move it in or out.",
    "Wider at one edge: {aim}, shift before tilt.",
    "Leaning: level it across (roll).",
    "One mark alone off: measure it again from the datum.",
    "Never fit an image to the lines of the last one.",
)
CAUTIONS = (
    "Nobody looks into the lens or stands close before it.",
    "Damp: residual current device (GFCI), plugs covered and off the ground, no cable in the way.",
    "Weight the tripod; stop when wind stirs the image. Dew: a wet wall takes no mark.",
    "Ladder: level ground, one holds it. Traffic: lights, lookout.",
    "Local code and the makers' manuals come first.",
)
_BEFORE_DARK = (
    "Control marks of tonight's set-ups are on the wall, each measured from the datum.",
    "Places of the projector are chalked on the ground, and clear of cars.",
    "Lamps that fall on tonight's stretch are off or shaded; the light on the wall is read.",
    "Contrast check thrown and read: white over black squares, less 1, is near Light : ambient.",
    "Frames are on the stick; projector, cables and {power} are tried.",
    "Wall is dry and will stay so: dew and rain looked up. Somebody knows where you are.",
)


_POWER = {
    PowerSource.MAINS: "the supply",
    PowerSource.BATTERY: "battery",
    PowerSource.GENERATOR: "generator",
    PowerSource.VEHICLE: "inverter",
}


def before_dark(power: PowerSource | None) -> tuple[str, ...]:
    """What is done and ticked before dark.

    Parameters
    ----------
    power : PowerSource or None
        Where the power comes from; None where that is not decided.
    """
    source = "the supply" if power is None else _POWER[power]
    return tuple(one.format(power=source) for one in _BEFORE_DARK)


def when_it_misses(*, panned: bool) -> tuple[str, ...]:
    """What to do by hand where the image does not fit its marks.

    Parameters
    ----------
    panned : bool
        Whether the set-up is planned turned to a side.
    """
    aim = "turn it as planned (pan above)" if panned else "square to the wall"
    return tuple(one.format(aim=aim) for one in _MISSES)


def what_to_type(set_up: int, mark: str, system: System) -> str:
    """How the misses of a card are typed, so that the image is warped onto its marks.

    Parameters
    ----------
    set_up : int
        Its number. [-]
    mark : str
        Name of one of its marks.
    """
    misses = "1 3/8 in, -1/2 in" if system is System.US else "34 mm, -12 mm"
    return (
        f"Or type all misses, and it is warped: giornata square {set_up} "
        f"--fell '{mark} {misses}' ..."
    )
