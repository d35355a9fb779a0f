"""Standing words of the set-up cards: when it does not fit, and cautions."""

from __future__ import annotations

__all__ = ["BEFORE_DARK", "CAUTIONS", "WHEN_IT_MISSES"]

WHEN_IT_MISSES = (
    "All marks off one way: turn the projector (pan, tilt).",
    "Too large or too small: zoom, or move it in or out.",
    "Wider at one edge: set it square to the wall; use lens shift before tilt.",
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
BEFORE_DARK = (
    "Control marks of tonight's set-ups are on the wall, each measured from the datum.",
    "Places of the projector are chalked on the ground, and clear of cars.",
    "Lamps that fall on tonight's stretch are off or shaded; the light on the wall is read.",
    "Contrast check thrown and read: white over black squares, less 1, is near Light : ambient.",
    "Frames are on the stick; projector, cables and generator are tried.",
    "Wall is dry and will stay so: dew and rain looked up. Somebody knows where you are.",
)
