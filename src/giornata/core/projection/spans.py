"""Image spans: how images follow one another along the wall, each bright and fine enough.

The zoom is left at its wide end where that is bright and fine enough: a stop is found in the dark.
For each light level on the wall there is one further setting, the widest image that still reaches
the ratio to it. From the left each image reaches as far as it can: bright enough before
too dim, where one may stand before where one may not, then most wall to a set-up. At last the
overlaps are evened out as far as every image stays as good as it was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from giornata.core.foundation import Assumption, Floats
from giornata.core.projection.band import WallBand
from giornata.core.projection.light import brightness, illuminance, zoom_light
from giornata.core.projection.projector import Projector, Stand
from giornata.core.projection.throw import SLACK, ImageSize, image_size, set_up_count
from giornata.core.site import Carrier, StandingRoom, ambient_over

__all__ = [
    "MOST_SET_UPS",
    "ImageSpan",
    "Wall",
    "image_spans",
    "light_on",
    "widest_bright_ratio",
    "zoom_settings",
]

Lamps = Sequence[tuple[float, float, float]]

LEAST_PROGRESS = Assumption(
    name="least share of an image's reach for which it is stopped short of a lamp or a step",
    value=0.3,
    unit="-",
    source="no published source",
)

MOST_SET_UPS = Assumption(
    name="most set-ups of one wall",
    value=1000.0,
    unit="-",
    source="common practice, no source: at 20 min each they fill 60 nights",
    usual=(50.0, 500.0),
)

_LEAST_MOVE = 0.05  # m; less than this is not worth a set-up
_LEAST_WIDTH = 1e-6  # m; less of the wall than this is none
_STEPS = 2001  # throw ratios tried between the ends of the zoom


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """The wall to be lit and the lamps on it.

    Parameters
    ----------
    band : WallBand
        Top and ground.
    lamps : tuple of (float, float, float)
        Start and end of each lit stretch, and all the light read there. [m], [m], [lx]
    rooms : tuple of StandingRoom
        Standing room from end to end of the wall; none where it was not looked at.
    other_rooms : tuple of (Carrier, tuple of StandingRoom)
        The same for what else may carry the projector, which the ground may bear less.
    """

    band: WallBand
    lamps: tuple[tuple[float, float, float], ...] = ()
    rooms: tuple[StandingRoom, ...] = ()
    other_rooms: tuple[tuple[Carrier, tuple[StandingRoom, ...]], ...] = ()

    def rooms_of(self, carrier: Carrier | None) -> tuple[StandingRoom, ...]:
        """Standing room for a carrier; the stand's own for None and where nothing else is known.

        Parameters
        ----------
        carrier : Carrier or None
        """
        return dict(self.other_rooms).get(carrier, self.rooms) if carrier else self.rooms

    def stands(self, distance: float, centre: float, carrier: Carrier | None = None) -> bool:
        """Whether the projector may stand there; where two stretches meet, on either.

        Parameters
        ----------
        distance : float
            Lens to wall. [m]
        centre : float
            Chainage of the lens; beyond an end of the wall the room at that end counts. [m]
        carrier : Carrier or None
            What carries the projector; None for the stand's own.
        """
        at = min(max(centre, 0.0), self.band.length)
        rooms = self.rooms_of(carrier)
        here = [room for room in rooms if room.start - SLACK <= at <= room.end + SLACK]
        return not rooms or any(room.holds(distance) for room in here)

    def turns(self, distance: float, carrier: Carrier | None = None) -> tuple[float, ...]:
        """Chainages where standing room at a distance begins or ends. [m]

        Parameters
        ----------
        distance : float
            Lens to wall. [m]
        carrier : Carrier or None
            What carries the projector; None for the stand's own.
        """
        pairs = pairwise(self.rooms_of(carrier))
        return tuple(a.end for a, b in pairs if a.holds(distance) != b.holds(distance))


@dataclass(frozen=True, slots=True, kw_only=True)
class ImageSpan:
    """One stretch of wall lit from one place, in one or more rows.

    Parameters
    ----------
    start : float
        Chainage of the image's left side; may lie outside the wall. [m]
    ratio : float
        Throw ratio. [-]
    image : ImageSize
        Size of each image.
    rows : int
        Rows needed between the lowest ground and the highest top of the span. [-]
    ambient : float
        Greatest light on the wall over it. [lx]
    passes : bool
        Whether the image reaches the ratio to that light.
    stands : bool
        Whether the projector may stand square before its middle.
    """

    start: float
    ratio: float
    image: ImageSize
    rows: int
    ambient: float
    passes: bool
    stands: bool = True

    @property
    def end(self) -> float:
        """Chainage of the image's right side. [m]"""
        return self.start + self.image.width


def light_on(projector: Projector, image: ImageSize, ratio: float) -> float:
    """Mean illuminance of the image at a throw ratio. [lx]

    Parameters
    ----------
    projector : Projector
        For its light output, mode and zoom loss.
    image : ImageSize
        The lit rectangle.
    ratio : float
        Within the projector's range. [-]
    """
    return illuminance(projector.output * zoom_light(projector, ratio), image.area)


def widest_bright_ratio(
    projector: Projector, stand: Stand, ambient: float, widest: float
) -> float | None:
    """Least throw ratio, from ``widest`` on, whose image reaches the ratio to ambient light. [-]

    Parameters
    ----------
    projector : Projector
        For its zoom and light.
    stand : Stand
        For its distance, orientation and least contrast.
    ambient : float
        Light on the wall; 0 or more. [lx]
    widest : float
        Least throw ratio allowed, within the projector's range. [-]

    Notes
    -----
    None where the zoom does not reach it. Tried in 2,000 equal steps.
    """
    steps = _STEPS if projector.throw_max > widest else 1
    for ratio in np.linspace(widest, projector.throw_max, steps).tolist():
        image = image_size(projector, stand.distance, ratio, stand.orientation)
        if brightness(
            light_on(projector, image, ratio), ambient, stand.contrast, projector.black
        ).passes:
            return float(ratio)
    return None


def image_spans(
    wall: Wall, projector: Projector, stand: Stand, widest: float
) -> tuple[ImageSpan, ...]:
    """Image spans from the left end of the wall to its right end; empty where none can be made.

    Parameters
    ----------
    wall : Wall
        What is to be lit.
    projector : Projector
        For its zoom, pixels and light.
    stand : Stand
        Distance, least overlap and contrast, background light, orientation.
    widest : float
        Least throw ratio allowed, within the projector's range. [-]
    """
    length, overlap = wall.band.length, stand.overlap
    settings = zoom_settings(wall.lamps, projector, stand, widest)
    farthest = settings[stand.ambient][0][1].width
    turns = wall.turns(stand.distance)
    stops = np.unique([start for start, _, _ in wall.lamps] + wall.band.breaks.tolist())
    spans: list[ImageSpan] = []
    covered = 0.0
    while covered < length - SLACK:
        start = covered - overlap if spans else 0.0
        brightest = float(
            ambient_over(min(start, covered), start + farthest, stand.ambient, wall.lamps)
        )
        options = [
            (min(end, length) - covered, span)
            for ratio, image in settings[brightest]
            for end in (
                _ends(start, covered, image, stops, length, overlap)
                + _standing_ends(start, covered, image, turns)
            )
            if (span := _span(wall, projector, stand, ratio, image, end - image.width)) is not None
        ]
        options = [(progress, span) for progress, span in options if progress > SLACK]
        if not options:
            return ()
        best = max(
            options,
            key=lambda one: (one[1].stands, one[1].passes, one[0] / one[1].rows, -one[1].ratio),
        )
        spans.append(best[1])
        covered = best[1].end
        if sum(span.rows for span in spans) > MOST_SET_UPS.value:
            return ()
    return _evened(wall, projector, stand, spans)


def zoom_settings(
    lamps: Lamps, projector: Projector, stand: Stand, widest: float
) -> dict[float, list[tuple[float, ImageSize]]]:
    """Zoom settings worth trying under each light level: widest first, none twice.

    Parameters
    ----------
    lamps : sequence of (float, float, float)
        Start and end of each lit stretch, and all the light read there. [m], [m], [lx]
    projector : Projector
        For its zoom and light.
    stand : Stand
        For its distance, orientation, contrast and background light.
    widest : float
        Least throw ratio allowed, within the projector's range. [-]
    """
    lights = {max(light, stand.ambient) for light in [stand.ambient, *(lux for _, _, lux in lamps)]}
    found: dict[float, list[tuple[float, ImageSize]]] = {}
    for light in lights:
        bright = (
            widest_bright_ratio(projector, stand, level, widest) for level in (stand.ambient, light)
        )
        ratios = sorted({widest, *(ratio for ratio in bright if ratio is not None)})
        found[light] = [
            (ratio, image_size(projector, stand.distance, ratio, stand.orientation))
            for ratio in ratios
        ]
    return found


def _ends(
    start: float,
    covered: float,
    image: ImageSize,
    stops: Floats,
    length: float,
    overlap: float,
) -> list[float]:
    """Where an image may end: at its full reach, short of a lamp or step, or at the wall's end."""
    reach = start + image.width
    least = covered + LEAST_PROGRESS.value * (image.width - overlap)
    first, last = np.searchsorted(stops, [least, reach], side="right")
    ends = [reach, *stops[first:last].tolist()]
    return [length, *ends] if reach > length else ends


def _standing_ends(
    start: float, covered: float, image: ImageSize, turns: tuple[float, ...]
) -> list[float]:
    """Where an image may end so that the lens is at the last place, or the first, to stand."""
    ends = [at + image.width / 2 for at in turns]
    return [end for end in ends if covered + _LEAST_MOVE < end <= start + image.width]


def _span(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    ratio: float,
    image: ImageSize,
    start: float,
) -> ImageSpan | None:
    length = wall.band.length
    left, right = max(start, 0.0), min(start + image.width, length)
    if not right - left > _LEAST_WIDTH:  # the overlap asked for is wider than the image
        return None
    foot, head = wall.band.extent(left, right)
    if head - foot > image.height + SLACK and image.height <= stand.overlap:
        return None
    height = max(head - foot, SLACK)  # where the wall tapers to nothing, one row all the same
    rows = set_up_count(height, image.height, min(stand.overlap, image.height * 0.999))
    ambient = float(ambient_over(left, right, stand.ambient, wall.lamps))
    light = brightness(light_on(projector, image, ratio), ambient, stand.contrast, projector.black)
    return ImageSpan(
        start=start,
        ratio=ratio,
        image=image,
        rows=rows,
        ambient=ambient,
        passes=light.passes,
        stands=wall.stands(stand.distance, start + image.width / 2),
    )


def _evened(
    wall: Wall, projector: Projector, stand: Stand, spans: Sequence[ImageSpan]
) -> tuple[ImageSpan, ...]:
    """The spans with their overlaps evened out: all at once, or else run by run."""
    length, last = wall.band.length, len(spans) - 1
    if last == 0:
        ends = [(length - spans[0].image.width) / 2]
    else:
        ends = [0.0, length - spans[last].image.width]
    whole = _moved(wall, projector, stand, spans, _even_starts(spans, ends))
    if whole is not None:
        return whole
    found = list(spans)
    pins = sorted(
        {0, last} | {k for i in range(last) if _unlike(*spans[i : i + 2]) for k in (i, i + 1)}
    )
    for first, final in pairwise(pins):
        run = found[first : final + 1]
        even = _even_starts(run, [run[0].start, run[-1].start])
        kept = np.array([span.start for span in run])
        for share in (1.0, 0.75, 0.5, 0.25):
            moved = _moved(wall, projector, stand, run, kept + share * (even - kept))
            if moved is not None:
                found[first : final + 1] = moved
                break
    return tuple(found)


def _unlike(one: ImageSpan, other: ImageSpan) -> bool:
    return (one.ratio, one.rows, one.passes, one.stands) != (
        other.ratio,
        other.rows,
        other.passes,
        other.stands,
    )


def _even_starts(spans: Sequence[ImageSpan], ends: Sequence[float]) -> Floats:
    """Starts with equal overlaps between the first and the last start given."""
    widths = np.array([span.image.width for span in spans])
    if len(spans) == 1:
        return np.array(ends[:1])
    overlap = (widths[:-1].sum() - (ends[-1] - ends[0])) / (len(spans) - 1)
    return ends[0] + np.concatenate([[0.0], np.cumsum(widths[:-1] - overlap)])


def _moved(
    wall: Wall,
    projector: Projector,
    stand: Stand,
    spans: Sequence[ImageSpan],
    starts: Floats,
) -> tuple[ImageSpan, ...] | None:
    """The spans at other starts, or None where one would be dimmer or need more rows there."""
    found = []
    for old, start in zip(spans, starts.tolist(), strict=True):
        new = _span(wall, projector, stand, old.ratio, old.image, start)
        if new is None or new.passes < old.passes or new.rows > old.rows:
            return None
        if new.stands < old.stands:
            return None
        found.append(new)
    return tuple(found)
